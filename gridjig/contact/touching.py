"""Setting what a piece's mount leaves free so that it touches: slide, turn, leaf, reach, packing.

From a placement and a face to placements, best first.  Whether something is in the way is for the
conflict relation to decide.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from msgspec import structs

from gridjig.geometry import unit, wrap
from gridjig.geometry.part_solids import PartFace, PartSolid, part_solids
from gridjig.model import FaceOf, Job, Part, Placement
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.mounting.track import apart, turned_to
from gridjig.solve.mounting.ways import Way
from gridjig.solve.packing.pack import NOTHING, Packing, pack_between, pack_down
from gridjig.solve.placed.placed_piece import PlacedPiece

from .faults import MissesFace, NothingTouches, TouchReason
from .features import PACKING, PARALLEL, FaceFeature, RoundFeature, features_of
from .pressing import clamp_down
from .setting import Touching, changed, placed
from .sides import sides_between
from .upright import Asked, face_contacts, round_contacts
from .values import TOUCH, Contact
from .vee import into_the_v

_STEPS = 12
"""Iterations to bring a slide to a face; along a straight slot the first is exact."""


class _Target(NamedTuple):
    """The face to touch: its outward normal, and its position along that, mm."""

    part: Part
    face: PartFace
    solids: tuple[PartSolid, ...]
    normal: Point
    at: float

    def gap(self, feature: FaceFeature | RoundFeature) -> float:
        """Distance of a feature from the line of the face, mm; negative beyond it."""
        nx, ny = self.normal
        if isinstance(feature, RoundFeature):
            at = nx * feature.centre[0] + ny * feature.centre[1] - feature.radius
        else:
            at = min(nx * p[0] + ny * p[1] for p in (feature.a, feature.b))
        return at - self.at + self._recess(feature)

    def _recess(self, feature: FaceFeature | RoundFeature) -> float:
        """How far back a rounded side is at the heights of a feature."""
        found = [
            solid.flats[k].recess(feature.z_low, feature.z_high)
            for solid in self.solids
            for k, face in enumerate(solid.faces)
            if face == self.face and solid.z_low < feature.z_high and solid.z_high > feature.z_low
        ]
        return min(found, default=0.0)


def ways_to_touch(
    job: Job,
    placement: Placement,
    target: FaceOf,
    used: Mapping[str, int] | None = None,
    facing: bool = False,
) -> tuple[Touching, ...]:
    """All ways to bring a piece, in its holes, to a face of the weldment; best first.

    Those that touch come first, then those with the smallest gap.  `used` is how many of each
    packing piece are in use elsewhere on the table.  There is always at least one answer; if it
    does not touch, `why` gives the reason.  With `facing`, faces of the piece that cannot be
    parallel to that face are left out.  Raises ValueError if the job has no such face.
    """
    face = _target(job, target)
    bare = structs.replace(placement, packing=())
    here = placed(job, bare)
    if here.fault is not None or here.piece is None:
        return (Touching(placement, (), NOTHING, math.nan, None, here.fault),)
    found: list[Touching] = []
    for way in here.ways:
        for index in range(len(_features(here))):
            found += _by(job, placement, bare, way, index, face, used or {}, facing)
    if here.tip is not None and here.tip.push == "down":
        found.append(clamp_down(job, placement, here, face.part))
    lying = [
        one
        for way in here.ways
        for one in into_the_v(job, placement, bare, way, face.part, face.solids)
    ]
    if lying:  # a V that holds the part with both faces, before one that only touches with one
        first = min(lying, key=lambda one: _rank(placement, one))
        found = [one for one in found if one.placement != first.placement]
        return (first, *sorted(found, key=lambda one: _rank(placement, one)))
    if not found:
        nothing = NothingTouches(here.piece.name)
        return (Touching(placement, (), NOTHING, math.nan, None, nothing),)
    single = {structs.astuple(one.placement): one for one in reversed(found)}
    return tuple(sorted(single.values(), key=lambda one: _rank(placement, one)))


def to_touch(
    job: Job, placement: Placement, target: FaceOf, used: Mapping[str, int] | None = None
) -> Touching:
    """The best of `ways_to_touch`."""
    return ways_to_touch(job, placement, target, used)[0]


@lru_cache(maxsize=4)
def _by_id(key: Same[tuple[Part, ...]]) -> Mapping[str, Part]:
    return {part.id: part for part in key.value}


def _target(job: Job, target: FaceOf) -> _Target:
    part = _by_id(Same(job.parts)).get(target.part)
    face = PartFace("side", target.side)
    if part is not None:
        solids = part_solids(part)
        for solid in solids:
            for k, name in enumerate(solid.faces):
                (ax, ay), (bx, by) = solid.ring[k], solid.ring[(k + 1) % len(solid.ring)]
                length = math.hypot(bx - ax, by - ay)
                if name == face and length > 0.0:
                    normal = ((by - ay) / length, (ax - bx) / length)
                    return _Target(part, face, solids, normal, normal[0] * ax + normal[1] * ay)
    raise ValueError(f"no {target}")


def _features(here: PlacedPiece) -> Sequence[FaceFeature | RoundFeature]:
    """The features that can touch an upright face, without the packing beside a round."""
    features = features_of(here)
    return (*(f for f in features.faces if f.id != PACKING), *features.rounds)


def _rank(before: Placement, one: Touching) -> tuple[float, ...]:
    left = abs(one.gap) if math.isfinite(one.gap) else math.inf
    return (
        not one.touches,
        not one.stands,
        round(left / TOUCH) if math.isfinite(left) else math.inf,
        one.packing.count,
        len(one.changes),
        round(apart(one.placement.turn, before.turn), 6),
        abs(one.placement.slide - before.slide),
    )


# -- faces and rounds --------------------------------------------------------------------------


def _by(
    job: Job,
    before: Placement,
    bare: Placement,
    way: Way,
    index: int,
    target: _Target,
    used: Mapping[str, int],
    facing: bool,
) -> Iterator[Touching]:
    """One feature, in one way of the seats: turned to the face, moved to it, packed."""
    start = structs.replace(bare, turn=way.nearest(bare.turn, bare.slide)[0])
    for turned in _turned(job, start, way, index, target):
        if facing and not _faces(job, turned, index, target):
            continue
        moved = _moved(job, turned, index, target)
        yield _packed(job, before, moved, index, target, used)


def _turned(
    job: Job, start: Placement, way: Way, index: int, target: _Target
) -> Iterator[Placement]:
    """Turned, by base and by leaf, so that the feature is square to the face; or as it is."""
    here = placed(job, start)
    feature = _features(here)[index]
    wanted = math.degrees(math.atan2(-target.normal[1], -target.normal[0]))
    if isinstance(feature, RoundFeature):  # the side with its packing has to face the work
        facing = here.poses[_body(here, index)].direction(0.0)
    else:
        facing = math.degrees(math.atan2(feature.normal[1], feature.normal[0]))
    by = wrap(wanted - facing)
    if abs(by) <= PARALLEL / 10.0:
        yield start
        return
    free = way.turn_low < way.turn_high or way.link is not None
    if free:
        goal = turned_to(here.turn + by, way.turn_low, way.turn_high)
        turn, slide = way.turn_to(goal if way.link is None else here.turn + by, start.slide)
        yield structs.replace(start, turn=turn, slide=slide)
    if _body(here, index) and here.leaf_low < here.leaf_high:
        leaf = here.leaf - by if start.flipped else here.leaf + by
        leaf = min(
            (leaf, leaf + 360.0, leaf - 360.0),
            key=lambda v: max(here.leaf_low - v, v - here.leaf_high, 0.0),
        )
        yield structs.replace(start, leaf=min(max(leaf, here.leaf_low), here.leaf_high))
    if not free:
        yield start


def _faces(job: Job, turned: Placement, index: int, target: _Target) -> bool:
    """True if a feature looks straight at the face but for its pins' play, or is round."""
    feature = _features(placed(job, turned))[index]
    if isinstance(feature, RoundFeature):
        return True
    (fx, fy), (nx, ny) = feature.normal, target.normal
    off = math.degrees(math.atan2(abs(fx * ny - fy * nx), -(fx * nx + fy * ny)))
    return off <= max(PARALLEL, feature.play)


