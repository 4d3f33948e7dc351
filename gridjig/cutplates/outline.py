"""The outline of a plate: steel round its pin holes, up to the edges that locate the work.

Points are mm on the table's axes, rings run counter-clockwise with the steel on their left.
"""

import math
from collections.abc import Sequence

import shapely
from msgspec import Struct

from gridjig.geometry.layered import Path
from gridjig.geometry.pose import Pose
from gridjig.geometry.shapes import bounds
from gridjig.rack import Point

_FAR = 1e5
_SAME = 1e-6


class LocatingEdge(Struct, frozen=True):
    """An edge that the work lies against, from `a` to `b` with the plate's steel on its left.

    The work is `clear` mm away from it: 0 for a datum face, room for the tube's tolerance where the
    plate only holds it in.
    """

    a: Point
    b: Point
    clear: float = 0.0

    @property
    def along(self) -> Point:
        """The unit vector from `a` to `b`."""
        long = math.dist(self.a, self.b)
        return (self.b[0] - self.a[0]) / long, (self.b[1] - self.a[1]) / long

    @property
    def cut(self) -> tuple[Point, Point]:
        """Where the plate's edge is cut."""
        ux, uy = self.along
        dx, dy = -uy * self.clear, ux * self.clear
        return (self.a[0] + dx, self.a[1] + dy), (self.b[0] + dx, self.b[1] + dy)


class OutlineCorner(Struct, frozen=True):
    """A corner of an outline, with a round relief about it if `relief` is greater than 0."""

    at: Point
    relief: float = 0.0


def outline(
    edges: Sequence[LocatingEdge],
    pins: Sequence[Point],
    margin: float,
    land: float,
    frame: float = 0.0,
) -> tuple[OutlineCorner, ...]:
    """The corners of a plate whose other sides run along `frame` degrees and square to it.

    There is `margin` of steel from the centre of each pin to the sides.  Where a side would meet a
    locating edge at less than a right angle, it is moved out by `land`, so that there is no sharp
    point.  The corner between two locating edges is an inside corner of the plate.  Raises
    ValueError with a sentence if the edges and the pins do not make one plate.
    """
    back = Pose(0.0, 0.0, -frame)
    there = Pose(0.0, 0.0, frame)
    cut = [tuple(map(back.point, edge.cut)) for edge in edges]
    round_pins = [
        (x + dx, y + dy) for x, y in map(back.point, pins) for dx in (-margin, margin)
        for dy in (-margin, margin)
    ]  # fmt: skip
    # Behind each of several edges there is as much steel as round a pin.
    behind = [_behind(p, a, b, margin) for a, b in cut if len(cut) > 1 for p in (a, b)]
    low_x, low_y, high_x, high_y = bounds([*round_pins, *behind, *(p for ab in cut for p in ab)])
    for at, other in ((cut[0][0], cut[0][1]), (cut[-1][1], cut[-1][0])):
        ux, uy = other[0] - at[0], other[1] - at[1]
        # The steel is on the left of a -> b.
        mx, my = (-uy, ux) if at == cut[0][0] else (uy, -ux)
        if abs(mx) <= _SAME or abs(my) <= _SAME:
            continue  # the sides are square to the edge
        if uy * my > 0:  # straight back from its end the steel would end in a point
            if ux < 0:
                high_x = max(high_x, at[0] + land)
            else:
                low_x = min(low_x, at[0] - land)
        elif my < 0:
            low_y = min(low_y, at[1] - land)
        else:
            high_y = max(high_y, at[1] + land)
    work: shapely.geometry.base.BaseGeometry = shapely.box(-_FAR, -_FAR, _FAR, _FAR)
    for a, b in cut:
        work = work.intersection(_right_of(a, b))
    steel = shapely.box(low_x, low_y, high_x, high_y).difference(work)
    if not isinstance(steel, shapely.Polygon) or steel.is_empty or steel.interiors:
        raise ValueError("The edges would cut the plate in two; choose other edges or pin holes.")
    if not all(steel.buffer(_SAME).contains(shapely.Point(back.point(pin))) for pin in pins):
        raise ValueError("A pin hole is on the wrong side of the edge; choose another hole.")
    ring = list(shapely.geometry.polygon.orient(steel).exterior.coords)[:-1]
    return tuple(OutlineCorner(there.point((x, y))) for x, y in ring)


def _behind(p: Point, a: Point, b: Point, by: float) -> Point:
    """A point moved into the steel on the left of a -> b."""
    long = math.dist(a, b)
    return p[0] - (b[1] - a[1]) / long * by, p[1] + (b[0] - a[0]) / long * by


