"""How clamps hold one rigid body in plan: the figures, kept for the same contacts and clamps."""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

import numpy as np
from msgspec import Struct

from gridjig.geometry import unit
from gridjig.proof.located.body import BodyCorners, closed_by
from gridjig.proof.located.grips import Grip
from gridjig.proof.statics.rank import rank_of
from gridjig.proof.statics.reactions import Pressed, held_with_friction, least_push, reactions
from gridjig.proof.statics.rows import Push, frame_of
from gridjig.rack import Point

from .forces import ClampForce
from .values import HeldBy

GRAVITY = 9.80665
"""N for each kg."""

_AROUND = 8
"""A pad counts as this many spots on the ring that gives its resistance to turning."""

_SLIGHT = 1e-6


class Pressing(NamedTuple):
    """A clamp on a body: where, the radius of its pad, mm, and its force.

    `way` is the unit vector of a push along the table; (0, 0) for a clamp that presses down.
    """

    placement: str
    push: Literal["down", "along"]
    at: Point
    way: Point
    radius: float
    presses: ClampForce


class HoldFigures(Struct, frozen=True, eq=False):
    """How a body is held: see `values.Held`; `forces` are those of the pieces, N, by placement."""

    by: HeldBy
    push: float | None
    at: Point
    lifts: tuple[str, ...]
    forces: Mapping[str, float]


@lru_cache(maxsize=4096)
def hold(
    corners: BodyCorners,
    grips: tuple[Grip, ...],
    clamps: tuple[Pressing, ...],
    friction: float,
    weight: float,
) -> HoldFigures:
    """How clamps hold a body, of a weight in N, between what touches it."""
    points = corners.points
    frame = frame_of(points)
    pushes = tuple(push for grip in grips for push in grip.pushes)
    owner = [k for k, grip in enumerate(grips) for _ in grip.pushes]
    rows = frame.rows(pushes)
    along = [one for one in clamps if one.push == "along"]
    load = np.zeros(3)
    for one in along:
        load = load + one.presses.newtons * frame.rows([Push(one.at, one.way)])[0]
    found = reactions(rows, load)
    shares = [0.0] * len(grips)
    for k, force in zip(owner, found.forces, strict=True):
        shares[k] += float(force)
    forces: dict[str, float] = {}
    for grip, share in zip(grips, shares, strict=True):
        if grip.piece:
            forces[grip.id] = forces.get(grip.id, 0.0) + share
    spots = _weighing(points, weight, friction)
    for one in clamps:
        spots += _spots(one, friction)
    if not found.held:
        slight = _SLIGHT * sum(one.presses.newtons for one in along)
        lifts = [grip.id for grip, share in zip(grips, shares, strict=True) if share < -slight]
        if not lifts:
            opened = {owner[i] for i in np.flatnonzero(found.leaves > _SLIGHT)}
            lifts = [grips[k].id for k in sorted(opened)]
        rubs = held_with_friction(frame, pushes, load, friction) or any(
            one.push == "down" for one in clamps
        )
        by: HeldBy = "friction" if rubs else "nothing"
        return HoldFigures(by, None, frame.centre, tuple(dict.fromkeys(lifts)), forces)
    pressed = rows[found.forces > _SLIGHT * max(float(np.abs(load).max()), 1.0)]
    if along and rank_of(pressed).held == 3:
        return HoldFigures("clamps", None, frame.centre, (), forces)
    if closed_by(corners, grips):
        return HoldFigures("shape", None, frame.centre, (), forces)
    least = least_push(frame, rows, spots, points)
    push = least.push if math.isfinite(least.push) else None
    return HoldFigures("friction" if clamps else "weight", push, least.at, (), forces)


def _weighing(points: Sequence[Point], weight: float, friction: float) -> list[Pressed]:
    """Where a body rubs by its own weight: half-way out to its corners.

    A bar that lies evenly resists turning just as if its weight were at a quarter and three
    quarters of its length.
    """
    x = sum(p[0] for p in points) / len(points)
    y = sum(p[1] for p in points) / len(points)
    most = friction * weight / len(points)
    return [Pressed(((px + x) / 2.0, (py + y) / 2.0), most) for px, py in points]


def _spots(clamp: Pressing, friction: float) -> list[Pressed]:
    """Where a clamp rubs.

    A pad that presses evenly resists turning as a ring of 2/3 of its radius would.
    """
    most = friction * clamp.presses.newtons
    ring = clamp.radius * 2.0 / 3.0 if clamp.push == "down" else 0.0
    if ring <= 0.0:
        return [Pressed(clamp.at, most)]
    (x, y), turns = clamp.at, (unit(360.0 * k / _AROUND) for k in range(_AROUND))
    return [Pressed((x + ring * c, y + ring * s), most / _AROUND) for c, s in turns]
