"""Marking the points of the work that matter: corners, holes of plates, any place on a part.

Each says how far it can be out once it is marked; they are kept in the job.
"""

import math

from msgspec import Struct

from gridjig.edits.allowances import add_point, point_at, remove_point
from gridjig.geometry import Pose
from gridjig.geometry.display import DisplayList, Symbol, TextLabel
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.plate_holes import part_openings
from gridjig.model import ChosenPoint, Job, Part, Plate
from gridjig.model.plate_holes import Drilled
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.tools.aim.hit_test import ring_distance
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Commit, Leave, Nothing, Outcome, ToolContext
from gridjig.tools.core.wording import capital
from gridjig.units import ParseError, format_count, format_length, parse_length

from .click_pick import ClickPick

_EDGE = 1e-6
"""A point this near to an outline, mm, is on it."""


class Markable(Struct, frozen=True):
    """A point of a part on the table, mm, and what it is there."""

    part: str
    at: Point
    what: str


def markable(job: Job) -> tuple[Markable, ...]:
    """The points that are taken by their names: corners of parts, and holes drilled in plates."""
    found = []
    for part in job.parts:
        name = title(job, part.id)
        ring = part_ring(part)
        found += [
            Markable(part.id, at, f"corner {format_count(k)} of {name}")
            for k, at in enumerate(ring, 1)
        ]
        if isinstance(part, Plate):
            pose = _pose(part)
            found += [
                Markable(part.id, pose.point(hole.at), f"hole {format_count(k)} of {name}")
                for k, hole in enumerate(part.holes, 1)
                if isinstance(hole, Drilled)
            ]
    return tuple(found)


def _pose(part: Part) -> Pose:
    return Pose(part.x, part.y, part.turn)


def _chosen(job: Job, one: Markable) -> ChosenPoint:
    """The point in the frame of its part."""
    part = next(part for part in job.parts if part.id == one.part)
    x, y = _pose(part).back(one.at)
    return ChosenPoint(one.part, round(x, 6) + 0.0, round(y, 6) + 0.0, one.what[:120])


class PointTool(ClickPick[Markable]):
    """A click marks a point that matters; a click on a marked one clears it."""

    name = "point"
    numbers = True
    nothing_here = "There is no part here; click a corner, a hole or a place on a part."

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._parts = context.job.parts

    def prompt(self) -> Prompt:
        """What the next click or key will do."""
        job = self.context.job
        keys = (Key("arrow keys", "to step through corners and holes"), esc())
        if not job.parts:
            return Prompt(state="There is no part to mark a point of.", keys=(esc(),))
        types = f"a place such as {_example(job)}"
        if self._at is None:
            return Prompt(click="a corner, a hole or a place on a part", types=types, keys=keys)
        does = "clear" if point_at(job, _chosen(job, self._at)) is not None else "mark"
        return Prompt(click=f"to {does} {self._at.what}", enter=True, types=types, keys=keys)

    def away(self) -> Outcome:
        """The pointer left the plan."""
        self._at, self._down = None, False
        return Nothing()

    def key(self, key: KeyPress) -> Outcome:
        """Arrows step through corners and holes, Enter marks one, Esc ends."""
        if key.name == "escape":
            return Leave()
        stepped = self._step(key, markable(self.context.job))
        if not stepped and key.name in ("enter", "space") and self._at is not None:
            return self._take(self._at)
        return Nothing()

    def type(self, text: str) -> Outcome:
        """Mark a place typed as two lengths from the origin."""
        job = self.context.job
        try:
            across, comma, up = text.partition(",")
            if not comma:
                raise ParseError(text, None, f"type two lengths, such as {_example(job)}")
            dx, dy = (parse_length(one, job.display.unit) for one in (across, up))
        except ParseError as parse_error:
            return Nothing(str(parse_error))
        x, y = job.origin or (0.0, 0.0)
        found = _on_a_part(job, (x + dx, y + dy))
        if found is None:
            return Nothing(f"There is no part at {text.strip()}; nothing was marked.")
        return self._take(found)

    def follow(self) -> None:
        """Forget the point when the parts have changed: it may not be there any more."""
        if self.context.job.parts is not self._parts:
            self._parts, self._at = self.context.job.parts, None

    def overlay(self) -> DisplayList:
        """The points that are marked, and the one that a click would mark."""
        poses = {part.id: _pose(part) for part in self.context.job.parts}
        shown: DisplayList = tuple(
            Symbol(poses[one.part].point((one.x, one.y)), "ring", "reach")
            for one in self.context.job.accuracy.points
            if one.part in poses
        )
        if self._at is None:
            return shown
        label = TextLabel(self._at.at, self._at.what, "selected", anchor="above", cleared=True)
        return (*shown, Symbol(self._at.at, "ring", "selected"), label)

    def _near(self, pointer: Pointer) -> Markable | None:
        job, here = self.context.job, (pointer.x, pointer.y)
        grip = 0.0 if pointer.free else max(pointer.grip, 2.0) * pointer.table_mm
        near = min(markable(job), key=lambda one: math.dist(one.at, here), default=None)
        if near is not None and math.dist(near.at, here) <= grip:
            return near
        return _on_a_part(job, here)

    def _take(self, one: Markable) -> Outcome:
        job, point = self.context.job, _chosen(self.context.job, one)
        there = point_at(job, point)
        if there is not None:
            cleared = remove_point(job, there)
            return Commit(
                cleared, "Clear a point that matters", said=f"{capital(one.what)} is cleared."
            )
        return Commit(
            add_point(job, point),
            "Mark a point that matters",
            said=f"{capital(one.what)} is marked; “How exact” says how far it can be out.",
        )


def _example(job: Job) -> str:
    return "300, 200" if job.display.unit == "millimetres" else "12, 8"


def _is_on(part: Part, at: Point) -> bool:
    """True if there is steel of the part at a point; its edge counts."""
    if ring_distance(part_ring(part), *at) > _EDGE:
        return False
    return all(ring_distance(ring, *at) > 0.0 for ring in part_openings(part))


def _on_a_part(job: Job, at: Point) -> Markable | None:
    """The place on the uppermost part there."""
    over = [part for part in job.parts if _is_on(part, at)]
    if not over:
        return None
    part = max(over, key=lambda one: one.z_high)
    x, y = (format_length(mm, job.display) for mm in _pose(part).back(at))
    return Markable(part.id, at, f"point {x}, {y} of {title(job, part.id)}")
