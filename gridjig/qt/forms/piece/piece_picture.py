"""A piece as a drawing with two views and dimensions, with the focused size dimensioned.

Pure: values in, a display list out.  Knows the ids of `edits.sizes`, but no piece by name.
"""

import math
from collections.abc import Callable

from gridjig.edits.sizes import AdjustableSize
from gridjig.edits.stretch import along, apart, arrow, extent
from gridjig.geometry.display import (
    Arc,
    Circle,
    Dimension,
    DisplayList,
    DrawingRole,
    Polyline,
    Shape,
    TextLabel,
)
from gridjig.geometry.piece_mass import SHANK_LENGTH
from gridjig.geometry.pose import Pose, unit
from gridjig.rack import ArcSlot, Face, Piece, Point, RoundHole, Shank, StraightSlot
from gridjig.sheets.drawings.silhouette import (
    arc_ring,
    body_poses,
    bounds,
    clamp_bar,
    silhouette,
    slot_ring,
)
from gridjig.units import Display, format_angle, format_length

IN_HAND: DrawingRole = "selected"


def draw_piece(piece: Piece, display: Display, size: AdjustableSize | None = None) -> DisplayList:
    """Return the plan and front view with the overall sizes, and `size` dimensioned if given."""
    return _Picture(piece, display).drawing(size)


