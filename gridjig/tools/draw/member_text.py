"""Reads what is typed while a member is drawn: its length, angle, a point, or its height."""

import re

from msgspec import Struct

from gridjig.model import Table
from gridjig.model.labels import find_hole
from gridjig.rack import Point
from gridjig.units import ParseError, Unit, parse_angle, parse_length

_PARTED = re.compile(r"\s*\bat\b\s*", re.IGNORECASE)
_HEIGHT = re.compile(r"\s*(?:z|height)\b\s*=?\s*(.*)", re.IGNORECASE)
_ANGLED = re.compile(r"[:°º]|\bdeg|\bin\s*\d")


class TypedMember(Struct, frozen=True):
    """What was typed; None for what was not given.  Lengths in mm, angle in degrees."""

    point: Point | None = None
    length: float | None = None
    angle: float | None = None
    height: float | None = None


def read_member(text: str, table: Table, unit: Unit, origin: Point = (0.0, 0.0)) -> TypedMember:
    """Read `C4`, `12, 30`, `24`, `24 at 37.5`, `24 at 4:12`, `at 90`, `4:12` or `z 1/4`.

    Points of two lengths are counted from `origin`.  Raises ParseError, with what is accepted.
    """
    height = _HEIGHT.fullmatch(text)
    if height is not None:
        return TypedMember(height=parse_length(height[1], unit))
    try:
        return TypedMember(point=table.at(find_hole(table, text)))
    except ParseError:
        pass
    parts = _PARTED.split(text.strip())
    if len(parts) == 2:
        length = _positive(text, parts[0], unit) if parts[0] else None
        return TypedMember(length=length, angle=parse_angle(parts[1]))
    if "," in text:
        x, _, y = text.partition(",")
        point = (origin[0] + parse_length(x, unit), origin[1] + parse_length(y, unit))
        return TypedMember(point=point)
    if _ANGLED.search(text):
        return TypedMember(angle=parse_angle(text))
    return TypedMember(length=_positive(text, text, unit))


def _positive(text: str, part: str, unit: Unit) -> float:
    try:
        length = parse_length(part, unit)
    except ParseError as parse_error:
        if _two_numbers(part, unit):
            x, y = part.split()
            why = f"for a point, put a comma between x and y: {x}, {y}"
            raise ParseError(text, None, why) from parse_error
        raise
    if length <= 0:
        raise ParseError(
            text,
            None,
            "a member must be longer than 0; to reverse it, type an angle such as 24 at 180",
        )
    return length


def _two_numbers(text: str, unit: Unit) -> bool:
    """True for two lengths with a space between them, such as a point without its comma."""
    words = text.split()
    try:
        return len(words) == 2 and all(parse_length(word, unit) is not None for word in words)
    except ParseError:
        return False
