"""The holes of a plate as rings, its plan without them, and whether they can be cut at all.

A round hole is drawn with as many sides as its size needs.  The ring has exactly the area of the
circle, so that masses are exact; it strays from the circle by at most `FINE`.
"""

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from gridjig.model import CutOut, Drilled, Part, Plate, PlateHole, Slotted
from gridjig.rack import Point

from .pose import Pose, unit
from .shapes import bounds

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

FINE = 0.01
"""The most that the ring of a round hole strays from its circle, mm: no drill is that good."""

STEEL_LEFT = 0.1
"""The least steel, mm, between a hole and the edge of its plate or another hole."""

_FEWEST, _MOST = 32, 720


def holes_of(part: Part) -> tuple[PlateHole, ...]:
    """The holes of a part; a member has none."""
    return part.holes if isinstance(part, Plate) else ()


def hole_ring(hole: PlateHole) -> tuple[Point, ...]:
    """The edge of a hole in the plate's own frame: counter-clockwise, not closed, mm."""
    match hole:
        case Drilled():
            return _arc(hole.at, hole.diameter / 2.0, 0.0, 360.0)[:-1]
        case Slotted():
            (ax, ay), (bx, by) = hole.a, hole.b
            along = math.degrees(math.atan2(by - ay, bx - ax))
            radius = hole.width / 2.0
            return (
                *_arc(hole.b, radius, along - 90.0, along + 90.0, ends=True),
                *_arc(hole.a, radius, along + 90.0, along + 270.0, ends=True),
            )
        case CutOut():
            ring = hole.corners
            return ring if _twice_area(ring) >= 0.0 else ring[::-1]


def _twice_area(ring: Sequence[Point]) -> float:
    sides = zip(ring, (*ring[1:], ring[0]), strict=True)
    return sum(x * v - u * y for (x, y), (u, v) in sides)


def _arc(
    centre: Point, radius: float, start: float, end: float, ends: bool = False
) -> tuple[Point, ...]:
    """Points along an arc whose polygon has the area of the arc's sector.

    With `ends` the two ends lie on the circle itself, where straight sides go on from them.
    """
    ratio = min(FINE / radius, 0.5)
    whole = math.ceil(math.pi / math.acos(1.0 - ratio))
    sides = max(min(whole, _MOST), _FEWEST)
    steps = max(4, math.ceil(sides * (end - start) / 360.0))
    step = math.radians(end - start) / steps
    out = math.sqrt(step / math.sin(step))
    if ends:
        # The first and the last triangle have one corner on the circle, the others none.
        a, b, c = steps - 2, 2.0, -steps * step / math.sin(step)
        out = (-b + math.sqrt(b * b - 4.0 * a * c)) / (2.0 * a)
    made = []
    for k in range(steps + 1):
        c_, s_ = unit(start + (end - start) * k / steps)
        far = radius if ends and k in (0, steps) else radius * out
        made.append((centre[0] + far * c_, centre[1] + far * s_))
    return tuple(made)


def part_openings(part: Part) -> tuple[tuple[Point, ...], ...]:
    """The edges of a part's holes on the table, mm; none for a member."""
    pose = Pose(part.x, part.y, part.turn)
    return tuple(pose.points(hole_ring(hole)) for hole in holes_of(part))


class Bore(NamedTuple):
    """A round hole or a slot on the table: its centre line from `a` to `b`, its radius, mm.

    A round hole has both ends in one place.
    """

    a: Point
    b: Point
    radius: float

    def nearest(self, p: Point) -> Point:
        """The point of the centre line that is nearest to a point."""
        (ax, ay), (bx, by) = self.a, self.b
        dx, dy = bx - ax, by - ay
        square = dx * dx + dy * dy
        t = ((p[0] - ax) * dx + (p[1] - ay) * dy) / square if square else 0.0
        t = min(max(t, 0.0), 1.0)
        return (ax + t * dx, ay + t * dy)


def part_bores(part: Part) -> tuple[Bore | None, ...]:
    """The holes of a part on the table as circles and slots; None for one of another shape."""
    pose = Pose(part.x, part.y, part.turn)
    return tuple(_bore(hole, pose) for hole in holes_of(part))


