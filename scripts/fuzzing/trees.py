"""Changes JSON documents where it hurts, guided by their schema so that most can still be read.

The schema says where numbers, texts, choices and lists are and what they may be.  So values go to
their limits and just beyond, names are mixed up, entries duplicated and swapped, whole groups
swapped with groups of the same kind in other documents.  No field is known here by name, except
`id`.
"""

import json
import math
from collections.abc import Iterator, Mapping
from itertools import accumulate
from random import Random
from typing import Any

import msgspec

from .kind import Parts
from .texts import a_text

Tree = Any
Schema = Mapping[str, Any]
Path = tuple[str | int, ...]

_OUT = 0.06  # share of values that the schema does not allow
_RAW = 0.06  # share of cases that change the raw text
_DEEPER = 0.82
_MOST_PARTS = 4000


class Trees:
    """Makes documents from others, all of one schema."""

    def __init__(self, schema: Schema, documents: list[bytes], root: str | None = None) -> None:
        self._defs = schema.get("$defs", {})
        self._root: Schema = {"$ref": f"#/$defs/{root}"} if root else schema
        self._documents = documents
        self._often = list(accumulate(1.0 / len(data) for data in documents))
        self._pool = _Pool()
        for data in documents:
            for kind, tree in self._walk(self._root, json.loads(data)):
                self._pool.take(kind, tree)

    # -- the schema ------------------------------------------------------------------------------

    def _resolved(self, schema: Schema, tree: Tree) -> Schema:
        """Return the schema of a value, with references followed and the matching choice taken."""
        while True:
            if "$ref" in schema:
                schema = self._defs[schema["$ref"].rsplit("/", 1)[-1]]
            elif "anyOf" in schema:
                fitting = [one for one in schema["anyOf"] if self._fits(one, tree)]
                schema = fitting[0] if fitting else schema["anyOf"][0]
            else:
                return schema

    def _fits(self, schema: Schema, tree: Tree) -> bool:
        if "$ref" in schema:
            schema = self._defs[schema["$ref"].rsplit("/", 1)[-1]]
        tag = schema.get("properties", {}).get("type", {})
        if isinstance(tree, dict) and "type" in tree:
            return tree["type"] in tag.get("enum", [tree["type"]])
        if "enum" in schema:
            return tree in schema["enum"]
        kinds: dict[str, tuple[type, ...]] = {
            "null": (type(None),),
            "object": (dict,),
            "array": (list,),
            "string": (str,),
        }
        return isinstance(tree, kinds.get(schema.get("type", ""), (int, float)))

    def _below(self, schema: Schema, tree: Tree) -> list[tuple[str | int, Schema]]:
        """Return the keys directly below a value, and their schemas."""
        if isinstance(tree, dict):
            known = schema.get("properties", {})
            return [(key, known[key]) for key in tree if key in known]
        if isinstance(tree, list):
            first = schema.get("prefixItems", [])
            rest = schema.get("items") or {}
            return [(k, first[k] if k < len(first) else rest) for k in range(len(tree))]
        return []

    def _walk(self, schema: Schema, tree: Tree) -> Iterator[tuple[str, Tree]]:
        """Yield every value of a document with the name of its kind."""
        name = schema.get("$ref", "").rsplit("/", 1)[-1]
        schema = self._resolved(schema, tree)
        yield name or _kind_of(schema), tree
        for key, below in self._below(schema, tree):
            yield from self._walk(below, tree[key])

    # -- changing --------------------------------------------------------------------------------

    def changed(self, chance: Random) -> bytes:
        """Return one of the documents, changed in one or more places; a small one more often."""
        [data] = chance.choices(self._documents, cum_weights=self._often)
        times = 1 + int(chance.expovariate(0.5))
        tree = msgspec.json.decode(data)
        for _ in range(times):
            self._change(chance, tree)
        data = msgspec.json.encode(tree)
        return raw(chance, data) if chance.random() < _RAW else data

    def _change(self, chance: Random, tree: Tree) -> None:
        """Change one place, found by a random walk down."""
        schema = self._resolved(self._root, tree)
        while True:
            below = self._below(schema, tree)
            if not below:
                return
            if isinstance(tree, list) and chance.random() > _DEEPER:
                self._change_list(chance, schema, tree)
                return
            if isinstance(tree, dict) and chance.random() > _DEEPER:
                self._change_group(chance, schema, tree)
                return
            key, part = chance.choice(below)
            name = part.get("$ref", "").rsplit("/", 1)[-1]
            inner = self._resolved(part, tree[key])
            if not isinstance(tree[key], dict | list) or not tree[key]:
                tree[key] = self._value(chance, part, tree[key])
                return
            if name and chance.random() < 0.1:
                tree[key] = self._pool.draw(chance, name, tree[key])
                return
            tree, schema = tree[key], inner

    def _change_group(self, chance: Random, schema: Schema, tree: dict[str, Tree]) -> None:
        known = schema.get("properties", {})
        absent = [key for key in known if key not in tree]
        what = chance.random()
        if what < 0.15:
            tree.pop(chance.choice(list(tree)))
        elif what < 0.18:
            tree[chance.choice(["", "x", "type", "🔩", "__class__"])] = None
        elif absent:
            key = chance.choice(absent)
            tree[key] = self._made(chance, known[key], 0)
        else:
            key = chance.choice(list(tree))
            tree[key] = self._value(chance, known.get(key, {}), tree[key])

    def _change_list(self, chance: Random, schema: Schema, tree: list[Tree]) -> None:
        if "prefixItems" in schema and chance.random() > _OUT:
            key = chance.randrange(len(tree))
            tree[key] = self._value(chance, schema["prefixItems"][key % 2], tree[key])
            return
        at = chance.randrange(len(tree))
        entry = tree[at]
        match chance.randrange(8):
            case 0:
                del tree[at]
            case 1:
                tree.clear()
            case 2:
                chance.shuffle(tree)
            case 3:
                tree.reverse()
            case 4:
                tree[at:at] = [fresh(chance, entry) for _ in range(chance.choice([1, 1, 1, 5, 40]))]
            case 5:
                del tree[at + 1 :]
            case 6:
                tree[at] = tree[chance.randrange(len(tree))]
            case _:
                item = schema.get("items") or {}
                tree.insert(at, self._made(chance, item, 0))

    def _value(self, chance: Random, schema: Schema, old: Tree) -> Tree:
        """Return another value for a place."""
        if chance.random() < _OUT:
            return chance.choice([None, True, "", "x", [], {}, 0, -1, 1e308, [[]], {"a": 1}])
        given = schema
        if "anyOf" in schema and chance.random() < 0.5:
            given = chance.choice(schema["anyOf"])
        schema = self._resolved(given, old)
        if (
            isinstance(old, float | int)
            and not isinstance(old, bool)
            and not {"enum", "const"} & set(schema)
        ):
            return number(chance, schema, old)
        return self._made(chance, given, 0)

    def _made(  # noqa: PLR0911 - one for each type
        self, chance: Random, schema: Schema, depth: int
    ) -> Tree:
        """Return a new value, or one from another document."""
        name = schema.get("$ref", "").rsplit("/", 1)[-1]
        if name and (depth > 3 or chance.random() < 0.7):
            return self._pool.draw(chance, name, None)
        if "anyOf" in schema:
            return self._made(chance, chance.choice(schema["anyOf"]), depth)
        schema = self._resolved(schema, None)
        if "const" in schema:
            return schema["const"]
        if "enum" in schema:
            return chance.choice(schema["enum"])
        match schema.get("type"):
            case "object":
                known = schema.get("properties", {})
                needed = schema.get("required", [])
                keys = [key for key in known if key in needed or chance.random() < 0.3]
                return {key: self._made(chance, known[key], depth + 1) for key in keys}
            case "array":
                items = schema.get("prefixItems")
                if items:
                    return [self._made(chance, item, depth + 1) for item in items]
                many = chance.choice([0, 1, 1, 2, 3, 8])
                return [
                    self._made(chance, schema.get("items") or {}, depth + 1) for _ in range(many)
                ]
            case "boolean":
                return chance.random() < 0.5
            case "null":
                return None
            case "string":
                return self._text(chance, schema)
            case _:
                return number(chance, schema, 0)

    def _text(self, chance: Random, schema: Schema) -> str:
        if "pattern" in schema and chance.random() > _OUT:
            return str(self._pool.draw(chance, _kind_of(schema), "a1"))
        text = a_text(chance)
        most = schema.get("maxLength")
        if most is not None and chance.random() < 0.1:
            text = (text or "x") * (most // max(len(text), 1) + 1)
        fits = most is None or chance.random() < _OUT
        return text if fits else text[:most].ljust(schema.get("minLength", 0), "x")

    def parts(self, data: bytes) -> Parts | None:
        """Split a document into everything that could be left out; into bytes if it is not JSON."""
        return parts_of_tree(data)


class _Pool:
    """Values seen in the documents, by the name of their kind."""

    def __init__(self) -> None:
        self._seen: dict[str, list[bytes]] = {}
        self._known: set[tuple[str, bytes]] = set()

    def take(self, kind: str, tree: Tree) -> None:
        """Remember a value."""
        data = msgspec.json.encode(tree)
        if kind and (kind, data) not in self._known:
            self._known.add((kind, data))
            self._seen.setdefault(kind, []).append(data)

    def draw(self, chance: Random, kind: str, otherwise: Tree) -> Tree:
        """Return a value of that kind."""
        seen = self._seen.get(kind)
        return msgspec.json.decode(chance.choice(seen)) if seen else otherwise


def _kind_of(schema: Schema) -> str:
    """Return a name for texts of one pattern, so that ids are swapped only with ids."""
    return f"text {schema['pattern']}" if "pattern" in schema else ""


def fresh(chance: Random, entry: Tree) -> Tree:
    """Return a copy of an entry, usually with an id of its own."""
    copy = msgspec.json.decode(msgspec.json.encode(entry))
    if isinstance(copy, dict) and "id" in copy and chance.random() < 0.9:
        copy["id"] = f"{str(copy['id'])[:40]}-{chance.randrange(10**6)}"
    return copy


def number(chance: Random, schema: Schema, old: float) -> float:
    """Return another number for a place: at a limit, next to one, near the old one, or anywhere
    between.
    """
    whole = schema.get("type") == "integer"
    low: float = schema.get("minimum", schema.get("exclusiveMinimum", -1e6))
    high: float = schema.get("maximum", schema.get("exclusiveMaximum", 1e6))
    if chance.random() < _OUT:
        beyond: list[float] = [
            low - 1,
            high + 1,
            2 * high,
            1e10,
            -1e10,
            1e300,
            1e-45,
            2**53,
            2**31,
            -0.0,
            10**19,
        ]
        return chance.choice(beyond)
    near = [
        old * 2,
        old / 2,
        old + 1,
        old - 1,
        -old,
        old * (1 + 1e-9),
        math.nextafter(old, math.inf),
    ]
    between = [chance.uniform(low, high), chance.uniform(-100, 100), chance.uniform(0, 5), 0, 1]
    spread = math.copysign(10 ** chance.uniform(-6, 5), chance.uniform(-1, 3))
    found = chance.choice([low, high, chance.choice(near), chance.choice(between), spread, old])
    found = min(max(found, low), high)
    return round(found) if whole else found


_PIECES = [
    b"NaN", b"-Infinity", b"1e400", b"-0", b"01", b"1e-400", b'"\\ud800"', b"null", b"[" * 2000,
    b"{}", b'{"a":1,"a":2}', b"9" * 400, b"\x00", b"\xff", b"\xef\xbb\xbf", b"//", b",", b'"',
    b"\\",
]  # fmt: skip


def raw(chance: Random, data: bytes) -> bytes:  # noqa: PLR0911 - one for each way
    """Return the bytes, changed regardless of what they mean."""
    at, to = sorted(chance.randrange(len(data) + 1) for _ in range(2))
    match chance.randrange(6):
        case 0:
            return data[:at]
        case 1:
            return data[:at] + data[to:]
        case 2:
            return data[:to] + data[at:]
        case 3:
            many = chance.choice([1, 1, 3, 20])
            made = bytearray(data)
            for _ in range(many if made else 0):
                made[chance.randrange(len(made))] = chance.randrange(256)
            return bytes(made)
        case 4:
            return data[:at] + chance.choice(_PIECES) + data[at:]
        case _:
            numbers = [k for k, sign in enumerate(data) if sign in b"0123456789"]
            if not numbers:
                return data
            k = chance.choice(numbers)
            return data[:k] + chance.choice(_PIECES) + data[k + 1 :]


# -- splitting into parts --------------------------------------------------------------------------


def parts_of_tree(data: bytes) -> Parts | None:
    """Split a document at everything that could be left out; into slices if it is not JSON."""
    try:
        tree = json.loads(data)
    except (ValueError, RecursionError):
        return slices(data)
    places = list(_places(tree, ()))[:_MOST_PARTS]
    if not places:
        return None

    def join(kept: list[bytes]) -> bytes:
        known = set(kept)
        gone = {place for place in places if json.dumps(place).encode() not in known}
        return json.dumps(_without(tree, (), gone), ensure_ascii=False, indent=1).encode()

    return Parts([json.dumps(place).encode() for place in places], join)


def _places(tree: Tree, at: Path) -> Iterator[Path]:
    """Yield the places in a document, outer ones first."""
    waiting: list[tuple[Path, Tree]] = [(at, tree)]
    while waiting:
        above, inner = waiting.pop(0)
        keys = list(inner) if isinstance(inner, dict) else range(len(inner))
        for key in keys:
            yield (*above, key)
            if isinstance(inner[key], dict | list):
                waiting.append(((*above, key), inner[key]))


def _without(tree: Tree, at: Path, gone: set[Path]) -> Tree:
    if isinstance(tree, dict):
        kept = {key: value for key, value in tree.items() if (*at, key) not in gone}
        return {key: _without(value, (*at, key), gone) for key, value in kept.items()}
    if isinstance(tree, list):
        return [
            _without(value, (*at, k), gone) for k, value in enumerate(tree) if (*at, k) not in gone
        ]
    return tree


def slices(data: bytes, many: int = 64) -> Parts:
    """Split bytes into slices."""
    size = max(-(-len(data) // many), 1)
    return Parts([data[k : k + size] for k in range(0, len(data), size)], b"".join)
