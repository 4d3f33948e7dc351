"""Names on parts of the weldment, moved along them where the pad of a clamp would cover them.

Pads are drawn over the work, as they lie on it; a name under one could not be read.
"""

from collections.abc import Collection

from msgspec import structs

from gridjig.geometry import unit
from gridjig.geometry.display import DisplayList, Shape, TextLabel
from gridjig.rack import Point

from .bars import NAME_AT

Pad = tuple[Point, float]
"""Centre and radius of a clamp's pad, mm on the table."""

_ROOM = 1.8  # the greatest length of a name, as a multiple of the distance to the nearer end
_CLEAR = 0.15  # of the part's length: with no pad nearer than this a name stays where it is
_BESIDE = 2.0  # radii from the line of a name within which a pad may cover letters


def clear_of(drawing: DisplayList, pads: Collection[Pad]) -> DisplayList:
    """Return a part's drawing with its name in the middle of the widest stretch without pads."""
    if not pads:
        return drawing
    return tuple(_moved(shape, pads) for shape in drawing)


def _moved(shape: Shape, pads: Collection[Pad]) -> Shape:
    if not isinstance(shape, TextLabel) or not shape.cleared or not shape.room:
        return shape
    (x, y), (c, s) = shape.at, unit(shape.turn)
    length = shape.room / (_ROOM * NAME_AT)
    x0, y0 = x - NAME_AT * length * c, y - NAME_AT * length * s
    taken: list[tuple[float, float]] = []
    for (px, py), radius in pads:
        along = (px - x0) * c + (py - y0) * s
        across = (py - y0) * c - (px - x0) * s
        if abs(across) < _BESIDE * radius and -radius < along < length + radius:
            taken.append((along - radius, along + radius))
    here = NAME_AT * length
    if all(not a - _CLEAR * length < here < b + _CLEAR * length for a, b in taken):
        return shape
    at, room = _widest(sorted(taken), length)
    room = max(_ROOM / 2 * room, shape.room / 2)  # better a covered letter than no name at all
    return structs.replace(shape, at=(x0 + at * c, y0 + at * s), room=room)


def _widest(taken: list[tuple[float, float]], length: float) -> tuple[float, float]:
    """The middle and length of the longest stretch between the taken ones; the first if equal."""
    best, free = (length / 2, 0.0), 0.0
    for a, b in [*taken, (length, length)]:
        if min(a, length) - free > best[1] + 1e-6:
            best = ((free + min(a, length)) / 2, min(a, length) - free)
        free = max(free, b)
    return best
