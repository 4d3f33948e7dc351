"""Infinite straight lines in plan: where they meet, and how far points are from them."""

import math

from msgspec import Struct

from gridjig.rack import Point

PARALLEL = 1e-9
"""Two lines are parallel if the sine of their angle is at most this: a micron in a kilometre."""


class Line(Struct, frozen=True):
    """The line through the point `at` (mm) along the unit vector `along`."""

    at: Point
    along: Point

    def place(self, distance: float) -> Point:
        """The point that far along the line, mm."""
        return (self.at[0] + distance * self.along[0], self.at[1] + distance * self.along[1])

    def off(self, p: Point) -> float:
        """Distance of a point from the line, mm, positive on the left, negative on the right."""
        dx, dy = p[0] - self.at[0], p[1] - self.at[1]
        return self.along[0] * dy - self.along[1] * dx

    def how_far(self, p: Point) -> float:
        """Position of a point along the line from `at`, mm."""
        dx, dy = p[0] - self.at[0], p[1] - self.at[1]
        return self.along[0] * dx + self.along[1] * dy

    def meets(self, other: "Line") -> float | None:
        """Position along this line where the other crosses it, mm; None if they are parallel."""
        sine = self.along[0] * other.along[1] - self.along[1] * other.along[0]
        if abs(sine) <= PARALLEL:
            return None
        return other.off(self.at) / sine

    def mirrored(self, p: Point) -> Point:
        """The mirror image of a point in the line."""
        off = 2.0 * self.off(p)
        return (p[0] + off * self.along[1], p[1] - off * self.along[0])


def line_angle(a: Point, b: Point) -> float:
    """Direction of the line through two points, in degrees, 0 <= d < 180."""
    on = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])) % 180.0
    return 0.0 if on > 180.0 - 1e-9 else on


def through(a: Point, b: Point) -> Line:
    """The line from one point to another.  Raises ValueError if they are the same point."""
    length = math.dist(a, b)
    if length == 0:
        raise ValueError("a line needs two different points")
    return Line(a, ((b[0] - a[0]) / length, (b[1] - a[1]) / length))
