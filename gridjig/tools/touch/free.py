"""Where a piece that would stand in something can stand clear of it, by what its pins leave free.

A clash tells how deep two things lie in one another; they stay in one another until the piece has
moved by that much.  So a range is walked in steps of that depth and no gap of it is passed over
that is wider than the least step.
"""

import math
from collections.abc import Callable, Iterator

from msgspec import structs

from gridjig.model import Placement
from gridjig.solve.placed.placed_piece import PlacedPiece

from .ground import Ground

LEAST = 0.25
"""The least step, mm: a place that is narrower than this is not worth standing in."""


def clear_of(ground: Ground, placement: Placement) -> Placement | None:
    """The same holes and the same way round with another slide, turn, leaf or reach; or None.

    Of each range the nearest value to the present one; the slide is tried first.
    """
    here = ground.stood(placement)
    way = here.way
    if here.fault is not None or way is None or here.piece is None:
        return None
    for low, high, now, per_mm, made in _ranges(here, placement):
        found = _nearest(ground, low, high, now, per_mm, made)
        if found is not None:
            return found
    return None


Make = Callable[[float], Placement]


def _ranges(
    here: PlacedPiece, placement: Placement
) -> Iterator[tuple[float, float, float, float, Make]]:
    """Each free value: its range, where it stands, how much of it moves the piece by 1 mm."""
    way, piece = here.way, here.piece
    assert way is not None
    assert piece is not None
    if way.slides:
        yield (
            way.slide_low, way.slide_high, here.slide, 1.0,
            lambda v: structs.replace(placement, slide=v, turn=way.nearest(here.turn, v)[0]),
        )  # fmt: skip
    per_mm = math.degrees(1.0 / max(_radius(here), 1.0))
    if way.turn_low < way.turn_high and way.link is None:
        low, high = way.turn_low, way.turn_high
        if high - low >= 360.0:
            low, high = here.turn - 180.0, here.turn + 180.0
        yield (low, high, here.turn, per_mm, lambda v: structs.replace(placement, turn=v))
    if here.leaf_low < here.leaf_high:
        yield (
            here.leaf_low, here.leaf_high, here.leaf, per_mm,
            lambda v: structs.replace(placement, leaf=v),
        )  # fmt: skip
    if piece.tip is not None:
        yield (
            piece.tip.reach_min, piece.tip.reach_max, here.reach, 1.0,
            lambda v: structs.replace(placement, reach=v),
        )  # fmt: skip


def _radius(here: PlacedPiece) -> float:
    """How far the farthest point of a piece lies from where it is pinned, mm."""
    pose = here.poses[0]
    points = [p for solid in here.solids for p in solid.points]
    return 2.0 * max((math.dist(p, (pose.x, pose.y)) for p in points), default=1.0)


def _nearest(
    ground: Ground, low: float, high: float, now: float, per_mm: float, made: Make
) -> Placement | None:
    """The value nearest to `now` at which nothing is in the way."""
    found = []
    for end, sign in ((high, 1.0), (low, -1.0)):
        value = min(max(now, low), high)
        while True:
            there = made(value)
            stop = ground.in_the_way(there)
            if stop is None:
                found.append((abs(value - now), there))
                break
            if value == end or stop.clash is None:  # no value gets out of a hole that is taken
                break
            step = per_mm * max(stop.clash.depth, LEAST)
            value = min(value + step, end) if sign > 0 else max(value - step, end)
    return min(found, key=lambda f: f[0])[1] if found else None
