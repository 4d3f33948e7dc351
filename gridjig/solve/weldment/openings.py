"""Where a part goes through an opening of a plate and meets its edge, in plan; mm."""

import math
from collections.abc import Sequence

import numpy as np
import shapely
from msgspec import Struct

from gridjig.rack import Point

from .meeting import DEEP, LEAST


class Fit(Struct, frozen=True):
    """A stretch along which a part meets the edge of the opening that it goes through.

    `line` runs along the part, closed where it fits all round; `gap` is the widest gap there.
    """

    line: tuple[Point, ...]
    length: float
    gap: float


def fits(ring: Sequence[Point], openings: Sequence[Sequence[Point]], gap: float) -> list[Fit]:
    """The stretches of a part's outline that face the edge of an opening round it, within the gap.

    An outline that leads away from the edge, as round a corner, does not face it.
    """
    if not openings:
        return []
    inner = shapely.Polygon(ring)
    found = []
    for opening in openings:
        hole = shapely.Polygon(opening)
        if hole.buffer(DEEP).contains(inner):
            found += _along(inner.exterior, hole.exterior, gap)
    return found


def _along(line: shapely.LinearRing, edge: shapely.LinearRing, gap: float) -> list[Fit]:
    step = max(_STEP, line.length / _MOST_STEPS)
    points = shapely.get_coordinates(shapely.segmentize(line, step))
    away = np.atleast_1d(shapely.distance(shapely.points(points), edge))
    ends = np.stack((points[:-1], points[1:]), axis=1)
    long = np.hypot(*(points[1:] - points[:-1]).T)
    facing = np.abs(np.diff(away)) <= _LEADS_AWAY * long
    near = np.maximum(away[:-1], away[1:]) <= gap + DEEP
    pieces = shapely.linestrings(ends[facing & near])
    merged = shapely.simplify(shapely.line_merge(shapely.multilinestrings(pieces)), _STRAIGHT)
    found = []
    for piece in shapely.get_parts(merged).tolist():
        if piece.length >= LEAST:
            coords = tuple((x, y) for x, y in piece.coords)
            wide = np.max(shapely.distance(shapely.points(coords), edge))
            found.append(Fit(coords, piece.length, min(float(wide), gap)))
    return found


_STEP = 0.5
"""How finely an outline is compared with the edge, mm."""
_LEADS_AWAY = math.sin(math.radians(45.0))
"""How fast a line may leave the edge that it faces: at 45 degrees it is as much beside it."""
_MOST_STEPS = 50_000
"""The most steps that an outline is compared in; a longer one is compared less finely."""
_STRAIGHT = 1e-6
