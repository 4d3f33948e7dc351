"""Where the centre of a pin may lie in a piece: at a point, on a straight line or on an arc.

Plain floats in the frame of one body, already mirrored if the piece is turned over.  This module
knows mount features, but not tables.
"""

import math
from functools import lru_cache
from typing import Literal

from msgspec import Struct

from gridjig.geometry import unit
from gridjig.rack import ArcSlot, MountFeature, Point, StraightSlot

EPS = 1e-6
"""A nanometre: more than rounding does to lengths of a few metres, less than any shop can see."""

NEAR = 1e-9
"""Lengths and angles closer than this are the same number, computed in two ways."""


class Track(Struct, frozen=True):
    """The path along a feature, by the distance `t` in mm from its end `a` (of an arc, its start).

    (x, y) is the point, the line's end `a` or the arc's centre; (ux, uy) is the line's direction;
    radius (mm), start and sweep (degrees, negative if mirrored) describe the arc.  A point has
    length 0.
    """

    kind: Literal["point", "line", "arc"]
    x: float
    y: float
    ux: float = 0.0
    uy: float = 0.0
    radius: float = 0.0
    start: float = 0.0
    sweep: float = 0.0
    length: float = 0.0

    def at(self, t: float) -> Point:
        """The point at `t` mm along the track."""
        if self.kind == "point":
            return (self.x, self.y)
        if self.kind == "line":
            return (self.x + self.ux * t, self.y + self.uy * t)
        c, s = unit(self.angle(t))
        return (self.x + self.radius * c, self.y + self.radius * s)

    def angle(self, t: float) -> float:
        """The direction in degrees from an arc's centre to its point at `t`."""
        return self.start + self.sweep * (t / self.length)

    def nearest(self, qx: float, qy: float) -> float:
        """The `t` of the point of the track nearest to (qx, qy)."""
        if self.kind == "point":
            return 0.0
        if self.kind == "line":
            t = (qx - self.x) * self.ux + (qy - self.y) * self.uy
            return 0.0 if t <= 0.0 else min(t, self.length)
        return self.along(math.degrees(math.atan2(qy - self.y, qx - self.x)))

    def along(self, direction: float) -> float:
        """The `t` of the point of an arc nearest to a direction (degrees) from its centre."""
        span = abs(self.sweep)
        on = math.fmod((direction - self.start) * (1.0 if self.sweep > 0 else -1.0), 360.0)
        if on < 0.0:
            on += 360.0
        if on > span:
            on = span if on - span <= 360.0 - on else 0.0
        return on / span * self.length

    def gap(self, qx: float, qy: float) -> float:
        """The distance in mm from (qx, qy) to the nearest point of the track."""
        px, py = self.at(self.nearest(qx, qy))
        return math.hypot(qx - px, qy - py)

    def span(self, px: float, py: float) -> tuple[float, float]:
        """The least and the greatest distance in mm from (px, py) to points of the track."""
        if self.kind == "point":
            d = math.hypot(self.x - px, self.y - py)
            return (d, d)
        low = self.gap(px, py)
        ends = [self.at(0.0), self.at(self.length)]
        if self.kind == "arc":
            away = math.degrees(math.atan2(self.y - py, self.x - px))
            ends.append(self.at(self.along(away)))
        return (low, max(math.hypot(x - px, y - py) for x, y in ends))


def track_of(feature: MountFeature, flipped: bool = False) -> Track:
    """The track of a mount feature, mirrored (y -> -y) if the piece is turned over."""
    return _track_of(feature, flipped)


@lru_cache(maxsize=1024)
def _track_of(feature: MountFeature, flipped: bool) -> Track:
    m = -1.0 if flipped else 1.0
    if isinstance(feature, StraightSlot):
        (ax, ay), (bx, by) = feature.a, feature.b
        length = math.hypot(bx - ax, by - ay)
        return Track(
            "line", ax, ay * m + 0.0, (bx - ax) / length, (by - ay) * m / length, length=length
        )
    if isinstance(feature, ArcSlot):
        sweep = feature.end - feature.start
        return Track(
            "arc",
            feature.centre[0],
            feature.centre[1] * m + 0.0,
            radius=feature.radius,
            start=feature.start * m,
            sweep=sweep * m,
            length=feature.radius * math.radians(sweep),
        )
    return Track("point", feature.at[0], feature.at[1] * m + 0.0)


def turn_between(fx: float, fy: float, vx: float, vy: float) -> float:
    """The turn in degrees, in (-180, 180], that brings direction f onto direction v.

    Quarter turns come out exact: what the rounding of hole positions leaves is snapped off.
    """
    return tidy(math.degrees(math.atan2(fx * vy - fy * vx, fx * vx + fy * vy)))


def tidy(degrees: float) -> float:
    """The angle in (-180, 180], snapped to a quarter turn if within 1e-9 degree of it."""
    quarter = round(degrees / 90.0) * 90.0
    if abs(degrees - quarter) < NEAR:
        degrees = quarter
    if -180.0 < degrees <= 180.0:
        return degrees + 0.0
    turned = math.fmod(degrees, 360.0)
    if turned > 180.0:
        return turned - 360.0
    return turned + 360.0 if turned <= -180.0 else turned + 0.0


def turned_to(degrees: float, low: float, high: float) -> float:
    """The angle, modulo a full turn, clamped to the range low..high."""
    if high - low >= 360.0 - NEAR:
        return degrees
    up = low + math.fmod(degrees - low, 360.0)
    if up < low:
        up += 360.0
    if up <= high:
        return up
    return high if up - high <= low + 360.0 - up else low


def apart(a: float, b: float) -> float:
    """The angle between two directions, 0 to 180 degrees."""
    d = math.fmod(abs(a - b), 360.0)
    return 360.0 - d if d > 180.0 else d
