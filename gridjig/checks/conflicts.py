"""The one conflict relation: two things cannot both be there.  Checks, tools and solvers use it.

Two pieces conflict if they share a hole, or if they overlap in plan and in height at once.
Touching is no conflict, and a piece raised clear of another does not clash with it.
"""

import math
from collections.abc import Iterable, Mapping, Sequence, Set
from functools import lru_cache
from itertools import chain
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from gridjig.geometry.nearby import Box
from gridjig.geometry.shapes import covered
from gridjig.model import Hole, Job, Placement
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve import Stand, StoodSolid, stand
from gridjig.units import format_length

from .neighbours import StoodOutline, Thing, parts_of, pieces_of

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

AREA = 1.0
"""Overlap up to this many mm2 is contact."""

DEPTH = 0.05
"""Overlap up to this many mm deep, in plan or in height, is contact: half the last digit shown."""


class Clash(Struct, frozen=True):
    """Why two things cannot both be there.

    kind "hole": they share one; "body": they overlap by `area` mm2, `depth` mm deep in plan, as
    `height` mm in height, about `where`; "handle": as body, but it is only a clamp's handle that
    sweeps there.  `hole` is the shared one.
    """

    kind: Literal["hole", "body", "handle"]
    a: str
    b: str
    where: Point
    hole: Hole | None = None
    area: float = 0.0
    depth: float = 0.0
    height: float = 0.0


class _Room(Struct, frozen=True):
    """One solid of a thing, ready to be measured."""

    plan: "BaseGeometry"
    box: Box
    z_low: float
    z_high: float
    handle: bool


class _Print(Struct, frozen=True):
    """All solids of a thing and the box about them."""

    rooms: tuple[_Room, ...]
    box: Box


_NOWHERE = (math.inf, math.inf, -math.inf, -math.inf)


@lru_cache(maxsize=4096)
def _print_of(key: Same[Thing]) -> _Print:
    thing = key.value
    rooms: tuple[_Room, ...]
    if isinstance(thing, StoodOutline):
        rooms = (_room(thing.points, thing.z_low, thing.z_high, False),)
    else:
        rooms = tuple(map(_solid_room, thing.solids))
    return _Print(rooms, _around(room.box for room in rooms))


def _solid_room(solid: StoodSolid) -> _Room:
    return _room(solid.points, solid.z_low, solid.z_high, solid.part == "handle")


def _room(points: tuple[Point, ...], low: float, high: float, handle: bool) -> _Room:
    plan = covered(points)
    return _Room(plan, plan.bounds or _NOWHERE, low, high, handle)


def _around(
    boxes: Iterable[Box],
) -> Box:
    every = [*boxes, _NOWHERE]
    return (
        min(b[0] for b in every),
        min(b[1] for b in every),
        max(b[2] for b in every),
        max(b[3] for b in every),
    )


def _near(a: Box, b: Box) -> bool:
    return (
        a[2] - b[0] > DEPTH and b[2] - a[0] > DEPTH and a[3] - b[1] > DEPTH and b[3] - a[1] > DEPTH
    )


def conflict(a: Stand, b: Thing) -> Clash | None:
    """The first conflict of two things: a shared hole, else where their bodies overlap most, else
    a handle that sweeps into the other; None if both can be there.
    """
    if isinstance(b, Stand):
        shared = next((hole for hole in a.holes if hole in b.holes), None)
        if shared is not None:
            return Clash("hole", _id(a), _id(b), _centre(a), hole=shared)
    one, two = _print_of(Same(a)), _print_of(Same(b))
    if not _near(one.box, two.box):
        return None
    found = [
        clash
        for room in one.rooms
        for other in two.rooms
        if (clash := _overlap(a, b, room, other)) is not None
    ]
    return min(found, key=lambda c: (c.kind, -c.area), default=None)


def _overlap(a: Thing, b: Thing, one: _Room, two: _Room) -> Clash | None:
    height = min(one.z_high, two.z_high) - max(one.z_low, two.z_low)
    if height <= DEPTH or not _near(one.box, two.box) or (one.handle and two.handle):
        return None
    if not one.plan.intersects(two.plan):
        return None
    return _measured(a, b, one, two, height, one.plan.intersection(two.plan))


def _measured(
    a: Thing, b: Thing, one: _Room, two: _Room, height: float, common: "BaseGeometry"
) -> Clash | None:
    """The clash of an overlap in plan, or None if it is only contact."""
    area = float(common.area)
    if area <= AREA:
        return None
    depth = _way_in(common)
    if depth <= DEPTH:
        return None
    at = common.representative_point()
    kind: Literal["body", "handle"] = "handle" if one.handle or two.handle else "body"
    return Clash(kind, _id(a), _id(b), (at.x, at.y), None, area, depth, height)


_FULL = 0.9
"""An overlap that fills so much of its hull goes in as deep as the rectangle about it."""


def _way_in(area: "BaseGeometry") -> float:
    """How far in an overlap goes, mm: as wide as it is at its widest, straight across.

    A square over a corner of the work overlaps it in an angle: the rectangle about that is as deep
    as the work is wide, the overlap only as wide as the strip that makes the angle.
    """
    import shapely  # noqa: PLC0415  # late: it is not needed to show a table

    parts = [part for part in shapely.get_parts(area) if part.area > 0.0]
    return max((_width(part) for part in parts), default=0.0)


