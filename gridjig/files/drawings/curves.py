"""Curves as drawings have them, kept exact until the flattening tolerance is known.

Coordinates are drawing units in the plane.  Knows no file.  Chords are counted before any is made,
so that a curve that would need too many is refused at once; ezdxf flattens without such a limit,
and SVG drawings are read without ezdxf.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple, Protocol

import numpy as np
from msgspec import Struct

from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.units.progress import look, looked_at

MOST_POINTS = 100_000  # of one curve
_MANY = 200  # points that are faster to compute together
FAR = 1e12  # drawing units; beyond this, the last digits of a coordinate are lost


class Unusable(Exception):  # noqa: N818  (it is the curve's state)
    """A curve that cannot be flattened: it is not finite, or would need too many points."""


class Curve(Protocol):
    """A curve that can be flattened to any tolerance."""

    @property
    def closed(self) -> bool:
        """True if the last point joins the first."""

    @property
    def given(self) -> int:
        """How many points the file itself has for it."""

    def points(self, tolerance: float) -> list[Point]:
        """Return points along it, with chords at most `tolerance` off.  Raise Unusable."""


class Affine(NamedTuple):
    """x' = a x + c y + e, y' = b x + d y + f."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def of(self, p: Point) -> Point:
        """Return the image of a point."""
        x, y = p
        return (self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    def after(self, first: "Affine") -> "Affine":
        """Return the map that applies `first`, then this one."""
        e, f = self.of((first.e, first.f))
        return Affine(
            self.a * first.a + self.c * first.b,
            self.b * first.a + self.d * first.b,
            self.a * first.c + self.c * first.d,
            self.b * first.c + self.d * first.d,
            e,
            f,
        )

    @property
    def stretch(self) -> float:
        """Return its greatest stretch: the larger singular value."""
        most = max(abs(self.a), abs(self.b), abs(self.c), abs(self.d))
        if not 0.0 < most <= FAR:
            return most
        a, b, c, d = (v / most for v in (self.a, self.b, self.c, self.d))
        total = a * a + b * b + c * c + d * d
        area = a * d - b * c
        root = math.sqrt(max(total**2 - 4.0 * area**2, 0.0))
        return most * math.sqrt((total + root) / 2.0)


class LineArcPath(Struct, frozen=True, tag=True):
    """Straight lines and arcs from corner to corner.

    A corner's third number is the bulge of what follows it: the tangent of a quarter of the arc's
    angle, positive counter-clockwise, 0 for a straight line (DXF reference, group code 42).
    """

    corners: tuple[tuple[float, float, float], ...]
    closed: bool = False

    @property
    def given(self) -> int:
        """Its corners."""
        return len(self.corners)

    def points(self, tolerance: float) -> list[Point]:
        """Return points along it."""
        made: list[Point] = []
        count = len(self.corners)
        for k, (x, y, bulge) in enumerate(self.corners):
            made.append((x, y))
            if bulge and (self.closed or k + 1 < count):
                made += _arc((x, y), self.corners[(k + 1) % count][:2], bulge, tolerance)
                _bounded(len(made) - count)
        return made


def _arc(a: Point, b: Point, bulge: float, tolerance: float) -> list[Point]:
    """The points strictly between the ends of an arc.

    Its radius is chord (1 + bulge^2) / (4 bulge), its centre (1 - bulge^2) / (4 bulge) chords to
    the left of the middle of the chord; a chord of an angle w is off by r (1 - cos(w / 2)).
    """
    dx, dy = b[0] - a[0], b[1] - a[1]
    radius = math.hypot(dx, dy) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    if not radius:
        return []
    off = (1.0 - bulge * bulge) / (4.0 * bulge)
    cx, cy = (a[0] + b[0]) / 2.0 - dy * off, (a[1] + b[1]) / 2.0 + dx * off
    angle = 4.0 * math.atan(bulge)
    parts = parts_of(abs(angle), radius, tolerance)
    start = math.atan2(a[1] - cy, a[0] - cx)
    turns = start + angle * np.arange(1, parts) / parts
    xs, ys = cx + radius * np.cos(turns), cy + radius * np.sin(turns)
    return list(zip(xs.tolist(), ys.tolist(), strict=True))


def parts_of(angle: float, radius: float, tolerance: float) -> int:
    """Return how many chords an arc needs so that each is off by at most the tolerance."""
    if not math.isfinite(radius):
        raise Unusable
    step = 2.0 * math.acos(max(1.0 - tolerance / radius, 0.0)) or 1e-9
    return _bounded(max(angle / step, angle / (math.pi / 2.0)))


def _bounded(wanted: float) -> int:
    if not wanted <= MOST_POINTS:
        raise Unusable
    return max(1, math.ceil(wanted - 1e-9))


def circle(centre: Point, radius: float) -> LineArcPath:
    """Return a circle, counter-clockwise."""
    x, y = centre
    return LineArcPath(((x + radius, y, 1.0), (x - radius, y, 1.0)), closed=True)


def arc(centre: Point, radius: float, start: float, end: float) -> LineArcPath:
    """Return an arc, counter-clockwise from `start` to `end` degrees; a full turn is a circle."""
    sweep = math.fmod(end - start, 360.0)
    sweep += 360.0 if sweep <= 1e-9 else 0.0
    if sweep >= 360.0 - 1e-9:
        return circle(centre, radius)
    # Cut in two, since the bulge of nearly a full turn is inaccurate.
    bulge = math.tan(math.radians(sweep) / 8.0)
    turns = [math.radians(start + sweep * k / 2.0) for k in range(3)]
    ends = [(centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns]
    return LineArcPath(
        tuple((x, y, b) for (x, y), b in zip(ends, (bulge, bulge, 0.0), strict=True))
    )


class Ellipse(Struct, frozen=True, tag=True):
    """Centre + major cos(t) + minor sin(t) for t from `start` to `end` radians."""

    centre: Point
    major: Point
    minor: Point
    start: float
    end: float

    @property
    def given(self) -> int:
        """Its centre."""
        return 1

    @property
    def closed(self) -> bool:
        """True for a whole ellipse."""
        return self.end - self.start >= math.tau - 1e-9

    def points(self, tolerance: float) -> list[Point]:
        """Return points along it.  It is a circle stretched along one axis, so no chord is off by
        more than the same chord of the circumscribed circle.
        """
        radius = max(math.hypot(*self.major), math.hypot(*self.minor))
        if not radius:
            return [self.centre]
        angle = self.end - self.start
        parts = parts_of(angle, radius, tolerance)
        turns = self.start + angle * np.arange(parts + (not self.closed)) / parts
        cos, sin = np.cos(turns), np.sin(turns)
        xs, ys = (
            (at + long * cos + wide * sin).tolist()
            for at, long, wide in zip(self.centre, self.major, self.minor, strict=True)
        )
        return list(zip(xs, ys, strict=True))


class Beziers(Struct, frozen=True, tag=True):
    """Bezier curves of any degree end to end, each by its control points."""

    pieces: tuple[tuple[Point, ...], ...]
    closed: bool = False

    @property
    def given(self) -> int:
        """The ends of its pieces."""
        return len(self.pieces) + 1

    def points(self, tolerance: float) -> list[Point]:
        """Return points along it.

        Cut into n equal steps, a curve is off by at most max |B''| / (8 n^2), and B'' is nowhere
        more than d (d - 1) times the greatest second difference of its d + 1 control points.
        """
        made = [self.pieces[0][0]]
        for piece in looked_at(self.pieces, 200):
            degree = len(piece) - 1
            bend = max(
                (
                    math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1])
                    for a, b, c in zip(piece, piece[1:], piece[2:], strict=False)
                ),
                default=0.0,
            )
            parts = _bounded(math.sqrt(degree * (degree - 1) * bend / (8.0 * tolerance)))
            _bounded(len(made) + parts - len(self.pieces))
            if parts < _MANY:
                made += [_bezier(piece, k / parts) for k in range(1, parts)]
            else:
                look()
                made += _beziers(piece, parts)
            made.append(piece[-1])
        return made


