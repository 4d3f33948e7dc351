"""A piece by itself as a display list, in its own frame: for the rack list, forms and pictures.

Knows no table and no placement; a leaf is at the middle of its range, a clamp at full reach.
"""

import math

from msgspec import structs

from gridjig.geometry.display import Arc, Circle, DisplayList, Polyline, Shape
from gridjig.geometry.pose import Pose, unit
from gridjig.rack import ArcSlot, Piece, Point, RoundHole, Shank, StraightSlot

_CAP_POINTS = 19
"""Points of a slot's round end, 10 degrees apart: at full size no corner shows."""

_SWEEP = 3.0
"""Degrees between the points along an arc slot, for the same reason."""


def silhouette(piece: Piece) -> DisplayList:
    """Draw the plan of a piece: solids, holes, slots, a clamp's bar; loose shims as a strip."""
    bodies = body_poses(piece)
    shapes: list[Shape] = []
    for solid in sorted(piece.solids, key=lambda s: s.z_high):
        put = bodies[solid.body].points
        cut = tuple(map(put, solid.openings))
        shapes.append(Polyline(put(solid.outline), "edge", True, "part", openings=cut))
    if piece.tip is not None:
        bar, pad = clamp_bar(piece)
        shapes.append(Polyline(bar, "edge", closed=True, fill="part"))
        shapes.append(Circle(pad, piece.tip.pad_radius, "force", fill="ink"))
    for mount in piece.mounts:
        shapes.extend(_mount(mount, bodies[mount.body]))
    if not piece.solids:
        shapes.append(_strip(piece))
    return tuple(shapes)


def lying(drawing: DisplayList) -> DisplayList:
    """Return the drawing turned so that its longer side lies along x."""
    low_x, low_y, high_x, high_y = bounds(drawing)
    if high_y - low_y <= (high_x - low_x) * 1.2:
        return drawing
    shapes: list[Shape] = []
    for shape in drawing:
        if isinstance(shape, Polyline):
            points, *cut = (
                tuple((y, -x) for x, y in ring) for ring in (shape.points, *shape.openings)
            )
            shapes.append(structs.replace(shape, points=points, openings=tuple(cut)))
        elif isinstance(shape, Circle):
            shapes.append(structs.replace(shape, centre=(shape.centre[1], -shape.centre[0])))
    return tuple(shapes)


def bounds(drawing: DisplayList) -> tuple[float, float, float, float]:
    """Return the least x and y and the greatest x and y of a drawing, mm."""
    xs: list[float] = []
    ys: list[float] = []
    for shape in drawing:
        if isinstance(shape, Polyline):
            xs += [p[0] for p in shape.points]
            ys += [p[1] for p in shape.points]
        elif isinstance(shape, Circle | Arc):
            xs += [shape.centre[0] - shape.radius, shape.centre[0] + shape.radius]
            ys += [shape.centre[1] - shape.radius, shape.centre[1] + shape.radius]
    if not xs:
        return (0.0, 0.0, 0.0, 0.0)
    return (min(xs), min(ys), max(xs), max(ys))


def body_poses(piece: Piece) -> tuple[Pose, Pose]:
    """Return the poses of base and leaf in the picture of a piece."""
    base = Pose(0.0, 0.0, 0.0)
    if piece.pivot is None:
        return base, base
    middle = (piece.pivot.low + piece.pivot.high) / 2
    return base, Pose(piece.pivot.at[0], piece.pivot.at[1], middle)


def clamp_bar(piece: Piece) -> tuple[tuple[Point, ...], Point]:
    """Return a clamp's bar outline at full reach, and its pad.  The piece must have a tip."""
    tip = piece.tip
    assert tip is not None
    frame = Pose(tip.at[0], tip.at[1], tip.direction)
    half, out = tip.bar_width / 2, tip.reach_max
    corners = ((0.0, -half), (out, -half), (out, half), (0.0, half))
    return frame.points(corners), frame.point((out, 0.0))


def _mount(mount: RoundHole | Shank | StraightSlot | ArcSlot, pose: Pose) -> tuple[Shape, ...]:
    if isinstance(mount, RoundHole):
        return (Circle(pose.point(mount.at), mount.diameter / 2, "thin", fill="paper"),)
    if isinstance(mount, Shank):
        return (Circle(pose.point(mount.at), mount.diameter / 2, "thin", fill="pin"),)
    if isinstance(mount, StraightSlot):
        ring = slot_ring(mount.a, mount.b, mount.width)
    else:
        ring = arc_ring(mount)
    return (Polyline(pose.points(ring), "thin", closed=True, fill="paper"),)


def slot_ring(a: Point, b: Point, width: float) -> tuple[Point, ...]:
    """Return the outline of a straight slot with round ends."""
    towards = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    return (*_cap(b, width / 2, towards), *_cap(a, width / 2, towards + 180))


def arc_ring(slot: ArcSlot) -> tuple[Point, ...]:
    """Return the outline of an arc slot with round ends."""
    half = slot.width / 2
    steps = max(2, math.ceil((slot.end - slot.start) / _SWEEP))
    sweep = [slot.start + (slot.end - slot.start) * i / steps for i in range(steps + 1)]
    outer = [_on(slot.centre, slot.radius + half, a) for a in sweep]
    inner = [_on(slot.centre, slot.radius - half, a) for a in reversed(sweep)]
    return (
        *outer,
        *_cap(_on(slot.centre, slot.radius, slot.end), half, slot.end + 90),
        *inner,
        *_cap(_on(slot.centre, slot.radius, slot.start), half, slot.start - 90),
    )


def _cap(centre: Point, radius: float, towards: float) -> tuple[Point, ...]:
    start = towards - 90
    return tuple(
        _on(centre, radius, start + 180 * i / (_CAP_POINTS - 1)) for i in range(_CAP_POINTS)
    )


def _on(centre: Point, radius: float, degrees: float) -> Point:
    c, s = unit(degrees)
    return (centre[0] + radius * c, centre[1] + radius * s)


def _strip(piece: Piece) -> Polyline:
    wide = max((r.radius * 2 for r in piece.rounds), default=0.0) or piece.pin_diameter or 25.0
    high = piece.thickness or piece.pin_diameter or 5.0
    return Polyline(((0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)), "edge", True, "part")