def _width(part: "BaseGeometry") -> float:
    """The shorter side of the rectangle about a part; narrowed down where it is hollow."""
    import shapely  # noqa: PLC0415  # late, as above

    high = _short_side(part)
    if part.area >= _FULL * part.convex_hull.area:
        return high
    low = 0.0
    while high - low > DEPTH / 10:
        middle = (low + high) / 2
        left = shapely.buffer(part, -middle / 2, join_style="mitre")
        low, high = (low, middle) if left.is_empty else (middle, high)
    return high


def _short_side(area: "BaseGeometry") -> float:
    """The shorter side of the tightest rectangle about it, mm."""
    import shapely  # noqa: PLC0415  # late, as above

    around = shapely.oriented_envelope(area)
    corners = shapely.get_coordinates(around)
    (ax, ay), (bx, by), (cx, cy) = corners[0], corners[1], corners[2]
    return float(min(math.hypot(bx - ax, by - ay), math.hypot(cx - bx, cy - by)))


def _id(thing: Thing) -> str:
    return thing.placement.id if isinstance(thing, Stand) else thing.id


def _centre(thing: Stand) -> Point:
    pose = thing.poses[0] if thing.poses else None
    return (pose.x, pose.y) if pose else (0.0, 0.0)


MOST_PAIRS = 20_000
"""Pairs in one place that are compared for a whole job: some 5 s and 100 MB."""
_AT_ONCE = 64
"""Outlines whose neighbours are asked for together."""


class Clashes(Struct, frozen=True):
    """What was found, and whether that is all: not if there are more than MOST_PAIRS pairs."""

    found: tuple[Clash, ...]
    all: bool


def clashes(stands: Iterable[Stand], outlines: Iterable[StoodOutline] = ()) -> tuple[Clash, ...]:
    """Every conflict among the stands, and of them with the outlines, in the order of both.

    One clash a pair, the same as `conflict` finds; found for the whole job at once.  Stands with a
    fault are left out: where they are is not where they would be.
    """
    return every_clash(stands, outlines).found


def every_clash(stands: Iterable[Stand], outlines: Iterable[StoodOutline] = ()) -> Clashes:
    """The conflicts as `clashes` has them, and whether all pairs were compared."""
    stood = [s for s in stands if s.fault is None]
    things: list[Thing] = [*stood, *outlines]
    pairs: set[tuple[int, int]] = set()
    for pair in chain(_sharing(stood), _close(things, len(stood))):
        pairs.add(pair)
        if len(pairs) > MOST_PAIRS:
            break
    found: list[Clash] = []
    for i, j in sorted(pairs)[:MOST_PAIRS]:
        one = things[i]
        assert isinstance(one, Stand)
        clash = conflict(one, things[j])
        if clash is not None:
            found.append(clash)
    return Clashes(tuple(found), len(pairs) <= MOST_PAIRS)


def _sharing(stood: Sequence[Stand]) -> Iterable[tuple[int, int]]:
    """Pairs that share a hole, the lower index first."""
    users: dict[Hole, list[int]] = {}
    for index, one in enumerate(stood):
        for hole in one.holes:
            before = users.setdefault(hole, [])
            yield from ((other, index) for other in before)
            before.append(index)


def _close(things: Sequence[Thing], stands: int) -> Iterable[tuple[int, int]]:
    """Pairs whose outlines meet in plan, at least one of them a piece, the lower index first."""
    if len(things) < 2:
        return
    import shapely  # noqa: PLC0415  # late, as above

    rooms = [(i, room) for i, t in enumerate(things) for room in _print_of(Same(t)).rooms]
    plans = [room.plan for _, room in rooms]
    tree = shapely.STRtree(plans)
    for begin in range(0, len(plans), _AT_ONCE):
        left, right = tree.query(plans[begin : begin + _AT_ONCE], predicate="intersects")
        for u, v in zip(left.tolist(), right.tolist(), strict=True):
            i, j = rooms[begin + u][0], rooms[v][0]
            if i < j and i < stands:
                yield (i, j)


def refusal(
    job: Job,
    stands: Mapping[str, Stand],
    placement: Placement,
    ignoring: Set[str] = frozenset(),
) -> str | None:
    """The first reason, in a sentence, why a placement cannot be there; None if it can.

    Off the table, a hole that cannot be used, a pin that does not fit, a hole that is taken, a
    clash with a piece, a clash with the weldment, in this order.  It is never in its own way, and
    what is named in `ignoring` is not in it either.
    """
    return refused(job, stands, stand(job.table, job.rack, placement, job.display), ignoring)


def refused(
    job: Job, stands: Mapping[str, Stand], here: Stand, ignoring: Set[str] = frozenset()
) -> str | None:
    """The same of what stands so already, be it a plate that no rack has yet."""
    if here.fault is not None:
        return here.fault
    left_out = {here.placement.id, *ignoring}
    pieces = pieces_of(stands)
    for other in pieces.pinned_in(here.holes):
        if _id(other) not in left_out:
            assert isinstance(other, Stand)
            hole = next(hole for hole in here.holes if hole in other.holes)
            return f"Hole {address(job.table, hole)} is taken by {title(job, _id(other))}."
    for thing in (*pieces.near(here), *parts_of(job.outlines).near(here)):
        clash = None if _id(thing) in left_out else conflict(here, thing)
        if clash is not None and clash.kind == "body":
            return f"It would overlap {title(job, clash.b)} by {overlap_words(job, clash)}."
    return None


def overlap_words(job: Job, clash: Clash) -> str:
    """How far two things overlap in plan, the shorter way out."""
    return format_length(clash.depth, job.display)
