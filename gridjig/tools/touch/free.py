"""Finds where a piece that would clash can stand clear, by what its pins leave free.

A clash says how deep two things overlap; they overlap until the piece has moved by that much.  So
a range can be walked in steps of that depth without missing any gap that is wider than the least
step.
"""

import math
from collections.abc import Callable, Iterator, Sequence

from msgspec import structs

from gridjig.checks.conflicts import Obstacle, obstacle
from gridjig.contact.shapes import DEPTH
from gridjig.geometry import unit
from gridjig.model import Placement
from gridjig.rack import MountFeature, Point, Solid
from gridjig.solve.mounting.track import track_of
from gridjig.solve.placed.placed_piece import PlacedPiece, PlacedSolid, PoseParameter

from .ground import Ground
from .witness import Sweep, sweep

LEAST = 1.0
"""The least step, mm; gaps narrower than this are of no use."""


def clear_of(ground: Ground, placement: Placement, turning: bool = True) -> Placement | None:
    """Return the same pose with another slide, turn, leaf angle or reach, clear; or None.

    The value taken from each range is the nearest to the present one; the slide is tried first.
    Without `turning` the base keeps its turn.
    """
    here = ground.stood(placement)
    way = here.way
    if here.fault is not None or way is None or here.piece is None:
        return None
    for what, low, high, now, per_mm, made in _ranges(here, placement):
        if what == "turn" and not turning:
            continue
        if barred(ground, here, frozenset([what])) is not None:
            continue
        found = _nearest(ground, _swept(ground, here, what), low, high, now, per_mm, made)
        if found is not None:
            return found
    return None


def _swept(ground: Ground, here: PlacedPiece, what: PoseParameter) -> Sweep | None:
    """How the piece turns past what stands about it, if that value turns it."""
    if what == "turn" and here.way is not None:
        turned = [k for k in here.solids if k.role in ("body", "leaf", "bar")]
        return sweep(ground, turned, here.way.anchor, here.turn, 1.0)
    if what == "leaf" and here.piece is not None and here.piece.pivot is not None:
        turned = [k for k in here.solids if k.role == "leaf"]
        at = here.poses[0].point(here.piece.pivot.at)
        return sweep(ground, turned, at, here.leaf, -1.0 if here.placement.flipped else 1.0)
    return None


def free_values(here: PlacedPiece) -> frozenset[PoseParameter]:
    """Return what the pins of a piece leave free."""
    return frozenset(what for what, *_ in _ranges(here, here.placement))


def barred(ground: Ground, here: PlacedPiece, moved: frozenset[PoseParameter]) -> Obstacle | None:
    """Return what is in the way of the part of a piece that these values do not move, or None."""
    solids = tuple(solid for k in here.solids for solid in _unmoved(here, k, moved))
    return obstacle(
        ground.job, ground.placed_pieces, structs.replace(here, solids=solids), ground.without
    )


def _unmoved(
    here: PlacedPiece, solid: PlacedSolid, moved: frozenset[PoseParameter]
) -> Iterator[PlacedSolid]:
    """What stays in place: the solid, or if it turns about its pin, the disc about the pin."""
    goes = (
        solid.role in ("packing", "handle")
        or "slide" in moved
        or ("leaf" in moved and solid.role == "leaf")
        or ("reach" in moved and solid.role == "bar")
    )
    if goes:
        return
    if "turn" not in moved:
        yield solid
        return
    if here.way is not None and solid.role != "leaf":
        radius = within(solid.points, solid.openings, here.way.anchor)
        if max(math.dist(p, here.way.anchor) for p in solid.points) - radius <= DEPTH:
            yield solid  # round about its pin: turning does not move it
        elif radius > 0.0:
            yield disc(here.way.anchor, radius, solid)


def disc(at: Point, radius: float, solid: PlacedSolid) -> PlacedSolid:
    """Return a disc inside a solid, of the same height; its corners lie on the circle."""
    ring = tuple(
        (at[0] + radius * c, at[1] + radius * s) for c, s in (unit(15.0 * k) for k in range(24))
    )
    return PlacedSolid(ring, solid.z_low, solid.z_high, solid.role)


def within(ring: Sequence[Point], openings: Sequence[Sequence[Point]], at: Point) -> float:
    """Return how far a point is inside a ring and outside its openings, mm; 0 if it is not."""
    far = min((_edge(cut, at) for cut in openings), default=math.inf)
    return 0.0 if any(inside(cut, at) for cut in openings) else min(inside(ring, at), far)


