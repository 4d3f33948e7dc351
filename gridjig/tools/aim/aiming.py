"""Where the next point of a member goes: snapped to something nearby, or along a direction.

Points win over sides, and sides over directions.  If nothing snaps, the length is rounded to whole
steps of the unit, so that a sketch has sizes that can be sawn.
"""

import math
from collections.abc import Iterable

from msgspec import Struct

from gridjig.edits.members import direction
from gridjig.geometry import unit
from gridjig.model import Job
from gridjig.rack import Point
from gridjig.tools.core.arrow_keys import fine_step
from gridjig.tools.core.pointer import Pointer
from gridjig.units import format_angle

from .sides import PartMarks, PartSide
from .snapping import Snap, radius, snap_point

_ON = 1e-3
"""A start within this distance of a side, mm, counts as lying on it."""

_TURN = 15.0
"""Directions snap in steps of this many degrees."""


class Aim(Struct, frozen=True):
    """What a member's point can snap to: marks on the job's parts, its start, a typed angle."""

    job: Job
    marks: tuple[PartMarks, ...]
    faces: tuple[PartSide, ...] = ()
    start: Point | None = None
    first: Point | None = None
    angle: float | None = None

    @property
    def sides(self) -> Iterable[PartSide]:
        """Sides of the parts, then faces of the pieces."""
        yield from (side for marks in self.marks for side in marks.sides)
        yield from self.faces

    @property
    def points(self) -> list[tuple[Point, str]]:
        """Points of the parts, and the start of this row of members."""
        points = [point for marks in self.marks for point in marks.points]
        if self.first is not None and self.first != self.start:
            points.append((self.first, "first point"))
        return points


def aimed(aim: Aim, pointer: Pointer) -> Snap:
    """Return the point that a click would take, and what it snapped to."""
    at, within = (pointer.x, pointer.y), radius(pointer)
    if aim.start is not None and aim.angle is not None:
        return _on_ray(aim, aim.start, unit(aim.angle), at, within)
    caught = snap_point(aim.job, at, within, aim.points)
    if caught.what or within <= 0:
        return caught
    if aim.start is not None and math.dist(at, aim.start) > 2.0 * within:
        off, turn, told = _nearest_turn(aim, aim.start, at)
        if off <= within:
            along = unit(turn)
            far = _along(aim.start, along, at)
            on_side = _crossing(aim, aim.start, along, far, within)
            return on_side or Snap(_place(aim.start, along, _whole(aim.job, far)), told)
    side = _side_near(aim, at, within)
    if side is not None:
        return Snap(side.nearest(at), side.what)
    return Snap(_stepped(aim, at), "")


def _nearest_turn(aim: Aim, start: Point, at: Point) -> tuple[float, float, str]:
    """Return how far a point is from the nearest snap direction, that direction and its name.

    Snap directions are whole steps of the angle, and square to any side that the start lies on.
    """
    now = direction(start, at)
    turns = [(_TURN * round(now / _TURN), "")]
    for side in aim.sides:
        if side.away(start) < _ON:
            square = direction(side.a, side.b) + 90.0
            told = f"square to the {side.what}"
            turns += [(square, told), (square + 180.0, told)]
    found = []
    for turn, told in turns:
        along = unit(turn)
        if (far := _along(start, along, at)) > 0:
            off = math.dist(_place(start, along, far), at)
            found.append((round(off, 6), turn, told or format_angle(turn)))
    return min(found, key=lambda one: one[0])


def _on_ray(aim: Aim, start: Point, along: Point, at: Point, within: float) -> Snap:
    """A point on a line of typed direction: at a side, level with a point, or in whole steps."""
    far = max(_along(start, along, at), 0.0)
    on_side = _crossing(aim, start, along, far, within)
    if on_side is not None:
        return on_side
    level = [
        (abs(_along(start, along, p) - far), what, p)
        for p, what in aim.points
        if math.dist(p, at) <= within
    ]
    if level:
        _, what, p = min(level)
        return Snap(_place(start, along, _along(start, along, p)), f"level with the {what}")
    return Snap(_place(start, along, _whole(aim.job, far) if within else far), "")


def _crossing(aim: Aim, start: Point, along: Point, far: float, within: float) -> Snap | None:
    best: tuple[float, float, str] | None = None
    for side in aim.sides:
        crossed = side.crossed(start, along)
        if crossed is None or crossed <= within:
            continue
        off = abs(crossed - far)
        if off <= within and (best is None or off < best[0]):
            best = (off, crossed, side.what)
    return None if best is None else Snap(_place(start, along, best[1]), best[2])


def _side_near(aim: Aim, at: Point, within: float) -> PartSide | None:
    best: tuple[float, PartSide] | None = None
    for side in aim.sides:
        away = side.away(at)
        if away <= within and (best is None or away < best[0]):
            best = (away, side)
    return None if best is None else best[1]


def _stepped(aim: Aim, at: Point) -> Point:
    """An unsnapped point: whole steps from the start, or from the table's corner."""
    if aim.start is None or math.dist(at, aim.start) == 0:
        step = fine_step(aim.job.display)
        return (round(at[0] / step) * step, round(at[1] / step) * step)
    far = _whole(aim.job, math.dist(aim.start, at))
    return _place(aim.start, unit(direction(aim.start, at)), far)


def _whole(job: Job, length: float) -> float:
    """Round a length to whole steps of the unit, at least one."""
    step = fine_step(job.display)
    return max(round(length / step), 1) * step


def _along(start: Point, along: Point, at: Point) -> float:
    return (at[0] - start[0]) * along[0] + (at[1] - start[1]) * along[1]


def _place(start: Point, along: Point, far: float) -> Point:
    return (start[0] + far * along[0], start[1] + far * along[1])
