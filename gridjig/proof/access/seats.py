"""Where the torch stands at each side of a seam: places on the weld, and the middle of the corner.

The middle of a corner is found on the parts themselves: what is free all round a point of the seam.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import shapely
from msgspec import Struct
from shapely.geometry.base import BaseGeometry

from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import covered
from gridjig.model import Part
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.weldment.all_round import SeamSide, SideName, stacked_stretches
from gridjig.solve.weldment.joints import Joint, straightened
from gridjig.solve.weldment.welding import WeldLine

from .values import Point3

_INSET = 10.0
"""How far from the ends of a seam the outermost places lie, mm."""
_EYE = 2.0
"""How far round the end of a seam is looked at, mm beyond half its gap."""
_STEPS = 72
_LEVEL = 0.05
_SHORTEST = 1e-3
"""The length of a seam below which it is none, mm."""
_HALF = math.sqrt(0.5)


class TorchSeat(Struct, frozen=True, eq=False):
    """One side of a seam: places of the weld, the middle of the corner at each, and its line.

    `line` are the ends of the weld in plan, `z_low`..`z_high` its heights.  `towards` are unit
    vectors away from the weld; empty where the corner is closed all round.
    """

    name: str
    kind: SideName
    angle: float
    closed: bool
    welded: bool
    places: tuple[Point3, ...]
    towards: tuple[Point3, ...]
    lines: tuple[tuple[Point, ...], ...]
    z_low: float
    z_high: float


def seats(line: WeldLine, a: Part, b: Part) -> tuple[TorchSeat, ...]:
    """The sides of a joint's seam; the same line and parts give the same tuple."""
    return _seats(Same(line), Same(a), Same(b))


@lru_cache(maxsize=4096)
def _seats(key: Same[WeldLine], one: Same[Part], other: Same[Part]) -> tuple[TorchSeat, ...]:
    line, a, b = key.value, one.value, other.value
    joint, made, counts = line.one.joint, [], dict[str, int]()
    uprights = [side for side in line.sides if side.name == "upright"]
    for side in line.sides:
        counts[side.name] = counts.get(side.name, 0) + 1
        several = sum(s.name == side.name for s in line.sides) > 1
        name = f"{side.name} {counts[side.name]}" if several else side.name
        end = _end_of(joint, side, uprights)
        made.append(_seat(name, side, side in line.taken, joint, a, b, end))
    return tuple(made)


def _end_of(joint: Joint, side: SeamSide, uprights: Sequence[SeamSide]) -> int:
    """At which end of the seam an upright side is: 0 at its start, 1 at its end."""
    if len(uprights) > 1:
        return next(k for k, one in enumerate(uprights) if one is side) if side in uprights else 0
    if len(joint.angles) == 2 and side.angle != joint.angles[0]:
        return 1
    return 0


def _seat(
    name: str, side: SeamSide, welded: bool, joint: Joint, a: Part, b: Part, end: int
) -> TorchSeat:
    z_low, z_high = joint.z_low, joint.z_high
    if side.name == "upright" or joint.kind == "corner":
        at = joint.seam[-1 if end else 0]
        out = _free(at, joint.gap, (a, b))
        inset = min(_INSET / 2.0, (z_high - z_low) / 4.0)
        places = tuple((*at, z) for z in (z_low + inset, (z_low + z_high) / 2.0, z_high - inset))
        towards = () if out is None else tuple((*out, 0.0) for _ in places)
        return TorchSeat(
            name, side.name, side.angle, side.closed or out is None, welded, places, towards,
            ((at,),), z_low, z_high,
        )  # fmt: skip
    z = z_low if side.name == "underside" else z_high
    rise = -1.0 if side.name == "underside" else 1.0
    places_, towards_, lines = [], [], []
    for p, q, out in _runs(joint, side, a, b):
        flat = side.name == "flush"
        aim: Point3
        if out is None:
            aim = (0.0, 0.0, rise)
        elif flat:
            aim = (*out, 0.0)
        else:
            aim = (out[0] * _HALF, out[1] * _HALF, rise * _HALF)
        lines.append((p, q))
        for x, y in _along(p, q):
            places_.append((x, y, z))
            towards_.append(aim)
    return TorchSeat(
        name, side.name, side.angle, side.closed, welded, tuple(places_), tuple(towards_),
        tuple(lines), z, z,
    )  # fmt: skip


def _along(p: Point, q: Point) -> list[Point]:
    """The middle of a stretch, and a place near each end."""
    long = math.dist(p, q)
    inset = min(_INSET, long / 4.0)
    shares = (inset / long, 0.5, 1.0 - inset / long) if long else (0.5,)
    return [(p[0] + (q[0] - p[0]) * s, p[1] + (q[1] - p[1]) * s) for s in shares]


def _runs(
    joint: Joint, side: SeamSide, a: Part, b: Part
) -> list[tuple[Point, Point, Point | None]]:
    """The straight stretches of a level side, with the way out of its corner, or None."""
    if joint.kind == "stacked":
        every = stacked_stretches(joint, a, b)
        return [(p, q, out) for name, p, q, out in every if name == side.name]
    pairs = [(p, q) for p, q in pairwise(joint.seam) if math.dist(p, q) > _SHORTEST]
    if side.angle >= 180.0 - _LEVEL:
        return [(p, q, None) for p, q in pairs]
    under = side.name == "underside"
    low = min((a, b), key=lambda part: -part.z_low if under else part.z_high)
    plan = _plan(Same(low))
    found: list[tuple[Point, Point, Point | None]] = []
    for p, q in pairs:
        n = _left(p, q)
        middle = ((p[0] + q[0]) / 2.0, (p[1] + q[1]) / 2.0)
        reach = joint.gap / 2.0 + _EYE
        inside = plan.covers(shapely.Point(middle[0] + n[0] * reach, middle[1] + n[1] * reach))
        found.append((p, q, n if inside else (-n[0], -n[1])))
    return found


def _left(p: Point, q: Point) -> Point:
    long = math.dist(p, q)
    return (-(q[1] - p[1]) / long, (q[0] - p[0]) / long)


@lru_cache(maxsize=4096)
def _plan(key: Same[Part]) -> BaseGeometry:
    return covered(part_ring(straightened(key.value)))


def _free(at: Point, gap: float, parts: Sequence[Part]) -> Point | None:
    """The middle of the widest free sector round a point of a seam; None if there is none."""
    reach = gap / 2.0 + _EYE
    turns = [2.0 * math.pi * (k + 0.5) / _STEPS for k in range(_STEPS)]
    ring = shapely.points(
        [(at[0] + reach * math.cos(t), at[1] + reach * math.sin(t)) for t in turns]
    )
    taken = [False] * _STEPS
    for part in parts:
        inside = shapely.contains(_plan(Same(part)), ring).tolist()
        taken = [one or other for one, other in zip(taken, inside, strict=True)]
    if all(taken):
        return None
    if not any(taken):
        return (1.0, 0.0)
    best, begin = 0, 0
    first = taken.index(True)
    run = 0
    for step in range(1, _STEPS + 1):
        k = (first + step) % _STEPS
        if taken[k]:
            run = 0
            continue
        run += 1
        if run > best:
            best, begin = run, first + step - run + 1
    middle = 2.0 * math.pi * (begin + best / 2.0) / _STEPS
    return (math.cos(middle), math.sin(middle))