def _bezier(points: Sequence[Point], t: float) -> Point:
    """The point of a Bezier curve at t, by de Casteljau's algorithm."""
    while len(points) > 1:
        points = [(a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])) for a, b in pairwise(points)]
    return points[0]


def _beziers(points: Sequence[Point], parts: int) -> list[Point]:
    """The points of a Bezier curve at k / parts for k from 1 to parts - 1, all at once."""
    t = np.arange(1, parts)[:, None] / parts
    rows = [np.array([p]) for p in points]
    while len(rows) > 1:
        rows = [a + t * (b - a) for a, b in pairwise(rows)]
    return [(x, y) for x, y in np.broadcast_to(rows[0], (parts - 1, 2)).tolist()]


@lru_cache(maxsize=256)
def _flat(curve: "Same[Curve]", tolerance: float) -> list[Point]:
    """The points of a curve in a block; its copies are flattened once."""
    return curve.value.points(tolerance)


class DrawnCurve(Struct, frozen=True):
    """A curve in its place: its layer, and the transform of its blocks."""

    layer: str
    curve: Curve
    where: Affine | None = None

    def points(self, tolerance: float) -> list[Point]:
        """Return points along it in the drawing.  Raise Unusable."""
        try:
            made = self._made(tolerance)
        except (ArithmeticError, ValueError) as fault:  # absurdly large numbers
            raise Unusable from fault
        if not all(abs(x) <= FAR and abs(y) <= FAR for x, y in made):
            raise Unusable
        return made

    def _made(self, tolerance: float) -> list[Point]:
        if self.where is None:
            made = self.curve.points(tolerance)
        else:
            stretch = self.where.stretch
            if not stretch <= FAR:
                raise Unusable
            made = _flat(Same(self.curve), tolerance / max(stretch, 1e-12))
            if len(made) < _MANY:
                made = [self.where.of(p) for p in made]
            else:
                w = self.where
                for p in (made[0], made[len(made) // 2], made[-1]):  # before all are mapped
                    if not max(map(abs, w.of(p))) <= FAR:
                        raise Unusable
                turn, move = np.array([[w.a, w.b], [w.c, w.d]]), np.array([w.e, w.f])
                made = [(x, y) for x, y in (np.array(made) @ turn + move).tolist()]
        return made
