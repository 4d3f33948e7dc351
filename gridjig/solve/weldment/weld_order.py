"""A proposed order of tacking and of welding the joints of a weldment.

What a good hand does, common practice without an authority behind it: tack the outside before the
inside, opposite ends first, braces last, because a brace locks whatever error there is; weld
balanced about the middle, from the middle outwards, so that each weld pulls against the one before.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache

import numpy as np
import shapely

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, JointOf, Member, Part
from gridjig.model.by_weldment import parts_of
from gridjig.rack import Point
from gridjig.rack.same import Same

from .welds import Welded, key_of, welded_of

ASKEW = 1.0
"""A member turned by more than this from the square of its weldment is a brace, degrees."""
_EDGE = 1.0
"""A joint this near to the hull of its weldment is on the outside, mm."""


def tack_order(job: Job, weldment: str) -> tuple[Welded, ...]:
    """The joints of a weldment in the proposed order of tacking; those without a weld are left out.

    The same parts and welds give the same tuple.
    """
    return _ordered(Same(parts_of(job, weldment)), Same(welded_of(job, weldment)))[0]


def weld_order(job: Job, weldment: str) -> tuple[Welded, ...]:
    """The joints of a weldment in the proposed order of welding, likewise."""
    return _ordered(Same(parts_of(job, weldment)), Same(welded_of(job, weldment)))[1]


def tacks_of(job: Job, weldment: str) -> tuple[Welded, ...]:
    """The joints of a weldment in the order in which they are tacked: as chosen, else as proposed.

    What was chosen comes first; a joint that came up since follows as it was proposed.
    """
    return _chosen(job.weld_plan.tacks, tack_order(job, weldment))


def welds_of(job: Job, weldment: str) -> tuple[Welded, ...]:
    """The joints of a weldment in the order in which they are welded, likewise."""
    return _chosen(job.weld_plan.welds, weld_order(job, weldment))


def _chosen(chosen: Iterable[JointOf], proposed: tuple[Welded, ...]) -> tuple[Welded, ...]:
    if not chosen:
        return proposed
    place = {(frozenset((one.a, one.b)), one.nth): k for k, one in enumerate(chosen)}
    last = len(place)
    return tuple(sorted(proposed, key=lambda one: place.get(key_of(one.joint), last)))


def groups(job: Job, weldment: str) -> tuple[tuple[Welded, ...], ...]:
    """The joints to tack in three groups: outside, inside, and at braces; some may be empty."""
    return _grouped(parts_of(job, weldment), welded_of(job, weldment))


def brace_ids(parts: Sequence[Part]) -> frozenset[str]:
    """The members that lie askew to the square of the others: braces and struts.

    The sides of a triangle or a hexagon, the rafters of a truss and the legs of a trestle are none:
    two or more that lie along the outside and lean differently.  If most of the length is inside
    and askew, as in a lattice, that is the frame, and none are.
    """
    members = [part for part in parts if isinstance(part, Member)]
    if not members:
        return frozenset()
    square = max(members, key=lambda one: (_agreeing(members, one.turn), round(one.length, 3))).turn
    askew = [one for one in members if _out(one.turn - square) > ASKEW]
    hull = _hull(parts)
    outside = [one for one in askew if _along(one, hull)]
    leans = {round(one.turn % 180.0, 2) for one in outside}
    frame = outside if len(leans) > 1 else []
    braces = [one for one in askew if one not in frame]
    if 2.0 * sum(one.length for one in braces) > sum(one.length for one in members):
        return frozenset()
    return frozenset(one.id for one in braces)


def _agreeing(members: Sequence[Member], turn: float) -> float:
    """The length that lies square to a direction, or leans from it in pairs of equal length, mm."""
    leaning = [(round((m.turn - turn) % 180.0, 1) % 180.0, round(m.length)) for m in members]
    leans = set(leaning)
    return float(
        sum(
            length
            for lean, length in leaning
            if _out(lean) <= ASKEW or (round(180.0 - lean, 1), length) in leans
        )
    )


def _hull(parts: Sequence[Part]) -> shapely.geometry.base.BaseGeometry:
    """The boundary of the convex hull of parts."""
    corners = [p for part in parts for p in part_ring(part)]
    return shapely.boundary(shapely.MultiPoint(corners).convex_hull)


def _along(member: Member, hull: shapely.geometry.base.BaseGeometry) -> bool:
    """True if a long side of a member has its middle on the hull, within the member's width."""
    ring = part_ring(member)
    sides = zip(ring, (*ring[1:], ring[0]), strict=True)
    middles = [
        shapely.Point((ax + bx) / 2.0, (ay + by) / 2.0)
        for (ax, ay), (bx, by) in sides
        if 2.0 * math.dist((ax, ay), (bx, by)) > member.length
    ]
    return any(hull.distance(middle) <= member.width for middle in middles)