def inside(ring: Sequence[Point], at: Point) -> float:
    """Return how far a point is inside the edge of a ring, mm; 0 if it is outside."""
    (x, y), inside = at, False
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return _edge(ring, at) if inside else 0.0


def _edge(ring: Sequence[Point], at: Point) -> float:
    """The distance of a point from the edge of a ring, mm."""
    (x, y), least = at, math.inf
    for (ax, ay), (bx, by) in zip(ring, (*ring[1:], ring[0]), strict=True):
        length = math.dist((ax, ay), (bx, by))
        t = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / max(length * length, 1e-12)
        t = min(max(t, 0.0), 1.0)
        least = min(least, math.dist((x, y), (ax + t * (bx - ax), ay + t * (by - ay))))
    return least


def room_about(solid: Solid, feature: MountFeature) -> float:
    """Return the radius of the disc about a pin that stays in a solid anywhere in its feature.

    It is 0 if there is none.  Not for arc slots.
    """
    track = track_of(feature)
    if track.kind == "arc":
        return 0.0
    a, b = track.at(0.0), track.at(track.length)
    beside = [
        math.dist(p, track.at(min(max((p[0] - a[0]) * track.ux + (p[1] - a[1]) * track.uy, 0.0),
                                  track.length)))
        for ring in (solid.outline, *solid.openings) for p in ring
    ] if track.kind == "line" else []  # fmt: skip
    ends = (within(solid.outline, solid.openings, end) for end in (a, b))
    return min(*ends, *beside)


Make = Callable[[float], Placement]


def _ranges(
    here: PlacedPiece, placement: Placement
) -> Iterator[tuple[PoseParameter, float, float, float, float, Make]]:
    """Each free value: its range, its present value, and how much moves the piece by 1 mm."""
    way, piece = here.way, here.piece
    assert way is not None
    assert piece is not None
    if way.slides:
        yield (
            "slide", way.slide_low, way.slide_high, here.slide, 1.0,
            lambda v: structs.replace(placement, slide=v, turn=way.nearest(here.turn, v)[0]),
        )  # fmt: skip
    if way.turn_low < way.turn_high and way.link is None:
        low, high = way.turn_low, way.turn_high
        if high - low >= 360.0:
            low, high = here.turn - 180.0, here.turn + 180.0
        per_mm = _per_mm(here.solids, way.anchor)
        yield ("turn", low, high, here.turn, per_mm, lambda v: structs.replace(placement, turn=v))
    if here.leaf_low < here.leaf_high and piece.pivot is not None:
        leaf = [solid for solid in here.solids if solid.role == "leaf"]
        yield (
            "leaf", here.leaf_low, here.leaf_high, here.leaf,
            _per_mm(leaf, here.poses[0].point(piece.pivot.at)),
            lambda v: structs.replace(placement, leaf=v),
        )  # fmt: skip
    if piece.tip is not None:
        yield (
            "reach", piece.tip.reach_min, piece.tip.reach_max, here.reach, 1.0,
            lambda v: structs.replace(placement, reach=v),
        )  # fmt: skip


def _per_mm(solids: Sequence[PlacedSolid], at: Point) -> float:
    """The turn in degrees about a point that moves the farthest point of some bodies by 1 mm."""
    far = max((math.dist(p, at) for solid in solids for p in solid.points), default=1.0)
    return math.degrees(1.0 / max(far, 1.0))


def _nearest(
    ground: Ground,
    swept: Sweep | None,
    low: float,
    high: float,
    now: float,
    per_mm: float,
    made: Make,
) -> Placement | None:
    """Return the value nearest to `now` with nothing in the way."""
    found = []
    for end, sign in ((high, 1.0), (low, -1.0)):
        value = min(max(now, low), high)
        while True:
            if swept is not None:
                beyond = swept.past(value, sign, end)
                if beyond is None:
                    break
                value = beyond
            there = made(value)
            stop = ground.in_the_way(there)
            if stop is None:
                found.append((abs(value - now), there))
                break
            if value == end or stop.clash is None:  # no value helps if a hole is taken
                break
            step = per_mm * max(stop.clash.depth, LEAST)
            value = min(value + step, end) if sign > 0 else max(value - step, end)
    return min(found, key=lambda f: f[0])[1] if found else None
