"""What all outputs share: how one is written, and the schema of a verb's."""

import json
from collections.abc import Sequence
from typing import Any

import msgspec
from msgspec import Struct

Pair = tuple[float, float]
"""A point, or a range from low to high."""


class Output(Struct, frozen=True, forbid_unknown_fields=True):
    """A part of what a verb prints as JSON; its fields stand in this order."""


def as_json(value: Output) -> str:
    """An output as JSON text, one value a line, the same for the same value."""
    return json.dumps(msgspec.to_builtins(value), indent=1, ensure_ascii=False)


def schema_of(outputs: Sequence[type[Struct]]) -> dict[str, Any]:
    """JSON Schema of what a verb prints, which may have one form or another."""
    refs, parts = msgspec.json.schema_components(outputs, ref_template="#/$defs/{name}")
    head: dict[str, Any] = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    top = refs[0] if len(refs) == 1 else {"anyOf": list(refs)}
    return {**head, **top, "$defs": parts}