def _out(degrees: float) -> float:
    """How far a turn is from the nearest quarter turn, degrees."""
    rest = degrees % 90.0
    return min(rest, 90.0 - rest)


@lru_cache(maxsize=16)
def _ordered(
    parts: Same[tuple[Part, ...]], joints: Same[tuple[Welded, ...]]
) -> tuple[tuple[Welded, ...], tuple[Welded, ...]]:
    grouped = _grouped(parts.value, joints.value)
    tacks = tuple(one for group in grouped for one in _spread(group))
    return tacks, tuple(one for group in grouped for one in _balanced(group))


def _grouped(parts: tuple[Part, ...], joints: tuple[Welded, ...]) -> tuple[tuple[Welded, ...], ...]:
    taken = [one for one in joints if one.kind != "none"]
    if not taken:
        return ((), (), ())
    braces = brace_ids(parts)
    hull = _hull(parts)
    inset = max(
        (part.width for part in parts if isinstance(part, Member)),
        default=_EDGE,
    )
    places = shapely.points([one.joint.place for one in taken])
    apart = np.atleast_1d(shapely.distance(hull, places))
    outside, inside, at_braces = [], [], []
    for one, off in zip(taken, apart.tolist(), strict=True):
        if one.joint.a in braces or one.joint.b in braces:
            at_braces.append(one)
        elif off <= inset + _EDGE:
            outside.append(one)
        else:
            inside.append(one)
    return (tuple(outside), tuple(inside), tuple(at_braces))


def _spread(group: tuple[Welded, ...]) -> list[Welded]:
    """Each joint as far as possible from those before it; the first pair is the farthest apart."""
    left = list(group)
    if len(left) < 3:
        return _sorted(left)
    middle = _middle(left)
    first = _last_of(left, lambda one: math.dist(one.joint.place, middle))
    made = [first]
    left.remove(first)
    near = {one.joint.id: math.dist(one.joint.place, first.joint.place) for one in left}
    while left:
        following = _last_of(left, lambda one: near[one.joint.id])
        left.remove(following)
        made.append(following)
        place = following.joint.place
        for one in left:
            near[one.joint.id] = min(near[one.joint.id], math.dist(one.joint.place, place))
    return made


def _balanced(group: tuple[Welded, ...]) -> list[Welded]:
    """Pairs of joints opposite each other about the middle, the nearest to the middle first."""
    left = list(group)
    if len(left) < 3:
        return _sorted(left)
    middle = _middle(left)
    made: list[Welded] = []
    while left:
        one = _nearest(left, middle)
        left.remove(one)
        made.append(one)
        if left:
            x, y = one.joint.place
            other = _nearest(left, (2.0 * middle[0] - x, 2.0 * middle[1] - y))
            left.remove(other)
            made.append(other)
    return made


def _middle(some: Iterable[Welded]) -> Point:
    places = [one.joint.place for one in some]
    return (sum(x for x, _ in places) / len(places), sum(y for _, y in places) / len(places))


def _sorted(some: list[Welded]) -> list[Welded]:
    return sorted(some, key=_place)


def _place(one: Welded) -> tuple[float, float]:
    """From the front left, so that equals come in the same order whatever the ids are."""
    x, y = one.joint.place
    return (round(y, 2), round(x, 2))


def _nearest(some: list[Welded], at: Point) -> Welded:
    return min(some, key=lambda one: (round(math.dist(one.joint.place, at), 2), _place(one)))


def _last_of(some: list[Welded], distance: Callable[[Welded], float]) -> Welded:
    return min(some, key=lambda one: (-round(distance(one), 2), _place(one)))
