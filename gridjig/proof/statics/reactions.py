"""The forces of locators on a clamped body, without and with friction."""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from gridjig.contact.sides import Whole
from gridjig.rack import Point

from .programme import NoSolution, Optimum
from .rows import BodyFrame, Floats, Push, cross
from .simplex import maximise

_NONE = 1e-9
_MANY = 16
"""With more contacts than this, only motions spread over all of them are tried."""


_FEW = 6
"""Up to so many motions on the edge of all free ones, those between them are tried as well."""


class Reactions(NamedTuple):
    """The forces on contacts without friction.

    `held`: they balance the load.  If not, the forces are those of springs that can also pull: the
    load takes the body off the contacts whose force is below 0; `leaves` is how fast each gap opens
    in one motion that the contacts allow.
    """

    held: bool
    forces: Floats
    leaves: Floats


def reactions(rows: Floats, load: Floats) -> Reactions:
    """The forces that contacts, all equally stiff, put up against a load (3,), without friction.

    Rows and load scaled alike.  With three contacts the answer does not depend on stiffness.
    """
    none = np.zeros(len(rows))
    size = float(np.abs(load).max())
    if size <= _NONE or not len(rows):
        return Reactions(size <= _NONE, none, none)
    found = maximise(none, rows.T, -load / size)
    if isinstance(found, NoSolution):
        leaves = rows @ found.proof
        motion, *_ = np.linalg.lstsq(rows.T @ rows, load, rcond=1e-12)
        return Reactions(False, -(rows @ motion), np.where(leaves > _NONE, leaves, 0.0))
    assert isinstance(found, Optimum)
    forces = _springs(rows, load / size)
    return Reactions(True, (found.x if forces is None else forces) * size, none)


def _springs(rows: Floats, load: Floats) -> Floats | None:
    """The forces of equal springs that only push; None if the iteration does not settle.

    A motion m presses them by p = max(0, -rows m).  Where |p|^2 / 2 - load m is least, the forces p
    balance the load, and of all that balance they have the least energy.  That function is convex
    and of second degree in pieces, so Newton's method with a shortened step finds its least value.
    """
    motion = np.zeros(rows.shape[1])
    for _ in range(4 * len(rows) + 32):
        pressed = np.maximum(-(rows @ motion), 0.0)
        slope = -(rows.T @ pressed) - load
        if float(np.abs(slope).max()) < 1e-10:
            return pressed
        some = rows[-(rows @ motion) >= 0.0]
        step, *_ = np.linalg.lstsq(some.T @ some, -slope, rcond=1e-12)
        if float(slope @ step) >= 0.0:
            step = -slope
        now, share = _energy(rows, load, motion), 1.0
        while _energy(rows, load, motion + share * step) > now + 1e-4 * share * (slope @ step):
            share /= 2.0
            if share < 1e-12:
                return pressed if float(np.abs(slope).max()) < 1e-7 else None
        motion = motion + share * step
    return None


def _energy(rows: Floats, load: Floats, motion: Floats) -> float:
    pressed = np.maximum(-(rows @ motion), 0.0)
    return float(pressed @ pressed / 2.0 - load @ motion)


def held_with_friction(
    frame: BodyFrame, pushes: tuple[Push, ...], load: Floats, friction: float
) -> bool:
    """True if some forces within the friction cones of the contacts balance a load.

    This is the kind answer: such forces can exist, but how a body was pushed in decides whether
    they do.  The reaction without friction is the safe one.
    """
    if float(np.abs(load).max()) <= _NONE:
        return True
    edges = []
    for at, (nx, ny) in pushes:
        for side in (friction, -friction):
            edges.append(Push(at, (nx - side * ny, ny + side * nx)))
    if not edges:
        return False
    rows = frame.rows(edges)
    size = float(np.abs(load).max())
    return not isinstance(maximise(np.zeros(len(rows)), rows.T, -load / size), NoSolution)


class Pressed(NamedTuple):
    """A spot that is pressed together, and the most that friction takes there, N."""

    at: Point
    most: float


