"""Setting a V so that the work lies in it: against both of its faces, by a side or a corner each.

The turn is taken first, so that the V looks straight at the part, then the slide.
"""

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
from msgspec import structs

from gridjig.geometry.part_solids import PartSolid
from gridjig.model import Job, Part, Placement
from gridjig.rack import Point
from gridjig.solve.mounting.track import tidy
from gridjig.solve.mounting.ways import Way
from gridjig.solve.packing.pack import NOTHING
from gridjig.solve.placed.placed_piece import PlacedPiece

from .features import FaceFeature, features_of
from .setting import Touching, changed, placed
from .sides import sides_between
from .upright import Asked, face_contacts
from .values import TOUCH, Contact

_TURNS = 72
"""Turns tried all round before one is made exact; a V narrower than 5 degrees is of no use."""

_ROUNDS = 8
"""Turn and slide are set in turn so often; with only one of them free, once is exact."""


def into_the_v(
    job: Job,
    before: Placement,
    bare: Placement,
    way: Way,
    part: Part,
    solids: Sequence[PartSolid],
) -> Iterator[Touching]:
    """Settings of a V, in one way of its seats, that a part lies in with both faces touching."""
    at = way.nearest(bare.turn, bare.slide)
    start = structs.replace(bare, turn=at[0], slide=at[1])
    if len(_faces(placed(job, start))) != 2:
        return
    for aimed in _aimed(job, start, way, solids):
        made = _slid(job, aimed, way, solids)
        for _ in range(_ROUNDS if way.slides and _turns(way) else 0):
            made = _slid(job, _aimed_near(job, made, way, solids), way, solids)
        here = placed(job, made)
        met = [_meets(here, face, part, solids) for face in _faces(here)]
        touching = [c for c in met if c is not None and c.touches]
        if len(touching) == 2 and min(_gaps(job, made, solids)) >= -TOUCH:
            gap = max((c.gap for c in touching), key=abs)
            yield Touching(made, changed(before, made), NOTHING, gap, touching[0], None)


def _faces(here: PlacedPiece) -> list[FaceFeature]:
    return [face for face in features_of(here).faces if face.word == "V"]


def _turns(way: Way) -> bool:
    return way.turn_low < way.turn_high and way.link is None


def _gaps(job: Job, placement: Placement, solids: Sequence[PartSolid]) -> list[float]:
    """How far each face of the V, drawn on without end, is from the part, mm."""
    return [
        min((_ahead(face, p) for solid in solids for p in _ring(solid, face)), default=math.inf)
        for face in _faces(placed(job, placement))
    ]


def _ring(solid: PartSolid, face: FaceFeature) -> tuple[Point, ...]:
    """The outline of a part at the heights of a face; none if it is above or below it."""
    low, high = max(solid.z_low, face.z_low), min(solid.z_high, face.z_high)
    return solid.narrowed(solid.recess(low, high)) if low < high else ()


def _ahead(face: FaceFeature, p: Point) -> float:
    return (p[0] - face.a[0]) * face.normal[0] + (p[1] - face.a[1]) * face.normal[1]


def _lean(job: Job, placement: Placement, solids: Sequence[PartSolid]) -> float:
    """By how much more one face is away than the other; 0 if the V looks straight at the part."""
    one, other = _gaps(job, placement, solids)
    return one - other if math.isfinite(one - other) else math.nan


def _aimed(
    job: Job, start: Placement, way: Way, solids: Sequence[PartSolid]
) -> Iterator[Placement]:
    """Turned so that both faces are equally far from the part, with the part before them."""
    if not _turns(way):
        yield start
        return
    low, high = way.turn_low, way.turn_high

    def turned(turn: float) -> Placement:
        return structs.replace(start, turn=way.nearest(tidy(turn), start.slide)[0])

    step = (high - low) / _TURNS
    rising = [low + step * k for k in range(_TURNS + 1)]
    leans = [_lean(job, turned(turn), solids) for turn in rising]
    for k in range(_TURNS):
        if not leans[k] * leans[k + 1] <= 0.0:
            continue
        best = turned(
            _root(lambda t: _lean(job, turned(t), solids), rising[k], rising[k + 1], leans[k])
        )
        if min(_gaps(job, best, solids)) > -_width(job, best):
            yield best


def _aimed_near(job: Job, made: Placement, way: Way, solids: Sequence[PartSolid]) -> Placement:
    """The nearest turn at which the V looks straight at the part; as it is if there is none."""
    every = list(_aimed(job, made, way, solids))
    return min(every, key=lambda p: abs(tidy(p.turn - made.turn)), default=made)


def _width(job: Job, placement: Placement) -> float:
    """How deep the V is, mm: a part further behind its faces is not in it."""
    return max(math.dist(face.a, face.b) for face in _faces(placed(job, placement)))


def _root(f: Callable[[float], float], low: float, high: float, at_low: float) -> float:
    """Where f changes its sign, by bisection."""
    for _ in range(60):
        middle = (low + high) / 2.0
        now = f(middle)
        if now * at_low > 0.0:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _slid(job: Job, placement: Placement, way: Way, solids: Sequence[PartSolid]) -> Placement:
    """Slid until the nearer face is at the part; along a straight slot the first step is exact."""
    if not way.slides or way.link is not None:
        return placement
    at = min(max(placement.slide, way.slide_low), way.slide_high)
    for _ in range(_ROUNDS):
        here, there = (
            _gaps(job, structs.replace(placement, slide=v), solids) for v in (at, at + 1e-3)
        )
        if min(here) == math.inf or abs(min(here)) <= 1e-9:
            break
        speeds = [(b - a) / 1e-3 for a, b in zip(here, there, strict=True)]
        moves = [-gap / v for gap, v in zip(here, speeds, strict=True) if abs(v) > 1e-6]
        if not moves:
            break
        # The face that is reached first stops the slide; one in the part has to leave it.
        closing = speeds[0] < 0.0
        then = at + (min(moves) if closing else max(moves))
        then = min(max(then, way.slide_low), way.slide_high)
        if abs(then - at) <= 1e-12:
            break
        at = then
    return structs.replace(placement, slide=at)


def _meets(
    here: PlacedPiece, face: FaceFeature, part: Part, solids: Sequence[PartSolid]
) -> Contact | None:
    """The nearest side or corner of the part before a face; None if there is none."""
    asked = Asked((here.placement.id,), (part.id,), np.ones((1, 1), dtype=np.bool_), 1e6)
    sides = sides_between([(0, solid) for solid in solids], face.z_low, face.z_high)
    met = [c for _, c in face_contacts(asked, [(0, face)], sides)]
    return min(met, key=lambda c: abs(c.gap), default=None)
