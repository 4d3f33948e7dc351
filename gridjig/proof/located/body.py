"""How the contacts of one rigid body locate it: the figures, kept for the same contacts."""

import math
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import combinations

import numpy as np
from msgspec import Struct

from gridjig.contact.values import TOUCH
from gridjig.geometry.shapes import bounds
from gridjig.proof.statics.closure import closed
from gridjig.proof.statics.rank import LEAST, Free, free_motion, growth, misfit, rank_of
from gridjig.proof.statics.rows import BodyFrame, Floats, Push, Twist, frame_of
from gridjig.proof.statics.seating import seat, squeeze
from gridjig.proof.statics.second import kappa, play_angle
from gridjig.rack import Point

from .grips import Grip
from .values import Fight, Motion, ShortBase

TIMES = 6.0
"""An angle hangs on a short base if errors grow more than this to the far end of a part.

Two stops at a third and two thirds of a bar come to 3; one stop 40 mm wide on a bar of 600 to 15.
"""

PLAY = 0.1
"""The gap at each locator for which the angle of a body is told that cannot leave, mm."""

_FIGHT = 0.01
"""Locators fight if they leave less room than this is too little, mm: a tenth of a shim."""

_TELLS = 0.3
"""A contact adds to others if this much of its row is left beside theirs.

Of two on one face of a bar, the second does if they are at least a tenth of its length apart.
"""

_FACING = -math.cos(math.radians(10.0))
"""Two pieces face each other across a body if they push within 10 degrees of against each other."""

_KEPT = 8192


class BodyCorners(Struct, frozen=True, eq=False):
    """The corners of a body; compared by identity, as the key of what is kept."""

    points: tuple[Point, ...]


def box_of(points: Iterable[Point]) -> BodyCorners:
    """The corners of the box around some points."""
    left, front, right, back = bounds(points)
    return BodyCorners(((left, front), (right, front), (right, back), (left, back)))


class Figures(Struct, frozen=True, eq=False):
    """What the contacts of a body amount to.

    `held` of the three plan freedoms; `free` is the motion left, None if there is none.  `spare`
    are pieces that could go.  The rest is as in `Located`.
    """

    held: int
    free: Free | None
    contacts: tuple[str, ...]
    spare: tuple[str, ...]
    fight: Fight | None
    short: ShortBase | None
    closed: bool
    kappa: float | None
    motion: Motion | None
    between: tuple[str, ...] = ()


@lru_cache(maxsize=_KEPT)
def held_by(corners: BodyCorners, grips: tuple[Grip, ...]) -> tuple[int, int]:
    """How many plan freedoms grips hold: with the lengths of their faces, and without."""
    frame = frame_of(corners.points)
    every = rank_of(frame.rows([push for grip in grips for push in grip.pushes])).held
    middles = rank_of(frame.rows([push for grip in grips for push in grip.middles])).held
    return every, middles


@lru_cache(maxsize=_KEPT)
def closed_by(corners: BodyCorners, grips: tuple[Grip, ...]) -> bool:
    """True if grips let a body go nowhere in plan."""
    return closed(frame_of(corners.points).rows([push for grip in grips for push in grip.pushes]))


@lru_cache(maxsize=_KEPT)
def figures(corners: BodyCorners, grips: tuple[Grip, ...], near: tuple[Grip, ...] = ()) -> Figures:
    """The figures of a body from its corners and what touches it, in the order of importance.

    `near` are what stands in front of it without touching; it only limits the motion left.
    """
    points = corners.points
    frame = frame_of(points)
    pushes = [push for grip in grips for push in grip.pushes]
    owner = [k for k, grip in enumerate(grips) for _ in grip.pushes]
    rows = frame.rows(pushes)
    rank = rank_of(rows)
    free = free_motion(rank, frame)
    firm: float | None = None
    if free is not None and free.kind == "turn" and free.centre is not None:
        firm = kappa([bent for grip in grips for bent in grip.bent()], free.centre)
        if firm is None or math.isinf(firm) or firm <= _FIGHT:
            firm = None
    kept = _basis(frame, grips, rank.held)
    spare = tuple(grip.id for k, grip in enumerate(grips) if grip.piece and k not in kept)
    motion = _motion(free, grips, near)
    if firm is not None and free is not None:
        turns = play_angle(PLAY, firm)
        motion = Motion("turn", free.centre, None, turns, 0.0)
    return Figures(
        rank.held,
        free,
        tuple(dict.fromkeys(grip.id for grip in grips)),
        tuple(dict.fromkeys(spare)),
        _fight(grips, rows, owner, kept) if spare else None,
        _short(frame, rows, grips, points),
        closed_by(corners, grips),
        firm,
        motion,
        _between([grips[k] for k in sorted(kept) if grips[k].piece]),
    )


