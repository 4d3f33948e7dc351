"""Rigid poses in the plane: where a body's frame is on the table."""

import math

from msgspec import Struct

from gridjig.rack import Point


def unit(degrees: float) -> Point:
    """Cosine and sine of an angle in degrees, exact at the quarter turns."""
    if not degrees:  # by far the commonest
        return (1.0, 0.0)
    quarter, rest = divmod(degrees, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
    angle = math.radians(degrees)
    return (math.cos(angle), math.sin(angle))


def wrap(degrees: float) -> float:
    """The same direction in the range -180 < d <= 180."""
    turned = math.fmod(degrees, 360.0)
    if turned > 180.0:
        return turned - 360.0
    if turned <= -180.0:
        return turned + 360.0
    return turned


class Pose(Struct, frozen=True):
    """A body frame on the table: mirrored first (y -> -y) if `flipped`, then turned, then moved.

    x, y in mm; turn in degrees, counter-clockwise.
    """

    x: float
    y: float
    turn: float
    flipped: bool = False

    def point(self, p: Point) -> Point:
        """A point of the body frame in table coordinates, mm."""
        c, s = unit(self.turn)
        px, py = p[0], -p[1] if self.flipped else p[1]
        return (self.x + c * px - s * py, self.y + s * px + c * py)

    def points(self, ps: tuple[Point, ...]) -> tuple[Point, ...]:
        """Points of the body frame in table coordinates; reversed if mirrored: rings stay ccw."""
        c, s = unit(self.turn)
        x, y = self.x, self.y
        if self.flipped:
            return tuple([(x + c * px + s * py, y + s * px - c * py) for px, py in reversed(ps)])
        return tuple([(x + c * px - s * py, y + s * px + c * py) for px, py in ps])

    def direction(self, degrees: float) -> float:
        """A direction of the body frame in table coordinates, degrees in (-180, 180]."""
        return wrap(self.turn + (-degrees if self.flipped else degrees))

    def back(self, p: Point) -> Point:
        """A table point in the coordinates of the body frame, mm."""
        c, s = unit(self.turn)
        dx, dy = p[0] - self.x, p[1] - self.y
        bx, by = c * dx + s * dy, -s * dx + c * dy
        return (bx, -by if self.flipped else by)
