"""Plan outlines made from points."""

import math
from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING, cast

from gridjig.rack import Point

from .pose import unit

if TYPE_CHECKING:
    from shapely.geometry import Polygon
    from shapely.geometry.base import BaseGeometry

CLOSED = 1e-6
"""A sector within this many degrees of a full circle counts as a disc."""


def polygon(points: Iterable[Point]) -> "Polygon":
    """The polygon through the points; not prepared, as two threads may ask it at once."""
    import numpy as np  # noqa: PLC0415  # late: few functions need it
    import shapely  # noqa: PLC0415  # late: costs 0.1 s with numpy

    ring = tuple(points)
    # Polygon(ring) would look at each point by itself, which takes twice as long.
    return cast("Polygon", shapely.polygons(np.array(ring))) if ring else shapely.Polygon()


def covered(points: Iterable[Point]) -> "BaseGeometry":
    """The whole area enclosed by the outline through the points.

    If it crosses itself every loop counts; a buffer of 0 would drop one loop of a figure of eight.
    """
    made = polygon(points)
    if made.is_valid:
        return made
    import shapely  # noqa: PLC0415  # late, as above

    return shapely.make_valid(made, method="structure", keep_collapsed=False)


def bounds(points: Iterable[Point]) -> tuple[float, float, float, float]:
    """Least x, least y, greatest x and greatest y in mm.  Needs at least one point."""
    every = tuple(points)
    xs, ys = [p[0] for p in every], [p[1] for p in every]
    return (min(xs), min(ys), max(xs), max(ys))


def rectangle(a: Point, b: Point) -> tuple[Point, ...]:
    """The axis-aligned rectangle between two corners, counter-clockwise from its lower left."""
    x0, x1 = sorted((a[0], b[0]))
    y0, y1 = sorted((a[1], b[1]))
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def strip(a: Point, b: Point, width: float) -> tuple[Point, ...]:
    """The rectangle of a width centred on the line from a to b, counter-clockwise.

    The two points must differ.
    """
    dx, dy = b[0] - a[0], b[1] - a[1]
    half = width / 2.0 / math.hypot(dx, dy)
    nx, ny = -dy * half, dx * half
    return (
        (a[0] - nx, a[1] - ny),
        (b[0] - nx, b[1] - ny),
        (b[0] + nx, b[1] + ny),
        (a[0] + nx, a[1] + ny),
    )


def sector(
    centre: Point, radius: float, start: float, end: float, step: float = 10.0
) -> tuple[Point, ...]:
    """A sector or full disc, counter-clockwise, circumscribed so that it hides no clash.

    Angles in degrees, end > start.  Chords of at most `step` degrees touch the arc from outside, so
    the outline is too large by up to radius * (1/cos(step/2) - 1): 0.4 % for 10 degrees.
    """
    span = min(end - start, 360.0)
    parts = max(1, math.ceil(span / step))
    part = span / parts
    out = radius / math.cos(math.radians(part / 2.0))
    if span >= 360.0 - CLOSED:
        x, y = centre
        return tuple((x + out * c, y + out * s) for c, s in _round(start, part, parts))
    ends = (_off(centre, radius, start), _off(centre, radius, end))
    arc = (_off(centre, out, start + part * (k + 0.5)) for k in range(parts))
    return (centre, ends[0], *arc, ends[1])


@lru_cache(maxsize=32)  # nearly every disc starts at 0 and has the same step
def _round(start: float, part: float, parts: int) -> tuple[Point, ...]:
    return tuple(unit(start + part * k) for k in range(parts))


def disc(centre: Point, radius: float, step: float = 10.0) -> tuple[Point, ...]:
    """A disc as a circumscribed polygon, counter-clockwise; see `sector`."""
    return sector(centre, radius, 0.0, 360.0, step)


def _off(centre: Point, radius: float, degrees: float) -> Point:
    c, s = unit(degrees)
    return (centre[0] + radius * c, centre[1] + radius * s)
