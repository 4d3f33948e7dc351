"""Rows of contacts about a point of a body, scaled by its radius of gyration."""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from gridjig.rack import Point

Floats = NDArray[np.float64]


class Push(NamedTuple):
    """A contact: a point of it, mm, and the unit vector in which it can push the body."""

    at: Point
    way: Point


class Twist(NamedTuple):
    """A small motion: how far the origin of the coordinates moves, mm, and the turn, radians."""

    x: float
    y: float
    turn: float

    def at(self, point: Point) -> Point:
        """How far a point of the body moves, mm."""
        return (self.x - self.turn * point[1], self.y + self.turn * point[0])


class BodyFrame(NamedTuple):
    """The point of a body that moments are taken about, and its radius of gyration; mm."""

    centre: Point
    radius: float

    def rows(self, pushes: Sequence[Push]) -> Floats:
        """The rows of contacts, shape (n, 3), all without unit."""
        made = np.empty((len(pushes), 3))
        if pushes:
            (ox, oy), radius = self.centre, self.radius
            made[:] = [
                (nx, ny, ((x - ox) * ny - (y - oy) * nx) / radius) for (x, y), (nx, ny) in pushes
            ]
        return made

    def twist(self, scaled: Sequence[float] | Floats) -> Twist:
        """A motion given in the columns of `rows`, in coordinates of the table."""
        x, y, turned = (float(v) for v in scaled)
        turn = turned / self.radius
        ox, oy = self.centre
        return Twist(x + turn * oy, y - turn * ox, turn)


def frame_of(points: Sequence[Point]) -> BodyFrame:
    """The frame of a body from points of its outline: the middle and gyration of their box.

    A box of w x h has the radius of gyration sqrt((w^2 + h^2) / 12).
    """
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    width, depth = max(xs) - min(xs), max(ys) - min(ys)
    centre = ((max(xs) + min(xs)) / 2.0, (max(ys) + min(ys)) / 2.0)
    return BodyFrame(centre, max(math.sqrt((width * width + depth * depth) / 12.0), 1e-6))


def cross(one: Floats, other: Floats) -> Floats:
    """The cross product of each pair of rows (n, 3); numpy's own takes five times as long."""
    (a, b, c), (d, e, f) = one.T, other.T
    return np.stack((b * f - c * e, c * d - a * f, a * e - b * d), axis=1)