class Given(NamedTuple):
    """The least push, N, that moves a body, at which point of it, and which way (a unit vector)."""

    push: float
    at: Point
    way: Point


def least_push(
    frame: BodyFrame, rows: Floats, spots: Sequence[Pressed], points: Sequence[Point]
) -> Given:
    """The least push at any of some points, in any direction, that takes a body off its spots.

    Contacts (scaled rows) give no friction, only what they block.  In a motion that they allow, the
    push does as much work as friction takes; it is least where the body moves fastest.  All motions
    are sampled and the best refined: the answer is at most 1 % too high.  Infinite if the contacts
    allow none.
    """
    ways = np.vstack((_SPHERE, _edges(rows)))
    best, least = None, math.inf
    at, most = [spot.at for spot in spots], np.array([spot.most for spot in spots])
    for spread in _SPREADS:
        if spread:
            if best is None:
                break
            ways = np.vstack((best[None, :], best + spread * _SPHERE[::2]))
        if len(rows):
            ways = ways[(ways @ rows.T >= -_NONE).all(axis=1)]
        if not len(ways):
            continue
        work = _speeds(frame, ways, at) @ most
        fastest = _speeds(frame, ways, points).max(axis=1)
        ratio = work / np.maximum(fastest, 1e-12)
        first = int(np.argmin(ratio))
        if ratio[first] < least:
            least, best = float(ratio[first]), ways[first]
    if best is None:
        return Given(math.inf, points[0], (0.0, 0.0))
    far = points[int(np.argmax(_speeds(frame, best[None, :], points)[0]))]
    x, y = frame.twist(best).at(far)
    speed = math.hypot(x, y)
    return Given(least, far, (x / speed, y / speed))


def _sphere(count: int) -> Floats:
    """Directions spread evenly over the unit sphere, along a spiral."""
    k = np.arange(count) + 0.5
    z = 1.0 - 2.0 * k / count
    turn = math.pi * (1.0 + math.sqrt(5.0)) * k
    level = np.sqrt(1.0 - z * z)
    return np.column_stack((level * np.cos(turn), level * np.sin(turn), z))


_SPHERE = _sphere(300)
_SPREADS = (0.0, 0.12, 0.03, 0.008)
"""How far about the best motion the next ones are tried; 0 is all of them."""


def _edges(rows: Floats) -> Floats:
    """Motions that leave two contacts closed, both ways, and those between them; or none."""
    if not 2 <= len(rows) <= _MANY:
        return np.empty((0, 3))
    first, second = _pairs(len(rows))
    rays = cross(rows[first], rows[second])
    size = np.linalg.norm(rays, axis=1)
    rays = rays[size > 1e-6] / size[size > 1e-6, None]
    rays = np.vstack((rays, -rays))
    allowed = np.round(rays[(rays @ rows.T >= -_NONE).all(axis=1)], 9)
    rays = np.array(sorted({tuple(ray) for ray in allowed.tolist()})).reshape(-1, 3)
    if not 2 <= len(rays) <= _FEW:  # a cone of many edges is wide, so that others lie in it
        return rays
    one, other = _pairs(len(rays))
    shares = np.linspace(0.1, 0.9, 9)[:, None, None]
    between = (shares * rays[one] + (1.0 - shares) * rays[other]).reshape(-1, 3)
    size = np.linalg.norm(between, axis=1)
    return np.vstack((rays, between[size > 1e-6] / size[size > 1e-6, None]))


@lru_cache(maxsize=_MANY + 1)
def _pairs(count: int) -> tuple[Whole, Whole]:
    """The indices of all pairs."""
    one, other = np.triu_indices(count, 1)
    return one, other


def _speeds(frame: BodyFrame, ways: Floats, points: Sequence[Point]) -> Floats:
    """How fast each point moves in each motion, shape (motions, points)."""
    x, y = (np.array(points) - np.array(frame.centre)).T / frame.radius
    turn = ways[:, 2:]
    along, across = ways[:, :1] - turn * y, ways[:, 1:2] + turn * x
    speeds: Floats = np.sqrt(along * along + across * across)  # hypot takes three times as long
    return speeds
