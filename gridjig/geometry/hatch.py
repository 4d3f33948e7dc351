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
    rings = [[(c * x + s * y, c * y - s * x) for x, y in ring] for ring in (points, *openings)]
    heights = [v for _, v in rings[0]]
    found: list[Segment] = []
    for k in range(math.ceil(min(heights) / pitch), math.floor(max(heights) / pitch) + 1):
        v = k * pitch
        cuts = sorted(cut for ring in rings for cut in _cuts(ring, v))
        for u1, u2 in zip(cuts[::2], cuts[1::2], strict=True):
            found.append(((c * u1 - s * v, s * u1 + c * v), (c * u2 - s * v, s * u2 + c * v)))
    return found


def _cuts(ring: list[Point], v: float) -> list[float]:
    """Where the level `v` crosses the ring, sorted.  Edges are half-open, so the count is even."""
    cuts = []
    u1, v1 = ring[-1]
    for u2, v2 in ring:
        if (v1 <= v) != (v2 <= v):
            cuts.append(u1 + (v - v1) / (v2 - v1) * (u2 - u1))
        u1, v1 = u2, v2
    cuts.sort()
    return cuts
