"""The holes of a plate as text, the same way that they are typed:

`18 at 30, 30; 170, 30; slot 14 from 60, 20 to 90, 60; opening 10, 50; 40, 50; 40, 80`.
"""

import re
from collections.abc import Iterable, Sequence
from itertools import groupby

from gridjig.geometry.plate_holes import hole_middle
from gridjig.geometry.shapes import bounds
from gridjig.model import CutOut, Drilled, PlateHole, Slotted
from gridjig.rack import Point
from gridjig.units import (
    Display,
    ParseError,
    Unit,
    format_coordinate,
    format_count,
    format_length,
    parse_length,
)

_EXAMPLES = {
    True: (
        "18 at 30, 30; 170, 30",
        "18 at corners 30",
        "slot 14 from 60, 20 to 90, 60",
        "opening 10, 50; 40, 50; 40, 80",
    ),
    False: (
        "3/4 at 1, 1; 7, 1",
        "3/4 at corners 1",
        "slot 1/2 from 2, 1 to 3, 2",
        "opening 1, 3; 2, 3; 2, 4",
    ),
}
"""Two round holes, one in each corner, a slot, an opening; in mm, or else in inches."""
_ROUND = re.compile(r"(?:ø|⌀|dia\.?\s)?\s*(.+?)\s+at\s+(.+)", re.IGNORECASE)
_CORNERS = re.compile(r"(?:the\s+)?corners\s*(.+)", re.IGNORECASE)
_SLOT = re.compile(r"slot\s+(.+?)\s+from\s+(.+?)\s+to\s+(.+)", re.IGNORECASE)
_OPENING = re.compile(r"opening\s+(.+)", re.IGNORECASE)


def holes_words(holes: Sequence[PlateHole], display: Display) -> str:
    """Return holes as one line that `read_holes` reads back; "" if there are none."""
    said: list[str] = []
    for size, some in groupby(holes, key=lambda hole: getattr(hole, "diameter", None)):
        if size is not None:
            places = "; ".join(_place(h.at, display) for h in some if isinstance(h, Drilled))
            said.append(f"{format_coordinate(size, display)} at {places}")
            continue
        said += [_shape_words(hole, display) for hole in some]
    return "; ".join(said)


def _shape_words(hole: PlateHole, display: Display) -> str:
    if isinstance(hole, Slotted):
        ends = f"from {_place(hole.a, display)} to {_place(hole.b, display)}"
        return f"slot {format_coordinate(hole.width, display)} {ends}"
    assert isinstance(hole, CutOut)
    return f"opening {'; '.join(_place(p, display) for p in hole.corners)}"


def _place(p: Point, display: Display) -> str:
    return f"{format_coordinate(p[0], display)}, {format_coordinate(p[1], display)}"


def hole_examples(unit: Unit) -> tuple[str, str, str, str]:
    """Return what can be typed in that unit: two round holes, one in each corner, a slot and an
    opening.
    """
    return _EXAMPLES[unit == "millimetres"]


def hole_hint(unit: Unit) -> str:
    """Return the short example that stands beside the field."""
    holes, corners, _, _ = hole_examples(unit)
    return f"{holes}; or {corners}"


def _accepts(unit: Unit) -> str:
    holes, corners, slot, _ = hole_examples(unit)
    return (
        f"type round holes as {holes}, one in each corner as {corners}, a slot as {slot}, any other"
        " shape as opening and its corners"
    )