def _body(here: PlacedPiece, index: int) -> int:
    """The body of the piece that a feature belongs to."""
    assert here.piece is not None
    bodies: list[int] = [face.body for face in here.piece.faces]
    if here.tip is not None and here.tip.push == "along":
        bodies.append(0)
    bodies += [body.body for body in here.piece.rounds]
    return bodies[index]


def _moved(
    job: Job, placement: Placement, index: int, target: _Target, packed: float = 0.0
) -> Placement:
    """Slid, or set out, until the feature is at the face, or as near as it goes.

    A packed round moves as if its radius were larger by `packed` mm.
    """
    here = placed(job, placement)
    way = here.way
    if way is None or here.piece is None:
        return placement
    feature = _features(here)[index]
    if isinstance(feature, FaceFeature) and feature.id == "tip" and here.tip is not None:
        tip = here.piece.tip
        assert tip is not None
        ux, uy = unit(here.tip.direction)
        speed = -(ux * target.normal[0] + uy * target.normal[1])
        if speed <= 1e-3:
            return placement
        reach = here.reach + target.gap(feature) / speed
        return structs.replace(placement, reach=min(max(reach, tip.reach_min), tip.reach_max))
    if not way.slides or way.link is not None:  # with a link the turn depends on the slide
        return placement
    low, high = way.slide_low, way.slide_high

    def gap(slide: float) -> float:
        feature = _features(placed(job, structs.replace(placement, slide=slide)))[index]
        return target.gap(feature) - (packed if isinstance(feature, RoundFeature) else 0.0)

    at = min(max(here.slide, low), high)
    now = gap(at)
    step = min(1.0, (high - low) / 2.0)
    step = step if at + step <= high else -step
    for _ in range(_STEPS):
        if abs(now) <= 1e-9:
            break
        speed = (gap(at + step) - now) / step
        if abs(speed) <= 1e-6:
            break
        then = min(max(at - now / speed, low), high)
        if then == at:
            break
        at, now = then, gap(then)
        step = math.copysign(min(abs(step), 1e-3), 1.0 if at + 1e-3 <= high else -1.0)
    return structs.replace(placement, slide=at)


