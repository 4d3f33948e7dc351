"""Which way up: what lies flush on the table, what must be raised, and if the rack can do it.

A part that lies on another with its centre of gravity over the contact is carried; the rest are
raised on two risers each, or on one if another part carries them at one place.  A part carried at
both ends gets a riser in between if the ends are far apart.  Common practice, no source.
"""

from collections.abc import Sequence
from functools import lru_cache

import shapely
from msgspec import Struct

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Part
from gridjig.rack import Rack
from gridjig.rack.same import Same
from gridjig.solve.packing.stacks import Stacks, stacks
from gridjig.solve.weldment.joints import Joint, joints
from gridjig.solve.weldment.meeting import DEEP

FAR = 500.0
"""A part carried at places further apart than this, mm, gets a riser in between."""

AT_MOST = 8
"""The most pieces in one stack of risers."""


class RaisedPart(Struct, frozen=True):
    """A part to be raised: how high in mm, at how many points, and the stack that makes the height.

    `stack` lists the risers from the bottom up; `residual` is the height they fall short by, mm.
    """

    part: str
    height: float
    points: int
    stack: tuple[str, ...]
    residual: float


class WayUpNeeds(Struct, frozen=True):
    """What setting up the weldment this way needs; heights in mm.

    `flush` are the parts that lie on the table, `carried` those that other parts carry.  `needed`
    is how many of each riser it takes, `short` how many the rack lacks.  `height_needed` is the sum
    of all stacks, `height_owned` that of all risers of the rack: if it is less, no other choice
    of risers helps.
    """

    face_down: bool
    flush: tuple[str, ...]
    carried: tuple[str, ...]
    raised: tuple[RaisedPart, ...]
    needed: tuple[tuple[str, int], ...]
    short: tuple[tuple[str, int], ...]
    height_needed: float
    height_owned: float

    @property
    def can_be(self) -> bool:
        """True if the rack has all the risers, as stacked."""
        return not self.short

    @property
    def never(self) -> bool:
        """True if all risers of the rack together are not high enough."""
        return self.height_needed > self.height_owned + DEEP


def ways_up(job: Job) -> tuple[WayUpNeeds, WayUpNeeds]:
    """Return what setting up the weldment needs as it lies and face down, the better way first."""
    return ways_up_of(job.rack, job.parts)


def ways_up_of(rack: Rack, parts: Sequence[Part]) -> tuple[WayUpNeeds, WayUpNeeds]:
    """Return what setting up some parts needs as they lie and face down, the better way first."""
    as_is = _needs(rack, parts, face_down=False)
    over = _needs(rack, parts, face_down=True)
    first, second = sorted((as_is, over), key=_rank)
    return first, second


def _rank(way: WayUpNeeds) -> tuple[object, ...]:
    points = sum(one.points for one in way.raised)
    return (way.never, bool(way.short), points, -len(way.flush), way.face_down)


def _needs(rack: Rack, parts: Sequence[Part], *, face_down: bool) -> WayUpNeeds:
    low = min((p.z_low for p in parts), default=0.0)
    high = max((p.z_high for p in parts), default=0.0)
    heights = {p.id: high - p.z_high if face_down else p.z_low - low for p in parts}
    below: dict[str, list[Joint]] = {}
    for joint in joints(parts):
        if joint.kind == "stacked":
            upper = max((joint.a, joint.b), key=lambda part: heights[part])
            below.setdefault(upper, []).append(joint)
    flush = [p for p in parts if heights[p.id] <= DEEP]
    carried: list[str] = []
    raised: list[RaisedPart] = []
    for part in parts:
        if heights[part.id] <= DEEP:
            continue
        points = _points(part, below.get(part.id, []))
        if below.get(part.id):
            carried.append(part.id)
        if points:
            stack, left = _stack(rack, heights[part.id])
            raised.append(RaisedPart(part.id, heights[part.id], points, stack, left))
    needed: dict[str, int] = {}
    for one in raised:
        for piece in one.stack:
            needed[piece] = needed.get(piece, 0) + one.points
    ordered = [(p, needed[p.id]) for p in rack.pieces if p.id in needed]
    return WayUpNeeds(
        face_down=face_down,
        flush=tuple(p.id for p in flush),
        carried=tuple(carried),
        raised=tuple(raised),
        needed=tuple((p.id, many) for p, many in ordered),
        short=tuple((p.id, many - p.owned) for p, many in ordered if many > p.owned),
        height_needed=sum(one.height * one.points for one in raised),
        height_owned=sum(p.thickness * p.owned for p in rack.risers),
    )


def _points(part: Part, below: Sequence[Joint]) -> int:
    """How many risers a part needs in addition to what carries it."""
    if not below:
        return 2
    middle = shapely.Polygon(part_ring(part)).centroid
    contacts = shapely.union_all([shapely.Polygon(joint.seam) for joint in below])
    if not contacts.convex_hull.buffer(DEEP).covers(middle):
        return 1
    places = [joint.place for joint in below]
    apart = max(
        (shapely.Point(p).distance(shapely.Point(q)) for p in places for q in places), default=0.0
    )
    return 1 if apart > FAR else 0


def _stack(rack: Rack, height: float) -> tuple[tuple[str, ...], float]:
    """The highest stack of risers up to a height, thickest at the bottom, and what is missing, mm.

    It ignores how many the rack has, so that shortages show up.
    """
    names, made = _stacks(Same(rack))
    fits = [k for k, total in enumerate(made.total.tolist()) if total <= height + DEEP]
    best = fits[-1]
    counts = made.counts[best].tolist()
    pieces = [name for name, many in zip(names, counts, strict=True) for _ in range(many)]
    pieces.sort(key=lambda name: -rack.piece(name).thickness)
    return tuple(pieces), height - float(made.total[best])


@lru_cache(maxsize=16)
def _stacks(rack: Same[Rack]) -> tuple[tuple[str, ...], Stacks]:
    risers = rack.value.risers
    kinds = [(p.thickness, AT_MOST) for p in risers]
    thickest = AT_MOST * max((p.thickness for p in risers), default=0.0)
    return tuple(p.id for p in risers), stacks(kinds, AT_MOST, thickest)