def _bore(hole: PlateHole, pose: Pose) -> Bore | None:
    match hole:
        case Drilled():
            centre = pose.point(hole.at)
            return Bore(centre, centre, hole.diameter / 2.0)
        case Slotted():
            return Bore(pose.point(hole.a), pose.point(hole.b), hole.width / 2.0)
        case CutOut():
            return None


def hole_area(hole: PlateHole) -> float:
    """The area of a hole, mm2."""
    match hole:
        case Drilled():
            return math.pi / 4.0 * hole.diameter**2
        case Slotted():
            return math.pi / 4.0 * hole.width**2 + hole.width * math.dist(hole.a, hole.b)
        case CutOut():
            return abs(_twice_area(hole.corners)) / 2.0


def without_openings(plan: "BaseGeometry", openings: Sequence[Sequence[Point]]) -> "BaseGeometry":
    """A plan less its openings."""
    if not openings:
        return plan
    import shapely  # noqa: PLC0415  # late: not needed at startup

    rings = [shapely.make_valid(shapely.Polygon(ring)) for ring in openings]
    return plan.difference(shapely.union_all(rings))


def mirrored_hole(hole: PlateHole) -> PlateHole:
    """The hole of the plate mirrored about the x axis of its own frame."""
    made = _mapped(hole, lambda p: (p[0], 0.0 - p[1]))
    if not isinstance(made, CutOut):
        return made
    first, *rest = made.corners
    return CutOut((first, *reversed(rest)))


def moved_hole(hole: PlateHole, dx: float, dy: float) -> PlateHole:
    """The hole moved in the plate's own frame, mm."""
    return _mapped(hole, lambda p: (p[0] + dx, p[1] + dy))


def rounded_hole(hole: PlateHole, digits: int) -> PlateHole:
    """The hole with its places and sizes rounded to so many digits of a millimetre."""
    made = _mapped(hole, lambda p: (round(p[0], digits), round(p[1], digits)))
    match made:
        case Drilled():
            return Drilled(made.at, round(made.diameter, digits))
        case Slotted():
            return Slotted(made.a, made.b, round(made.width, digits))
        case _:
            return made


def _mapped(hole: PlateHole, place: Callable[[Point], Point]) -> PlateHole:
    """The hole with each of its points put elsewhere."""
    match hole:
        case Drilled():
            return Drilled(place(hole.at), hole.diameter)
        case Slotted():
            return Slotted(place(hole.a), place(hole.b), hole.width)
        case CutOut():
            return CutOut(tuple(map(place, hole.corners)))


def hole_middle(hole: PlateHole) -> Point:
    """The middle of a hole in the plate's own frame, mm."""
    match hole:
        case Drilled():
            return hole.at
        case Slotted():
            return ((hole.a[0] + hole.b[0]) / 2.0, (hole.a[1] + hole.b[1]) / 2.0)
        case CutOut():
            x0, y0, x1, y1 = bounds(hole.corners)
            return ((x0 + x1) / 2.0, (y0 + y1) / 2.0)


def bad_hole(corners: Sequence[Point], holes: Sequence[PlateHole]) -> tuple[int, str] | None:
    """The index of the first hole that cannot be cut, and why as a clause; None if all can be.

    A hole lies inside the plate and clear of the other holes, with steel left all round it.
    """
    if not holes:
        return None
    import shapely  # noqa: PLC0415  # late, as above

    plate = shapely.Polygon(corners)
    shapes = [shapely.Polygon(hole_ring(hole)) for hole in holes]
    shapely.prepare(plate)
    for index, shape in enumerate(shapes):
        if not shape.is_valid or shape.area <= 0.0:
            return index, "its sides cross or enclose nothing"
        if not plate.contains(shape):
            return index, "it is not wholly inside the plate"
        if shapely.distance(plate.exterior, shape) < STEEL_LEFT:
            return index, "no steel is left between it and the edge of the plate"
    tree = shapely.STRtree(shapes)
    first, second = tree.query(shapes, predicate="dwithin", distance=STEEL_LEFT)
    pairs = sorted(
        (max(i, j), min(i, j))
        for i, j in zip(first.tolist(), second.tolist(), strict=True)
        if i < j
    )
    if pairs:
        later, earlier = pairs[0]
        return later, f"it runs into hole {earlier + 1}"
    return None
