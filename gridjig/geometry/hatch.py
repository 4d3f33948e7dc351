"""Hatch lines clipped to a polygon, so that every output can draw them as plain lines.

Lines are placed from the table's origin, not from the polygon, so the hatch stays in place when a
part moves, and two painters draw the same lines.
"""

import math

from gridjig.geometry.pose import unit
from gridjig.rack import Point
from gridjig.units import format_number

Segment = tuple[Point, Point]


def hatch(
    points: tuple[Point, ...],
    degrees: float,
    pitch: float,
    openings: tuple[tuple[Point, ...], ...] = (),
) -> list[Segment]:
    """Segments inside a closed polygon less its openings (even-odd), `pitch` mm apart
    and at `degrees`.

    The lines are at whole pitches from the origin.  Raises ValueError if the pitch is not above 0.
    """
    if not pitch > 0:
        raise ValueError(f"the hatch pitch is {format_number(pitch)}; it must be greater than 0")
    c, s = unit(degrees)
    levels, *cut_out = (
        _levels([(c * x + s * y, c * y - s * x) for x, y in ring], pitch)
        for ring in (points, *openings)
    )
    for opening in cut_out:
        for k in levels.keys() & opening.keys():
            levels[k] += opening[k]
    found: list[Segment] = []
    for k in sorted(levels):
        v, cuts = k * pitch, levels[k]
        cuts.sort()
        for u1, u2 in zip(cuts[::2], cuts[1::2], strict=True):
            found.append(((c * u1 - s * v, s * u1 + c * v), (c * u2 - s * v, s * u2 + c * v)))
    return found


def _levels(ring: list[Point], pitch: float) -> dict[int, list[float]]:
    """Where the levels at whole pitches cross the ring, by the number of the level.

    Edges are half-open, so that every level is crossed an even number of times.
    """
    levels: dict[int, list[float]] = {}
    u1, v1 = ring[-1]
    for u2, v2 in ring:
        low, high = (v1, v2) if v1 < v2 else (v2, v1)
        for k in range(math.floor(low / pitch), math.ceil(high / pitch) + 1):
            v = k * pitch
            if low <= v < high:
                levels.setdefault(k, []).append(u1 + (v - v1) / (v2 - v1) * (u2 - u1))
        u1, v1 = u2, v2
    return levels
