"""Plain words for what the typed decoder found wrong.  Knows its messages, but no files."""

import re
from typing import Any, TypeGuard

from msgspec import ValidationError, convert, inspect

from gridjig.units import Display, format_number
from gridjig.units.limits import field_text, span, value_text

from .faults import clip
from .json_places import JsonPath

_KINDS = {
    "str": "text",
    "int": "a whole number",
    "float": "a number",
    "bool": "true or false",
    "array": "a list",
    "object": "a group of named fields",
    "null": "nothing (null)",
}
_FOUND = _KINDS | {"float": "a number with decimals"}
_EXPECTED = re.compile(r"Expected `([a-z| ]+)`(?:, got `(\w+)`)?")
_BOUND = re.compile(r"Expected `\w+` (>=|<=|>|<) (\S+)")
_LENGTH = re.compile(r"Expected `(\w+)` of (?:length )?(>=|<=|at least|at most)?(?:length)? ?(\d+)")
_PATTERN = re.compile(r"Expected `str` matching regex")
_UNKNOWN = re.compile(r"Object contains unknown field `(.*)`", re.DOTALL)
_MISSING = re.compile(r"Object missing required field `(.*)`", re.DOTALL)
_PLACE = re.compile(r" - at `(\$[^`]*)`$")
_BOUNDS = {">=": "at least", "<=": "at most", ">": "more than", "<": "less than"}


def split_place(message: str) -> tuple[str, str]:
    """Return the decoder's message without its place, and the place (`$` for the root)."""
    found = _PLACE.search(message)
    return (message[: found.start()], found[1]) if found else (message, "$")


def unknown_field(message: str) -> str | None:
    """Return the name of the field that the message calls unknown, or None."""
    found = _UNKNOWN.fullmatch(message)
    return found[1] if found else None


def explain(message: str, wanted: type, path: JsonPath, tree: object) -> str:
    """Return a clause that says what is wrong at `path` in a tree that should be a `wanted`."""
    unknown = _UNKNOWN.fullmatch(message)
    if unknown:
        return f"there is no field {clip(unknown[1], 40)!r} here; {_fields(wanted, path, tree)}"
    missing = _MISSING.fullmatch(message)
    if missing:
        return f"the field {missing[1]!r} is missing"
    limit = _limited(message, wanted, path, tree)
    if limit:
        return limit
    if _PATTERN.match(message):
        return "a short name of letters, digits and . _ / - is expected, a letter or digit first"
    return _bounded(message) or _of_kind(message) or _chosen(message, wanted, path, tree)


def _limited(message: str, wanted: type, path: JsonPath, tree: object) -> str:
    """Words for a length, an angle or the like that is beyond its limits; "" for anything else.

    The limits are in the unit of the display that the file asks for, or in mm if it asks for none.
    """
    node = _type_at(wanted, path, tree, bare=False)
    if not _BOUND.match(message) or not isinstance(node, inspect.Metadata):
        return ""
    quantity, of = (node.extra or {}).get("quantity"), node.type
    if quantity is None or not isinstance(of, inspect.FloatType | inspect.IntType):
        return ""
    display = _display(tree)
    name = field_text(next((step for step in reversed(path) if isinstance(step, str)), "value"))
    there = _at(tree, path)
    found = (
        f", but {value_text(float(there), quantity, display)} was found"
        if _is_number(there)
        else ""
    )
    return f"the {name} must be {span(of.ge, of.le, quantity, display)}{found}"


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _at(tree: object, path: JsonPath) -> object:
    """The value of a tree at a path, or None."""
    here: Any = tree
    for step in path:
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            return None
    return here


def _display(tree: object) -> Display | None:
    """The display that the file asks for, or None if it names no known one."""
    try:
        return convert(_at(tree, ("display",)), Display)
    except ValidationError:
        return None


def _bounded(message: str) -> str:
    bound = _BOUND.match(message)
    if bound:
        return f"a number of {_BOUNDS[bound[1]]} {format_number(float(bound[2]))} is expected"
    length = _LENGTH.match(message)
    if length:
        kind, sign, size = length.groups()
        one, many = ("character", "characters") if kind == "str" else ("entry", "entries")
        what = one if size == "1" else many
        most = _BOUNDS.get(sign, sign) if sign else "exactly"
        return f"{_KINDS.get(kind, kind)} of {most} {size} {what} is expected"
    return ""


def _of_kind(message: str) -> str:
    expected = _EXPECTED.fullmatch(message)
    if not expected:
        return ""
    wanted = " or ".join(_KINDS.get(kind.strip(), kind) for kind in expected[1].split("|"))
    found = _FOUND.get(expected[2] or "", "")
    return f"{wanted} is expected" + (f", but {found} was found" if found else "")


def _chosen(message: str, wanted: type, path: JsonPath, tree: object) -> str:
    """Words for a value that is not in a set, or the words of the value's own check."""
    if message.startswith("Invalid"):
        choices = _choices(wanted, path, tree)
        return (
            f"one of {', '.join(choices)} is expected" if choices else "this is not expected here"
        )
    return message.rstrip(".")


def _fields(wanted: type, path: JsonPath, tree: object) -> str:
    node = _type_at(wanted, path, tree)
    if isinstance(node, inspect.StructType):
        return f"the fields are {', '.join(field.encode_name for field in node.fields)}"
    return "it may come from another program"


def _choices(wanted: type, path: JsonPath, tree: object) -> list[str]:
    """The allowed values at a path that takes one of a set, as JSON writes them."""
    node = _type_at(wanted, path, tree)
    if isinstance(node, inspect.LiteralType):
        return [str(value) for value in node.values]
    if path and isinstance(path[-1], str):  # the tag of a union
        above = _type_at(wanted, path[:-1], tree)
        if isinstance(above, inspect.UnionType):
            return [str(tag) for tag in (getattr(t, "tag", None) for t in above.types) if tag]
    return []


def _type_at(wanted: type, path: JsonPath, tree: object, bare: bool = True) -> inspect.Type | None:
    """The type that is expected at a path, or None if the path leads out of the type.

    Unless `bare`, it includes the type's annotations.
    """
    node: inspect.Type | None = inspect.type_info(wanted)
    here: Any = tree
    for step in path:
        node = _inner(_settled(node, here), step)
        try:
            here = here[step]
        except (KeyError, IndexError, TypeError):
            here = None
    return _settled(node, here) if bare else node


def _settled(node: inspect.Type | None, here: object) -> inspect.Type | None:
    """The member of a union that the value here is tagged as, or else the node itself."""
    node = node.type if isinstance(node, inspect.Metadata) else node
    if isinstance(node, inspect.UnionType):
        kinds = [t for t in node.types if isinstance(t, inspect.StructType)]
        if isinstance(here, dict) and len(kinds) == 1:
            return kinds[0]
        if isinstance(here, dict):
            for kind in kinds:
                if kind.tag_field and here.get(kind.tag_field) == kind.tag:
                    return kind
    return node


def _inner(node: inspect.Type | None, step: str | int) -> inspect.Type | None:
    if isinstance(node, inspect.StructType | inspect.NamedTupleType):
        fields = node.fields
        if isinstance(step, int):
            return fields[step].type if step < len(fields) else None
        return next((f.type for f in fields if f.encode_name == step), None)
    if isinstance(node, inspect.VarTupleType | inspect.ListType):
        return node.item_type
    if isinstance(node, inspect.TupleType) and isinstance(step, int):
        return node.item_types[step] if step < len(node.item_types) else None
    return None