def _basis(frame: BodyFrame, grips: Sequence[Grip], held: int) -> frozenset[int]:
    """The first grips, in their order, that hold all that is held.

    Each counts as one contact as long as others add enough; the lengths of their faces, and
    contacts that add little, only count where nothing better does.
    """
    pushes = [push for grip in grips for push in grip.middles]
    owner = [k for k, grip in enumerate(grips) for _ in grip.middles]
    left = frame.rows(pushes)
    kept: set[int] = set()
    for _ in range(3):
        size = np.linalg.norm(left, axis=1)
        telling = np.flatnonzero(size > _TELLS)
        if telling.size:
            first = int(telling[0])
        elif size.max(initial=0.0) > LEAST and _held(frame, grips, kept) < held:
            first = int(np.argmax(size))
        else:
            break
        kept.add(owner[first])
        unit = left[first] / size[first]
        left = left - np.outer(left @ unit, unit)
    return frozenset(kept)


def _between(kept: Sequence[Grip]) -> tuple[str, ...]:
    """Two pieces that face each other across a body, of those that locate it; empty if none do.

    They touch it both only if it is exactly as wide as the room between them.  A pin that fills a
    hole faces nothing.
    """
    flat = [grip for grip in kept if len({push.way for push in grip.pushes}) == 1]
    for one, other in combinations(flat, 2):
        (ax, ay), (bx, by) = one.pushes[0].way, other.pushes[0].way
        if one.id != other.id and ax * bx + ay * by < _FACING:
            return (one.id, other.id)
    return ()


def _held(frame: BodyFrame, grips: Sequence[Grip], some: Iterable[int]) -> int:
    return rank_of(frame.rows([push for k in some for push in grips[k].pushes])).held


def _fight(
    grips: Sequence[Grip], rows: Floats, owner: Sequence[int], kept: frozenset[int]
) -> Fight | None:
    """How locators of which some are spare fight; None if all can touch."""
    off = np.array([-grips[k].gap for k in owner])
    if float(np.abs(misfit(rows, off)).max()) < _FIGHT / 4.0:
        return None
    found = squeeze(rows, off)
    if found.by > 0.0:
        by = found.by / float(found.shares.max())
        shares: dict[int, float] = {}
        for k, share in zip(owner, found.shares, strict=True):
            shares[k] = shares.get(k, 0.0) + float(share)
        pressed = [k for k, share in shares.items() if share > 1e-6]
        if by > _FIGHT and any(grips[k].piece for k in pressed):
            worst = max(pressed, key=lambda k: -grips[k].gap)
            ids = tuple(dict.fromkeys(grips[k].id for k in pressed))
            return Fight("squeeze", by, ids, (), grips[worst].middle)
        if by > _FIGHT:
            return None
    home = -np.array([rows[i] for i, k in enumerate(owner) if k in kept]).sum(axis=0)
    rest = seat(rows, off - max(found.by, 0.0), home)
    if rest is None:
        return None
    slack = dict.fromkeys(owner, math.inf)
    for k, by in zip(owner, rest.slack, strict=True):
        slack[k] = min(slack[k], float(by))
    stand_off = [k for k, by in slack.items() if by > TOUCH and grips[k].piece]
    if not stand_off:
        return None
    worst = max(stand_off, key=lambda k: slack[k])
    return Fight(
        "rock",
        slack[worst],
        tuple(dict.fromkeys(grips[k].id for k in slack if slack[k] <= TOUCH)),
        tuple(dict.fromkeys(grips[k].id for k in stand_off)),
        grips[worst].middle,
    )


def _short(
    frame: BodyFrame, rows: Floats, grips: Sequence[Grip], points: Sequence[Point]
) -> ShortBase | None:
    if not len(rows):
        return None
    found = growth(rows, frame, points)
    if found.times <= TIMES:
        return None
    base = max((grip.length for grip in grips), default=0.0)
    return ShortBase(tuple(dict.fromkeys(grip.id for grip in grips)), base, found.times, found.far)


def _motion(free: Free | None, grips: Sequence[Grip], near: Sequence[Grip]) -> Motion | None:
    """The motion left, with how far it goes until something that stands near stops it."""
    if free is None:
        return None
    if free.kind == "free":
        return Motion("free", grips[0].middle if grips else None, free.direction)
    if free.direction is not None:
        twist, unit = Twist(*free.direction, 0.0), 1.0
    else:
        assert free.centre is not None
        x, y = free.centre
        twist, unit = Twist(y, -x, 1.0), 180.0 / math.pi
    ways = [math.inf, math.inf]
    for grip in near:
        for push in grip.pushes:
            speed = _opening(twist, push)
            if abs(speed) > 1e-6:
                way = 0 if speed < 0.0 else 1
                ways[way] = min(ways[way], max(grip.gap, 0.0) / abs(speed))
    ahead, back = (way * unit if math.isfinite(way) else None for way in ways)
    return Motion(free.kind, free.centre, free.direction, ahead, back)


def _opening(twist: Twist, push: Push) -> float:
    """How fast a motion takes a body off a contact, mm for each unit of the motion."""
    x, y = twist.at(push.at)
    return x * push.way[0] + y * push.way[1]
