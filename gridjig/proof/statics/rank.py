"""Which motions the contacts of a body leave, how firmly they hold the rest, how errors grow."""

import math
from collections.abc import Sequence
from typing import Literal, NamedTuple

import numpy as np

from gridjig.rack import Point

from .rows import BodyFrame, Floats

LEAST = 0.004
"""A motion is held if its scaled singular value is above this.

That is a direction 0.2 degrees off another, or a base of 1 mm on a part 1 m long: below it an
answer would depend on the last digit of a face.
"""

_ROUNDING = 1e-14
"""A square below this share of the greatest is 0 but for rounding."""

_FAR = 1e4
"""A turn about a point further off than this many radii of gyration is a slide."""


class Rank(NamedTuple):
    """How many motions the contacts hold; the scaled singular values, largest first; the motions
    left, one a row, in the columns of the scaled rows.
    """

    held: int
    values: tuple[float, ...]
    left: Floats


def rank_of(rows: Floats) -> Rank:
    """The rank of scaled rows, shape (n, 3)."""
    if not len(rows):
        return Rank(0, (0.0, 0.0, 0.0), np.eye(3))
    squares, motions = _principal(rows)
    values = tuple(np.sqrt(squares).tolist())
    held = sum(v > LEAST for v in values)
    return Rank(held, values, motions[held:])


def _principal(rows: Floats) -> tuple[Floats, Floats]:
    """The squared singular values of rows, largest first, and their motions, one a row.

    From the 3 x 3 product of the rows: a fraction of the time of a decomposition of the rows, and
    exact to 1e-9 at `LEAST`.
    """
    found, motions = np.linalg.eigh(rows.T @ rows)
    squares = np.where(found > _ROUNDING * found[2], found, 0.0)
    return squares[::-1], motions.T[::-1]


class Free(NamedTuple):
    """The motion left: "turn" about a centre, "slide" along a unit vector, or "free" (several).

    What one contact leaves free slides along it, and turns about it.
    """

    kind: Literal["turn", "slide", "free"]
    centre: Point | None = None
    direction: Point | None = None


def free_motion(rank: Rank, frame: BodyFrame) -> Free | None:
    """The motion that a rank leaves; None if it leaves none."""
    if rank.held >= 3:
        return None
    if rank.held == 0:
        return Free("free")
    if rank.held == 1:
        one, other = rank.left
        return Free("free", None, _way(one * other[2] - other * one[2]))
    (motion,) = rank.left
    if abs(motion[2]) * _FAR < math.hypot(motion[0], motion[1]):
        return Free("slide", None, _way(motion))
    twist = frame.twist(motion)
    return Free("turn", (-twist.y / twist.turn, twist.x / twist.turn))


def _way(motion: Floats) -> Point:
    """The direction of a slide; of the two, that to the right, or else to the back."""
    x, y = float(motion[0]), float(motion[1])
    speed = math.hypot(x, y)
    sign = -1.0 if x < -1e-9 * speed or (abs(x) <= 1e-9 * speed and y < 0.0) else 1.0
    return (_clean(sign * x / speed), _clean(sign * y / speed))


def _clean(value: float) -> float:
    return round(value, 9) + 0.0


class Growth(NamedTuple):
    """By how many times an error of the contacts grows at a point of the body, and which point."""

    times: float
    far: Point


def growth(rows: Floats, frame: BodyFrame, points: Sequence[Point]) -> Growth:
    """How much an error of 1 mm, at each contact in the worst way, moves the worst of the points.

    Where several contacts hold one motion, they share it as equal springs would.  A motion that
    nothing holds does not count.
    """
    squares, motions = _principal(rows)
    held = squares > (LEAST / 2.0) ** 2 * squares[0]
    back = (motions[held].T / squares[held]) @ (motions[held] @ rows.T)
    x, y = (np.array(points) - np.array(frame.centre)).T / frame.radius
    moved_x = back[0] - y[:, None] * back[2]
    moved_y = back[1] + x[:, None] * back[2]
    # Over all signs of the errors, the longest sum of the vectors is the longest along any
    # direction; eight are enough to know it within 2 %.
    along = np.abs(_COSINES * moved_x + _SINES * moved_y).sum(axis=2).max(axis=0)
    first = int(np.argmax(np.round(along, 9)))
    return Growth(float(along[first]), points[first])


_COSINES, _SINES = (
    np.array([wave(math.pi * k / 8.0) for k in range(8)])[:, None, None]
    for wave in (math.cos, math.sin)
)


def misfit(rows: Floats, off: Floats) -> Floats:
    """How far contacts that are off by so many mm each, (n,), are from all touching a rigid body.

    The part of `off` that no motion takes away: its projection on the left null space of the rows,
    in which contacts fight each other.  All 0 if there is a place where every contact touches.
    """
    motion, *_ = np.linalg.lstsq(rows, off, rcond=LEAST)
    left: Floats = off - rows @ motion
    return left
