"""Splines that are no chain of Bezier curves, flattened by looking at the curve itself."""

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from msgspec import Struct

from gridjig.rack import Point

from .drawing_curves import MOST_POINTS, Unusable

if TYPE_CHECKING:
    from ezdxf.math import BSpline


class Spline(Struct, frozen=True):
    """A B-spline that is no chain of Bezier curves as it stands: weighted, or with loose ends."""

    spline: "BSpline"
    closed: bool = False

    def points(self, tolerance: float) -> list[Point]:
        """Points along it: a step is halved until three points of the curve between its ends lie
        within half the tolerance of it.  Raises Unusable.
        """
        try:
            knots = self.spline.knots()
            first, last = knots[self.spline.degree], knots[self.spline.count]
            spans = [first, *sorted({k for k in knots if first < k < last}), last]
            times = [a + (b - a) * k / 8 for a, b in pairwise(spans) for k in range(8)]
            ends = [(t, self._at(t)) for t in (*times, last)]
        except (ArithmeticError, ValueError, IndexError) as fault:
            raise Unusable from fault
        made = [ends[0][1]]
        for a, b in pairwise(ends):
            made += self._between(a, b, tolerance / 2.0, 0)
            if len(made) > MOST_POINTS:
                raise Unusable
        return made

    def _at(self, t: float) -> Point:
        p = self.spline.point(t)
        return (p.x, p.y)

    def _between(
        self, a: tuple[float, Point], b: tuple[float, Point], tolerance: float, depth: int
    ) -> list[Point]:
        inner = [(t, self._at(t)) for t in (a[0] + (b[0] - a[0]) * k / 4 for k in (1, 2, 3))]
        if all(_away(p, a[1], b[1]) <= tolerance for _, p in inner):
            return [b[1]]
        if depth > 12:
            raise Unusable
        middle = inner[1]
        return [
            *self._between(a, middle, tolerance, depth + 1),
            *self._between(middle, b, tolerance, depth + 1),
        ]


def _away(p: Point, a: Point, b: Point) -> float:
    """How far a point is from the straight line between two others."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    square = dx * dx + dy * dy
    along = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square if square else 0.0
    along = min(max(along, 0.0), 1.0)
    return math.hypot(p[0] - a[0] - along * dx, p[1] - a[1] - along * dy)