def _right_of(a: Point, b: Point) -> shapely.Polygon:
    """The half plane on the right of the way from `a` to `b`, as far as matters."""
    long = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / long * 2 * _FAR, (b[1] - a[1]) / long * 2 * _FAR
    start, end = (a[0] - ux, a[1] - uy), (a[0] + ux, a[1] + uy)
    return shapely.Polygon([start, end, (end[0] + uy, end[1] - ux), (start[0] + uy, start[1] - ux)])


def relieved(
    corners: Sequence[OutlineCorner], relief: float, beads: Sequence[Point], bead: float
) -> tuple[OutlineCorner, ...]:
    """The corners with a relief at every inside corner, and one about every bead on the outline.

    A bead nearer to a corner than its relief reaches is relieved about that corner.  Raises
    ValueError if there is not enough edge between two reliefs.
    """
    count = len(corners)
    made: list[OutlineCorner] = []
    for k, corner in enumerate(corners):
        before, after = corners[k - 1].at, corners[(k + 1) % count].at
        inside = _turn(before, corner.at, after) < -_SAME
        here = relief if inside else 0.0
        if bead and any(math.dist(corner.at, one) < 1.5 * bead for one in beads):
            here = max(here, bead)
        made.append(OutlineCorner(corner.at, here))
        on_side = [
            one
            for one in beads
            if bead
            and _on(one, corner.at, after)
            and min(math.dist(one, corner.at), math.dist(one, after)) >= 1.5 * bead
        ]
        on_side.sort(key=lambda one: math.dist(one, corner.at))
        made += [OutlineCorner(one, bead) for one in on_side]
    for k, corner in enumerate(made):
        other = made[k - 1]
        if (corner.relief or other.relief) and math.dist(corner.at, other.at) <= (
            corner.relief + other.relief + _SAME
        ):
            raise ValueError(
                "The reliefs leave nothing of an edge between them; make the relief smaller."
            )
    return tuple(made)


def _turn(a: Point, b: Point, c: Point) -> float:
    """The sine of the turn from a -> b to b -> c; negative to the right."""
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]
    return (ux * vy - uy * vx) / (math.hypot(ux, uy) * math.hypot(vx, vy))


def _on(p: Point, a: Point, b: Point, within: float = 0.05) -> bool:
    """True if a point lies on a segment, within 0.05 mm."""
    long = math.dist(a, b)
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    along = (p[0] - a[0]) * ux + (p[1] - a[1]) * uy
    aside = (p[0] - a[0]) * -uy + (p[1] - a[1]) * ux
    return abs(aside) <= within and 0.0 <= along <= long


def cut_path(layer: str, corners: Sequence[OutlineCorner], grow: float = 0.0) -> Path:
    """The outline as a path, its reliefs as arcs, grown outwards by `grow` mm of steel.

    A relief shrinks by as much, since it is a hole in the steel.
    """
    count = len(corners)
    points: list[Point] = []
    bulges: list[float] = []
    for k, corner in enumerate(corners):
        before, after = corners[k - 1].at, corners[(k + 1) % count].at
        first, second = _unit(before, corner.at), _unit(corner.at, after)
        n1, n2 = (first[1], -first[0]), (second[1], -second[0])  # out of the steel
        if not corner.relief:
            points.append(_met(corner.at, n1, n2, grow))
            bulges.append(0.0)
            continue
        radius = corner.relief - grow
        if radius <= abs(grow):
            raise ValueError("The relief is no wider than the kerf; make it larger.")
        run = math.sqrt(radius * radius - grow * grow)
        x, y = corner.at
        start = (x + n1[0] * grow - first[0] * run, y + n1[1] * grow - first[1] * run)
        end = (x + n2[0] * grow + second[0] * run, y + n2[1] * grow + second[1] * run)
        # Through the steel, which is on the left: the arc runs clockwise about the corner.
        a1 = math.atan2(start[1] - y, start[0] - x)
        a2 = math.atan2(end[1] - y, end[0] - x)
        sweep = (a1 - a2) % (2.0 * math.pi)
        points += [start, end]
        bulges += [-math.tan(sweep / 4.0), 0.0]
    return Path(layer, tuple(points), True, tuple(bulges))


def _unit(a: Point, b: Point) -> Point:
    long = math.dist(a, b)
    return (b[0] - a[0]) / long, (b[1] - a[1]) / long


def _met(at: Point, n1: Point, n2: Point, grow: float) -> Point:
    """Where the two sides of a corner meet after both have moved out by `grow`."""
    if not grow:
        return at
    share = grow / (1.0 + n1[0] * n2[0] + n1[1] * n2[1])
    return at[0] + (n1[0] + n2[0]) * share, at[1] + (n1[1] + n2[1]) * share