def read_holes(text: str, unit: Unit, corners: Sequence[Point]) -> tuple[PlateHole, ...]:
    """Return the holes typed for a plate with these corners, in its own frame.

    Raise ParseError, with the place and what is accepted.
    """
    holes: list[PlateHole] = []
    opening: list[Point] = []
    size = 0.0
    start = 0
    for part in text.split(";"):
        said = part.strip()
        try:
            if match := _SLOT.fullmatch(said):
                holes += _closed(opening, text, start, unit)
                ends = _point(match[2], unit), _point(match[3], unit)
                holes.append(_slot(*ends, _size(match[1], unit)))
                size = 0.0
            elif match := _OPENING.fullmatch(said):
                holes += _closed(opening, text, start, unit)
                opening.append(_point(match[1], unit))
                size = 0.0
            elif match := _ROUND.fullmatch(said):
                holes += _closed(opening, text, start, unit)
                size = _size(match[1], unit)
                holes += [Drilled(at, size) for at in _places(match[2], unit, corners)]
            elif said and opening:
                opening.append(_point(said, unit))
            elif said and size:
                holes.append(Drilled(_point(said, unit), size))
            elif said:
                raise ParseError(said, None, f"“{said}” is not a hole; {_accepts(unit)}")
        except ParseError as fault:
            raise ParseError(text, start, fault.why) from None
        start += len(part) + 1
    return (*holes, *_closed(opening, text, start, unit))


def _closed(opening: list[Point], text: str, start: int, unit: Unit) -> list[PlateHole]:
    """The opening whose corners were typed so far, and no more of them."""
    corners = tuple(opening)
    opening.clear()
    if corners and len(corners) < 3:
        wanted = f"an opening needs at least three corners; {_accepts(unit)}"
        raise ParseError(text, start, wanted)
    return [CutOut(corners)] if corners else []


def _slot(a: Point, b: Point, width: float) -> Slotted:
    if a == b:
        raise ParseError("", None, "a slot needs two different ends; a round hole has one place")
    return Slotted(a, b, width)


def _places(text: str, unit: Unit, corners: Sequence[Point]) -> list[Point]:
    match = _CORNERS.fullmatch(text.strip())
    if match is None:
        return [_point(text, unit)]
    off = _size(match[1], unit)
    x0, y0, x1, y1 = bounds(corners)
    return [
        (x0 + off, y0 + off),
        (x1 - off, y0 + off),
        (x1 - off, y1 - off),
        (x0 + off, y1 - off),
    ]


def _point(text: str, unit: Unit) -> Point:
    numbers = text.split(",")
    if len(numbers) != 2:
        wanted = f"“{text.strip()}” is not a place of two lengths; {_accepts(unit)}"
        raise ParseError(text, None, wanted)
    return (parse_length(numbers[0], unit), parse_length(numbers[1], unit))


def _size(text: str, unit: Unit) -> float:
    size = parse_length(text, unit)
    if size <= 0:
        raise ParseError(text, None, "the size of a hole is greater than 0")
    return size


def hole_size_words(hole: PlateHole, display: Display) -> str:
    """Return what to drill or cut: Ø18 mm, slot 14 x 50 mm over its ends, opening 40 x 60 mm."""
    match hole:
        case Drilled():
            return f"Ø{format_length(hole.diameter, display)}"
        case Slotted():
            (ax, ay), (bx, by) = hole.a, hole.b
            long = ((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5 + hole.width
            sizes = (format_length(v, display) for v in (hole.width, long))
            return f"slot {' x '.join(sizes)}"
        case CutOut():
            x0, y0, x1, y1 = bounds(hole.corners)
            return f"opening {' x '.join(format_length(v, display) for v in (x1 - x0, y1 - y0))}"


MOST_PLACES = 100
"""The most places of one size of hole that a list writes out."""


def drilled_words(holes: Iterable[PlateHole], display: Display) -> str:
    """Return what is cut in a plate, by size, with the middle of each hole; "" if nothing is.

    Of more than MOST_PLACES holes of one size only the number is given, and that it is.
    """
    by_size: dict[str, list[PlateHole]] = {}
    for hole in holes:
        by_size.setdefault(hole_size_words(hole, display), []).append(hole)
    said = []
    for size, some in by_size.items():
        count = "" if len(some) == 1 else f"{format_count(len(some))} × "
        at = f"at {'; '.join(_spot(hole, display) for hole in some)}"
        if len(some) > MOST_PLACES:
            at = "(too many to list each place)"
        said.append(f"{count}{size} {at}")
    return " · ".join(said)


def _spot(hole: PlateHole, display: Display) -> str:
    x, y = hole_middle(hole)
    return f"{format_length(x, display)}, {format_length(y, display)}"