def _packed(
    job: Job,
    before: Placement,
    placement: Placement,
    index: int,
    target: _Target,
    used: Mapping[str, int],
) -> Touching:
    """The rest of the gap packed, if the piece takes packing, and how it then meets the face."""
    here = placed(job, placement)
    feature = _features(here)[index]
    gap = target.gap(feature)
    packing = NOTHING
    first = here.faces[0].id if here.faces else here.rounds[0].id if here.rounds else ""
    if gap > TOUCH and here.piece is not None and here.piece.takes_packing and feature.id == first:
        packing = _packing(job, here, gap, feature, used)
        if packing.pieces:
            placement = structs.replace(placement, packing=_thickest_first(job, packing))
            placement = _moved(job, placement, index, target, packing.total)
            here = placed(job, placement)
            gap = target.gap(_features(here)[index])
            if isinstance(feature, RoundFeature):
                gap -= packing.total
    found = _meets(here, feature.id, target)
    return Touching(
        placement,
        changed(before, placement),
        packing,
        gap,
        found,
        _why_not(here, found, gap, target, bool(packing.pieces)),
    )


def _packing(
    job: Job,
    here: PlacedPiece,
    gap: float,
    feature: FaceFeature | RoundFeature,
    used: Mapping[str, int],
) -> Packing:
    """The packing for a gap: exact together with the slide if it has one, else rounded down; before
    a pin, which neither slides nor has a face, with one more shim where it goes in.
    """
    way = here.way
    if isinstance(feature, FaceFeature) and way is not None and way.slides and way.link is None:
        back = way.slide_high - way.slide_low
        filled = pack_between(job.rack, gap, gap + back, used)
        if filled is not None:
            return filled
    return pack_down(job.rack, gap, used, one_more=isinstance(feature, RoundFeature))


def _thickest_first(job: Job, packing: Packing) -> tuple[str, ...]:
    """The pieces of a pack, with the thickest against the piece."""
    return tuple(sorted(packing.ids, key=lambda k: -job.rack.piece(k).thickness))


def _meets(here: PlacedPiece, feature: str, target: _Target) -> Contact | None:
    """How one feature meets the face; None if no length of the face is in front of it."""
    features = features_of(here)
    asked = Asked((here.placement.id,), (target.part.id,), np.ones((1, 1), dtype=np.bool_), 1e6)
    found: list[Contact] = []
    for face in features.faces:
        if face.id in (feature, PACKING):
            sides = sides_between([(0, s) for s in target.solids], face.z_low, face.z_high)
            found += [c for _, c in face_contacts(asked, [(0, face)], sides)]
    for body in features.rounds:
        if body.id == feature:
            sides = sides_between([(0, s) for s in target.solids], body.z_low, body.z_high)
            found += [c for _, c in round_contacts(asked, [(0, body)], sides)]
    ends = (target.face.number, (target.face.number + 1) % len(target.part.corners))
    faces = (target.face, *(PartFace("corner", k) for k in ends))
    return min((c for c in found if c.face in faces), key=lambda c: c.gap, default=None)


def _why_not(
    here: PlacedPiece, found: Contact | None, gap: float, target: _Target, packed: bool
) -> TouchReason | None:
    if here.fault is not None:
        return here.fault
    part = target.part.id
    why: MissesFace | None = None
    if found is None:
        why = MissesFace(part, "passes beside")
    elif gap < -TOUCH:
        why = MissesFace(part, "overlaps", -gap)
    elif gap > TOUCH:
        why = MissesFace(part, "gap not filled" if packed else "gap without packing", gap)
    elif found.kind in _BY_A_CORNER:
        why = MissesFace(part, "corner only")
    elif not found.touches:
        why = MissesFace(part, "rounded edge only")
    return why


_BY_A_CORNER = ("face on corner", "corner on face", "V on corner", "pad on corner")
