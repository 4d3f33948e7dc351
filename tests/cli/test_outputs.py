"""The verbs' JSON: it stays as it was kept, and the printed schema describes it."""

import json
import re
from collections.abc import Callable
from typing import Any

import msgspec
import pytest
from msgspec import Struct

from gridjig.cli import command
from gridjig.cli.outputs import Output, as_json, schema_of
from tests.cli.outputs import COMMANDS, kept, printed

Command = Callable[..., Any]
VERBS = sorted({words.split()[0] for words in COMMANDS.values()})


def types_of(verb: str) -> tuple[type[Struct], ...]:
    found = command.find_verb(verb)
    assert found is not None
    return found.outputs


def fits(text: str, form: type[Struct]) -> bool:
    """True if a text is read strictly as a type: no field more, none less, none of another type."""
    try:
        return isinstance(msgspec.json.decode(text, type=form, strict=True), form)
    except msgspec.ValidationError:
        return False


def form_of(name: str) -> type[Struct]:
    """The one type of a verb's outputs that a kept output has."""
    [form] = [f for f in types_of(COMMANDS[name].split()[0]) if fits(kept(name), f)]
    return form


@pytest.mark.parametrize("name", COMMANDS)
def test_the_json_is_as_it_was(name: str) -> None:
    assert printed(name) == kept(name)


@pytest.mark.source("library", "msgspec 0.20", "strict decoding")
@pytest.mark.parametrize("name", COMMANDS)
def test_it_is_read_strictly_as_the_type_and_written_the_same(name: str) -> None:
    value = msgspec.json.decode(kept(name), type=form_of(name), strict=True)
    assert as_json(value) + "\n" == kept(name)  # type: ignore[arg-type]


# -- the schema, read by a small validator of its own ----------------------------------------------

KNOWN = {"$ref", "$defs", "$schema", "title", "description", "default"}


def faults(value: object, schema: Any, whole: Any, at: str, seen: set[str]) -> list[str]:
    """Where a value does not suit a schema of the kinds of terms that are used here."""
    terms = set(schema) - KNOWN
    found: list[str] = []
    if "$ref" in schema:
        name = schema["$ref"].removeprefix("#/$defs/")
        found += faults(value, whole["$defs"][name], whole, at, seen)
        if not found:
            seen.add(name)
        return found
    if "anyOf" in schema:
        terms.remove("anyOf")
        every = [faults(value, one, whole, at, seen) for one in schema["anyOf"]]
        found += [] if any(not some for some in every) else [f"{at}: none of the forms"]
    if "enum" in schema:
        terms.remove("enum")
        found += [] if value in schema["enum"] else [f"{at}: {value!r}"]
    if "type" in schema:
        terms.remove("type")
        kinds: dict[str, type | tuple[type, ...]] = {
            "object": dict, "array": list, "string": str, "integer": int, "boolean": bool,
            "number": (int, float), "null": type(None),
        }  # fmt: skip
        flag = isinstance(value, bool) and schema["type"] != "boolean"
        if flag or not isinstance(value, kinds[schema["type"]]):
            return [f"{at}: no {schema['type']}"]
    if isinstance(value, dict) and "properties" in schema:
        terms -= {"properties", "required", "additionalProperties"}
        fields = schema["properties"]
        found += [f"{at}: {name} is missing" for name in schema["required"] if name not in value]
        if schema.get("additionalProperties") is False:
            found += [f"{at}: {name} is unknown" for name in value if name not in fields]
        for name in set(value) & set(fields):
            found += faults(value[name], fields[name], whole, f"{at}.{name}", seen)
    if isinstance(value, dict) and "additionalProperties" in schema and terms:
        terms -= {"additionalProperties"}
        for name, one in value.items():
            form = schema["additionalProperties"]
            found += faults(one, form, whole, f"{at}.{name}", seen)
    if isinstance(value, list) and schema.get("type") == "array":
        terms -= {"items", "prefixItems", "minItems", "maxItems"}
        found += faults_of_items(value, schema, whole, at, seen)
    assert not terms, f"{at}: {terms} are not looked at here"
    return found


def faults_of_items(
    value: list[object], schema: Any, whole: Any, at: str, seen: set[str]
) -> list[str]:
    """Where a list does not suit a schema of lists."""
    found: list[str] = []
    first = schema.get("prefixItems", [])
    most = schema.get("maxItems", len(value))
    if not schema.get("minItems", 0) <= len(value) <= most:
        found.append(f"{at}: {len(value)} items")
    for k, item in enumerate(value):
        form = first[k] if k < len(first) else schema["items"]
        found += faults(item, form, whole, f"{at}[{k}]", seen) if form else []
    return found


def schema_printed(gridjig: Command, verb: str) -> Any:
    said = gridjig("schema", "--of", verb)
    assert said.code == 0, said.err
    return json.loads(said.out)


@pytest.mark.source("method", "a validator of JSON Schema written for the test")
@pytest.mark.parametrize("verb", VERBS)
def test_the_printed_schema_describes_what_is_printed(gridjig: Command, verb: str) -> None:
    schema = schema_printed(gridjig, verb)
    assert schema == schema_of(types_of(verb))
    seen: set[str] = set()
    names = [name for name, words in COMMANDS.items() if words.split()[0] == verb]
    assert names
    for name in names:
        assert faults(json.loads(kept(name)), schema, schema, name, seen) == []
    assert seen == set(schema["$defs"]), "every part of the output occurs in what is kept"
    for part in schema["$defs"].values():
        assert part["additionalProperties"] is False
        assert part["required"] == list(part["properties"])
        assert part["description"]


@pytest.mark.parametrize("name", COMMANDS)
def test_another_form_is_refused_by_type_and_schema(name: str) -> None:
    form = form_of(name)
    schema = schema_of([form])
    whole = json.loads(kept(name))
    first = next(iter(whole))
    for changed in (
        {**whole, "colour": "red"},
        {key: value for key, value in whole.items() if key != first},
        {**whole, first: [1.5]},
    ):
        assert not fits(json.dumps(changed), form)
        assert faults(changed, schema, schema, name, set())


def test_every_verb_that_takes_json_has_its_types(capsys: pytest.CaptureFixture[str]) -> None:
    with_json, with_types = [], []
    for verb in command.all_verbs():
        with pytest.raises(SystemExit):
            command.main([verb.name, "--help"])
        with_json += [verb.name] if "--json" in capsys.readouterr().out.split() else []
        with_types += [verb.name] if verb.outputs else []
        assert all(issubclass(form, Output) for form in verb.outputs)
    assert with_types == VERBS
    assert with_json == VERBS


@pytest.mark.parametrize("verb", VERBS)
def test_the_help_says_where_the_schema_is(capsys: pytest.CaptureFixture[str], verb: str) -> None:
    with pytest.raises(SystemExit):
        command.main([verb, "--help"])
    assert f"`gridjig schema --of {verb}`" in re.sub(r"\s+", " ", capsys.readouterr().out)


def test_a_verb_without_json_has_no_schema(refused: Callable[..., str]) -> None:
    verbs = "angle, check, compare, contacts, cuts, gaps, poses, pull, reach, suggest, welds"
    there = f"there are schemas for: {verbs}."
    assert refused("schema", "--of", "chart") == f"chart prints no JSON; {there}"
    assert refused("schema", "--of", "dance") == f"There is no verb dance; {there}"