class _Picture:
    """The drawing of one piece; the front view is below the plan, as in third-angle projection."""

    def __init__(self, piece: Piece, display: Display) -> None:
        self._piece = piece
        self._display = display
        self._poses = body_poses(piece)
        self._plan = silhouette(piece)
        self._box = bounds(self._plan)
        low_x, low_y, high_x, high_y = self._box
        top = max([s.z_high for s in piece.solids] + [piece.height, self._bar_top()])
        gap = 0.3 * max(high_x - low_x, high_y - low_y, top)
        self._z0 = low_y - gap - top  # the table's top in the front view

    def _bar_top(self) -> float:
        return self._piece.tip.bar_z_high if self._piece.tip else 0.0

    def drawing(self, size: AdjustableSize | None) -> DisplayList:
        piece = self._piece
        shapes: list[Shape] = list(self._plan)
        for face in piece.faces:
            pose = self._poses[face.body]
            shapes.append(Polyline((pose.point(face.a), pose.point(face.b)), "face"))
        shapes += self._front()
        in_hand = self._measure(size) if size is not None else ()
        overall = () if size and size.id in ("length.0", "width.0") else self._overall()
        return (*shapes, *overall, *in_hand)

    # -- views -----------------------------------------------------------------------------------

    def _front(self) -> list[Shape]:
        """Return the front view: each solid's width and heights; shanks hidden below the top."""
        piece, z0 = self._piece, self._z0
        low_x, _, high_x, _ = self._box
        shapes: list[Shape] = []
        rings = [(s, self._poses[s.body].points(s.outline)) for s in piece.solids]
        # What is in front hides what is behind it.
        for solid, ring in sorted(rings, key=lambda r: (r[0].body, -min(y for _, y in r[1]))):
            xs = [p[0] for p in ring]
            shapes.append(_rect(min(xs), max(xs), z0 + solid.z_low, z0 + solid.z_high, "edge"))
        if piece.tip is not None:
            bar, pad = clamp_bar(piece)
            xs = [p[0] for p in bar]
            tip = piece.tip
            low, high = z0 + tip.bar_z_low, z0 + tip.bar_z_high
            shapes.append(_rect(min(xs), max(xs), low, high, "edge"))
            window = (pad[0] - tip.pad_radius, pad[0] + tip.pad_radius)
            shapes.append(_rect(*window, z0 + tip.z_low, z0 + tip.z_high, "hidden"))
        for mount in piece.mounts:
            if isinstance(mount, Shank):
                x, r = self._poses[mount.body].point(mount.at)[0], mount.diameter / 2
                shapes.append(_rect(x - r, x + r, z0 - SHANK_LENGTH * 2 * r, z0, "hidden"))
        reach = 0.1 * (high_x - low_x)  # the table's top, beside the piece
        shapes.append(Polyline(((low_x - reach, z0), (low_x, z0)), "thin"))
        shapes.append(Polyline(((high_x, z0), (high_x + reach, z0)), "thin"))
        return shapes

    def _overall(self) -> DisplayList:
        low_x, low_y, high_x, high_y = self._box
        if high_x - low_x < 1e-6 or high_y - low_y < 1e-6:
            return ()
        return (
            Dimension((low_x, high_y), (high_x, high_y), self._say(high_x - low_x)),
            Dimension((high_x, high_y), (high_x, low_y), self._say(high_y - low_y)),
        )

    # -- one size --------------------------------------------------------------------------------

    def _measure(self, size: AdjustableSize) -> DisplayList:
        """Return the focused size: its dimension, and what it measures in the highlight colour."""
        head, _, tail = size.id.partition(".")
        ways: dict[str, Callable[[AdjustableSize, str], DisplayList]] = {
            "length": self._length,
            "width": self._width,
            "diameter": self._diameter,
            "leaf-diameter": self._diameter,
            "spacing": self._spacing,
            "slot-length": self._slot_length,
            "slot-from": self._slot_from,
            "slot-offset": self._slot_offset,
            "arc-radius": self._arc_radius,
            "arc-start": self._arc_end,
            "arc-end": self._arc_end,
            "face": self._face_offset,
            "angle": self._face_angle,
            "bore": self._bore,
            "shank": self._bore,
            "height": self._height,
            "tip": self._tip,
            "pivot": self._pivot,
        }
        way = ways.get(head)
        return way(size, tail) if way is not None else ()

    def _say(self, mm: float) -> str:
        return format_length(mm, self._display)

    def _across(self, a: Point, b: Point, value: float) -> DisplayList:
        """Return a dimension on the side away from the middle of the piece."""
        if apart(a, b) < 1e-6:
            return ()
        way = arrow(a, b)
        middle = ((self._box[0] + self._box[2]) / 2, (self._box[1] + self._box[3]) / 2)
        out = ((a[0] + b[0]) / 2 - middle[0], (a[1] + b[1]) / 2 - middle[1])
        if -way[1] * out[0] + way[0] * out[1] < -1e-6:
            a, b = b, a
        return (Dimension(a, b, self._say(abs(value)), IN_HAND),)

    def _sides(self, body: int) -> tuple[float, float, float, float]:
        x = extent(self._piece, body, (1.0, 0.0))
        y = extent(self._piece, body, (0.0, 1.0))
        return (x[0], y[0], x[1], y[1])

    def _length(self, size: AdjustableSize, tail: str) -> DisplayList:
        body = int(tail)
        low_x, _, high_x, high_y = self._sides(body)
        pose = self._poses[body]
        return self._across(pose.point((low_x, high_y)), pose.point((high_x, high_y)), size.value)

    def _width(self, size: AdjustableSize, tail: str) -> DisplayList:
        body = int(tail)
        _, low_y, high_x, high_y = self._sides(body)
        pose = self._poses[body]
        return self._across(pose.point((high_x, high_y)), pose.point((high_x, low_y)), size.value)

    def _diameter(self, size: AdjustableSize, tail: str) -> DisplayList:
        radius = size.value / 2
        for shape in self._plan:
            if isinstance(shape, Polyline) and shape.closed:
                low_x, low_y, high_x, high_y = bounds((shape,))
                if abs((high_x - low_x) / 2 - radius) < 1e-3 and (
                    abs((high_y - low_y) / 2 - radius) < 1e-3
                ):
                    centre = ((low_x + high_x) / 2, (low_y + high_y) / 2)
                    return self._ring(centre, radius)
        return ()

    def _ring(self, centre: Point, radius: float) -> DisplayList:
        """Return a highlighted circle, with its diameter dimensioned above the piece."""
        top = max(centre[1] + radius, self._box[3])
        a, b = (centre[0] - radius, top), (centre[0] + radius, top)
        across = Dimension(a, b, self._say(2 * radius), IN_HAND)
        return (Circle(centre, radius, IN_HAND), across)

    def _anchor(self, body: int) -> Point:
        """Return where sizes are measured from, as in `edits.sizes`: first hole or pivot."""
        if body:
            return (0.0, 0.0)
        for mount in self._piece.mounts:
            if isinstance(mount, RoundHole | Shank):
                return mount.at
            if isinstance(mount, StraightSlot):
                return mount.a
        return (0.0, 0.0)

    def _spacing(self, size: AdjustableSize, tail: str) -> DisplayList:
        other = self._piece.mount(tail)
        assert isinstance(other, RoundHole | Shank)
        pose = self._poses[other.body]
        holes = (m for m in self._piece.mounts if isinstance(m, RoundHole | Shank))
        first = next(m for m in holes if m.body == other.body)
        return self._across(pose.point(first.at), pose.point(other.at), size.value)

    def _slot(self, tail: str) -> tuple[StraightSlot, Pose]:
        slot = self._piece.mount(tail)
        assert isinstance(slot, StraightSlot)
        return slot, self._poses[slot.body]

    def _slot_length(self, size: AdjustableSize, tail: str) -> DisplayList:
        slot, pose = self._slot(tail)
        return self._across(pose.point(slot.a), pose.point(slot.b), size.value)

    def _slot_from(self, size: AdjustableSize, tail: str) -> DisplayList:
        slot, pose = self._slot(tail)
        return self._away(self._anchor(slot.body), arrow(slot.a, slot.b), size.value, pose)

    def _slot_offset(self, size: AdjustableSize, tail: str) -> DisplayList:
        slot, pose = self._slot(tail)
        way = arrow(slot.a, slot.b)
        anchor = self._anchor(slot.body)
        # Measured at the start of the slot, from the line through the hole.
        near = along(slot.a, way) - along(anchor, way)
        foot = (anchor[0] + way[0] * near, anchor[1] + way[1] * near)
        return self._away(foot, (-way[1], way[0]), size.value, pose)

    def _away(self, start: Point, way: Point, far: float, pose: Pose) -> DisplayList:
        end = (start[0] + way[0] * far, start[1] + way[1] * far)
        return self._across(pose.point(start), pose.point(end), far)

    def _arc(self, tail: str) -> tuple[ArcSlot, Pose]:
        arc = self._piece.mount(tail)
        assert isinstance(arc, ArcSlot)
        return arc, self._poses[arc.body]

    def _arc_radius(self, size: AdjustableSize, tail: str) -> DisplayList:
        arc, pose = self._arc(tail)
        return self._away(arc.centre, unit((arc.start + arc.end) / 2), size.value, pose)

    def _arc_end(self, size: AdjustableSize, tail: str) -> DisplayList:
        arc, pose = self._arc(tail)
        return self._spoke(arc.centre, arc.radius, size.value, pose)

    def _spoke(self, centre: Point, length: float, angle: float, pose: Pose) -> DisplayList:
        """Return a highlighted angle: a line from its centre, an arc from the x axis, its value."""
        c, s = unit(angle)
        end = (centre[0] + length * c, centre[1] + length * s)
        axis = (centre[0] + length, centre[1])
        low, high = sorted((0.0, angle))
        half = pose.direction((low + high) / 2)
        at = pose.point(centre)
        hc, hs = unit(half)
        mark = (at[0] + 0.55 * length * hc, at[1] + 0.55 * length * hs)
        start = pose.direction(low)
        return (
            Polyline((at, pose.point(axis)), "centre"),
            Polyline((at, pose.point(end)), IN_HAND),
            Arc(at, 0.55 * length, start, start + high - low, IN_HAND),
            TextLabel(mark, format_angle(angle), IN_HAND, cleared=True),
        )

    def _face(self, tail: str) -> Face:
        return next(f for f in self._piece.faces if f.id == tail)

    def _face_offset(self, size: AdjustableSize, tail: str) -> DisplayList:
        face = self._face(tail)
        pose = self._poses[face.body]
        way = arrow(face.a, face.b)
        line = Polyline((pose.point(face.a), pose.point(face.b)), IN_HAND)
        out = (way[1], -way[0])
        return (line, *self._away(self._anchor(face.body), out, size.value, pose))

    def _face_angle(self, size: AdjustableSize, _: str) -> DisplayList:
        face = self._piece.faces[0]
        long = apart(face.a, face.b)
        return self._spoke(face.b, long, size.value, self._poses[face.body])

    def _bore(self, size: AdjustableSize, tail: str) -> DisplayList:
        """Return all holes and slots, or all shanks, with the first one dimensioned."""
        shanks = size.id == "shank"
        shapes: list[Shape] = []
        for mount in self._piece.mounts:
            pose = self._poses[mount.body]
            if isinstance(mount, RoundHole | Shank):
                if isinstance(mount, Shank) is shanks:
                    shapes.append(Circle(pose.point(mount.at), mount.diameter / 2, IN_HAND))
            elif not shanks:
                ring = (
                    slot_ring(mount.a, mount.b, mount.width)
                    if isinstance(mount, StraightSlot)
                    else arc_ring(mount)
                )
                shapes.append(Polyline(pose.points(ring), IN_HAND, closed=True))
        first = next((s for s in shapes if isinstance(s, Circle)), None)
        if first is not None:
            return (*shapes, *self._ring(first.centre, first.radius)[1:])
        return (*shapes, *self._slot_width(size.value))

    def _slot_width(self, width: float) -> DisplayList:
        """Return the width of the first slot, for a piece without a hole to dimension instead."""
        slot = next(m for m in self._piece.mounts if isinstance(m, StraightSlot | ArcSlot))
        pose = self._poses[slot.body]
        if isinstance(slot, StraightSlot):
            way, at = arrow(slot.a, slot.b), slot.a
            across = (-way[1], way[0])
        else:
            across = unit(slot.start)
            at = (
                slot.centre[0] + across[0] * slot.radius,
                slot.centre[1] + across[1] * slot.radius,
            )
        half = width / 2
        start = (at[0] - across[0] * half, at[1] - across[1] * half)
        return self._away(start, across, width, pose)

    # -- heights, in the front view --------------------------------------------------------------

    def _upright(self, x: float, low: float, high: float, value: float) -> DisplayList:
        if high - low < 1e-6:
            return ()
        text = self._say(value)
        return (Dimension((x, self._z0 + high), (x, self._z0 + low), text, IN_HAND),)

    def _height(self, size: AdjustableSize, _: str) -> DisplayList:
        return self._upright(self._box[2], 0.0, size.value, size.value)

    def _tip(self, size: AdjustableSize, tail: str) -> DisplayList:
        tip = self._piece.tip
        assert tip is not None
        bar, pad = clamp_bar(self._piece)
        if tail.startswith("reach"):
            return self._away(tip.at, unit(tip.direction), size.value, self._poses[0])
        if tail in ("z_low", "z_high", "bar_z_low", "bar_z_high"):
            return self._upright(self._box[2], 0.0, size.value, size.value)
        if tail == "pad_radius":
            return (
                Circle(pad, tip.pad_radius, IN_HAND),
                *self._away(pad, (1.0, 0.0), size.value, self._poses[0]),
            )
        if tail == "bar_width":
            return self._across(bar[1], bar[2], size.value)
        end = tip.handle_end
        while end <= tip.handle_start:
            end += 360.0
        middle = unit((tip.handle_start + end) / 2)
        sweep = Arc(tip.at, tip.handle_radius, tip.handle_start, end, IN_HAND)
        return (sweep, *self._away(tip.at, middle, size.value, self._poses[0]))

    def _pivot(self, size: AdjustableSize, tail: str) -> DisplayList:
        pivot = self._piece.pivot
        assert pivot is not None
        if tail == "accuracy":
            return ()
        length = 0.4 * math.dist(self._box[:2], self._box[2:])
        return self._spoke(pivot.at, length, size.value, self._poses[0])


def _rect(low_x: float, high_x: float, low_y: float, high_y: float, role: DrawingRole) -> Polyline:
    ring = ((low_x, low_y), (high_x, low_y), (high_x, high_y), (low_x, high_y))
    return Polyline(ring, role, closed=True, fill="part" if role == "edge" else "none")
