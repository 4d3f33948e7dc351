"""The shape of a piece as text that can be typed: corners, holes and openings, one to a line.

A line that nobody has changed gives back exactly the value that it was written for, although
lengths are written with few digits.
"""

from collections.abc import Callable, Sequence
from typing import TypeVar

from gridjig.geometry import unit
from gridjig.rack import MountFeature, Point, RoundHole, StraightSlot
from gridjig.units import Display, ParseError, format_coordinate, parse_length

from .stretch import disc_of

T = TypeVar("T")
Corners = tuple[Point, ...]
_STEP = 6.0  # degrees per chord of a round opening that was typed
_LONGEST = 40  # characters of a line that are quoted

CORNER = "`x, y`"
HOLE = "`x, y, diameter`, or a slot as `x, y, x, y, width`"
OPENING = "`x, y, diameter`, or corners as `x, y; x, y; x, y`"


def ring_text(ring: Corners, display: Display) -> str:
    """The corners of an outline, one to a line."""
    return "\n".join(_numbers(p, display) for p in ring)


def parse_ring(text: str, before: Corners, display: Display) -> Corners:
    """The corners that a text has; counter-clockwise.  Raises ValueError that names the line."""
    known = {_numbers(p, display): p for p in before}

    def corner(line: str) -> Point:
        x, y = _lengths(line, (2,), CORNER, display)
        return (x, y)

    ring = tuple(_each(text, known, corner))
    if len(ring) < 3:
        raise ValueError(f"An outline needs at least three corners; this one has {len(ring)}.")
    return ring if area_of(ring) >= 0 else ring[::-1]


def holes_text(holes: Sequence[MountFeature], display: Display) -> str:
    """The round holes and straight slots among some mount features, one to a line."""
    return "\n".join(_hole_line(hole, display) for hole in typed_holes(holes))


def typed_holes(holes: Sequence[MountFeature]) -> tuple[RoundHole | StraightSlot, ...]:
    """The features that can be typed: round holes and straight slots of the base."""
    return tuple(h for h in holes if isinstance(h, RoundHole | StraightSlot) and not h.body)


def parse_holes(
    text: str, before: Sequence[MountFeature], display: Display
) -> tuple[RoundHole | StraightSlot, ...]:
    """The holes that a text has.  Raises ValueError that names the line.

    A line keeps the id of the hole that stood on it, so that placed pieces stay pinned by it; a new
    line gets a free one.
    """
    old = typed_holes(before)
    known = {_hole_line(hole, display): hole for hole in old}

    def hole(line: str) -> RoundHole | StraightSlot:
        found = _lengths(line, (3, 5), HOLE, display)
        if len(found) == 3:
            return RoundHole("new", (found[0], found[1]), found[2])
        return StraightSlot("new", (found[0], found[1]), (found[2], found[3]), found[4])

    made = _each(text, known, hole)
    names = _ids(made, old, {h.id for h in before if h not in old})
    return tuple(
        type(one)(**{key: getattr(one, key) for key in one.__struct_fields__} | {"id": name})
        for one, name in zip(made, names, strict=True)
    )


def _ids(
    made: Sequence[RoundHole | StraightSlot],
    old: Sequence[RoundHole | StraightSlot],
    taken: set[str],
) -> list[str]:
    kept = {one.id for one in made if one.id != "new"}
    names: list[str] = []
    for at, one in enumerate(made):
        name = one.id
        stood = old[at] if at < len(old) and len(old) == len(made) else None
        if name == "new" and stood is not None and stood.id not in kept:
            name = stood.id
        if name == "new" or name in names:
            stem = "hole" if isinstance(one, RoundHole) else "slot"
            used = {*taken, *kept, *names, *(h.id for h in old)}
            name = next(n for n in (f"{stem}-{k}" for k in range(1, 10_000)) if n not in used)
        names.append(name)
    return names


def openings_text(openings: Sequence[Corners], display: Display) -> str:
    """The openings of an outline, one to a line."""
    return "\n".join(_opening_line(ring, display) for ring in openings)


def parse_openings(text: str, before: Sequence[Corners], display: Display) -> tuple[Corners, ...]:
    """The openings that a text has.  Raises ValueError that names the line."""
    known = {_opening_line(ring, display): ring for ring in before}

    def opening(line: str) -> Corners:
        if ";" not in line:
            x, y, diameter = _lengths(line, (3,), OPENING, display)
            if diameter <= 0:
                raise ValueError("a round opening needs a diameter greater than 0")
            turns = (unit(_STEP * k) for k in range(round(360 / _STEP)))
            return tuple((x + diameter / 2 * c, y + diameter / 2 * s) for c, s in turns)
        corners = [_lengths(one, (2,), OPENING, display) for one in line.split(";")]
        if len(corners) < 3:
            raise ValueError("an opening needs at least three corners")
        return tuple((x, y) for x, y in corners)

    return tuple(_each(text, known, opening))


def _each(text: str, known: dict[str, T], read: Callable[[str], T]) -> list[T]:
    """What each line stands for.  Raises ValueError with the line's number and words."""
    found: list[T] = []
    for number, line in enumerate(text.splitlines(), 1):
        said = " ".join(line.split())
        if not said:
            continue
        try:
            found.append(known[said] if said in known else read(said))
        except ValueError as fault:
            short = said if len(said) <= _LONGEST else f"{said[:_LONGEST]}…"
            raise ValueError(f"Line {number}, “{short}”: {str(fault).rstrip('.')}.") from fault
    return found


def _lengths(line: str, counts: tuple[int, ...], form: str, display: Display) -> list[float]:
    parts = line.split(",")
    if len(parts) not in counts:
        plain = form.replace("`", "")
        raise ValueError(f"type {plain}, with a point for decimals")
    try:
        return [parse_length(part.strip(), display.unit) for part in parts]
    except ParseError as fault:
        raise ValueError(str(fault)) from fault


def _numbers(values: Sequence[float], display: Display) -> str:
    return ", ".join(format_coordinate(value, display) for value in values)


def _hole_line(hole: RoundHole | StraightSlot, display: Display) -> str:
    if isinstance(hole, RoundHole):
        return _numbers((*hole.at, hole.diameter), display)
    return _numbers((*hole.a, *hole.b, hole.width), display)


def _opening_line(ring: Corners, display: Display) -> str:
    round_ = disc_of(ring)
    if round_ is not None:
        return _numbers((*round_[0], 2 * round_[1]), display)
    return "; ".join(_numbers(p, display) for p in ring)


def area_of(ring: Corners) -> float:
    """The area of a ring, mm2; negative if it runs clockwise."""
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2
