"""Drawing outlines of the weldment: a rectangle by two points or sizes, a polygon by corners."""

import math
import re
from typing import Literal

from msgspec import structs

from gridjig.edits.lookup import new_id, numbered_name
from gridjig.edits.parts import add_part, polygon, rectangle
from gridjig.geometry.display import DisplayList, Polyline
from gridjig.model import Hole, Job, Plate
from gridjig.model.labels import find_hole
from gridjig.rack import Point
from gridjig.tools.aim.ghosts import snap_ring
from gridjig.tools.aim.snapping import Snap, corners_of, radius, snap_point
from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Commit, Leave, Nothing, Outcome, Preview, Tool, ToolContext
from gridjig.tools.core.wording import BY, capital, sentence
from gridjig.units import ParseError, format_length, parse_length
from gridjig.units.spelling import spelled

from .origin_text import ORIGIN_SET, STEP, draw_origin, origin_of, typed_origin

PlateShape = Literal["rectangle", "polygon"]
_THICK = {True: 10.0, False: 9.525}
"""The thickness of the first plate, metric or not: 10 mm or 3/8 in."""
_HEIGHT = re.compile(r"\s*(z|height|t|thick(?:ness)?)\b\s*=?\s*(.*)", re.IGNORECASE)


class PlateTool(Tool):
    """Draws one outline after another; stays active until Esc."""

    name = "plate"
    numbers = True

    def __init__(
        self,
        context: ToolContext,
        shape: PlateShape = "rectangle",
        heights: tuple[float, float] | None = None,
    ) -> None:
        super().__init__(context)
        self._shape = shape
        self.z_low, self.thickness = heights or self._last_heights()
        self._points: list[Point] = []
        self._down: Pointer | None = None
        table = context.job.table
        self._pointer = Pointer(*table.at(Hole(table.columns // 2, table.rows // 2)))
        self._snap = self._caught(self._pointer)

    def prompt(self) -> Prompt:
        """What the next click or key will do."""
        at = f" at the {self._snap.what}" if self._snap.what else ""
        if not self._points:
            click, wanted = f"the first corner{at}", f"a hole, or a point such as {self._place()}"
            if self._shape == "polygon":
                wanted = "all corners, such as " + (
                    "0, 0; 600, 0; 600, 50" if self._metric() else "0, 0; 24, 0; 24, 2"
                )
            holes = self._shape != "polygon"
            return Prompt(click=click, types=wanted, lettered=holes, keys=(esc(),))
        cancel = esc("to cancel it")
        if self._shape == "rectangle":
            return Prompt(
                state=f"{self._size()}.",
                click=f"the far corner{at}",
                types=f"its size, such as {self._example()}",
                keys=(cancel,),
            )
        closes = self._closable()
        back = Key("Backspace", "to remove the last corner")
        click = f"corner {len(self._points) + 1}{at}"
        if closes and self._snap.at == self._points[0]:
            click = "the first corner to close it"
        enter = (Key("Enter", "to close it"),) if closes else ()
        return Prompt(click=click, types="it as x, y", keys=(*enter, back, cancel))

    @property
    def in_progress(self) -> bool:
        """True while an outline has corners enough to be closed."""
        return self._closable()

    def finish(self) -> Outcome:
        """Close the outline."""
        return self._close() if self._closable() else Nothing()

    def _last_heights(self) -> tuple[float, float]:
        """The underside and the thickness of the last plate of the job, mm."""
        for part in reversed(self.context.job.parts):
            if isinstance(part, Plate):
                return part.z_low, round(part.z_high - part.z_low, 6)
        return 0.0, _THICK[self._metric()]

    # -- pointer -------------------------------------------------------------------------------

    def press(self, pointer: Pointer) -> Outcome:
        """Remember where the button went down."""
        self._see(pointer)
        self._down = pointer
        return Nothing()

    def move(self, pointer: Pointer) -> Outcome:
        """Snap to nearby holes and corners; a drag draws a rectangle from where it began."""
        down = self._down
        if down is not None and not self._points and self._shape == "rectangle":
            far = math.hypot(pointer.x - down.x, pointer.y - down.y)
            if far >= pointer.drag_start * pointer.table_mm:
                self._points = [self._caught(down).at]
        self._see(pointer)
        return Nothing()

    def release(self, pointer: Pointer) -> Outcome:
        """Set a point where the pointer is."""
        if self._down is None:
            return Nothing()
        self._see(pointer)
        self._down = None
        return self._add(self._snap.at)

    # -- keys and text -------------------------------------------------------------------------

    def key(self, key: KeyPress) -> Outcome:
        """Arrows move the point by holes, Enter sets it, Backspace removes one, Esc cancels."""
        if key.name == "escape":
            if not self._points:
                return Leave()
            self._forget()
            return Nothing(spelled("The outline was cancelled."))
        if key.name in ARROWS:
            self._step(*ARROWS[key.name])
        elif key.name == "space" or (key.name == "enter" and not self._closable()):
            return self._add(self._snap.at)
        elif key.name == "enter":
            return self._close()
        elif key.name == "backspace" and self._points:
            self._points.pop()
        return Nothing()

    def type(self, text: str) -> Outcome:
        """A hole or `x, y` for a point; `24 x 2` for a size; all corners of a polygon; `t 1/4` and
        `z 2` for thickness and height; an origin.
        """
        table = self.context.job.table
        told = self._setting(text)  # before holes: T6 is one, t 6 is a thickness
        if told is not None:
            return told
        try:
            return self._add(table.at(find_hole(table, text)))
        except ParseError:
            pass
        try:
            pairs = [self._pair(part) for part in text.split(";")]
        except ParseError as parse_error:
            return Nothing(str(parse_error))
        if self._shape == "polygon" or len(pairs) > 2 or (len(pairs) == 1 and "," in text):
            x, y = origin_of(self.context.job)
            return self._corners([(x + dx, y + dy) for dx, dy in pairs])
        return self._sized(pairs)

    def _setting(self, text: str) -> Outcome | None:
        """What a text does that sets an origin, a thickness or a height; None for another one."""
        job = self.context.job
        try:
            moved = typed_origin(job, text)
            if moved is not None:
                return Commit(moved, STEP, said=ORIGIN_SET) if moved is not job else Nothing()
            match = _HEIGHT.fullmatch(text)
            return self._set_height(match[1][0].lower() == "t", match[2]) if match else None
        except ParseError as parse_error:
            return Nothing(str(parse_error))

    def _set_height(self, thickness: bool, text: str) -> Outcome:
        job = self.context.job
        mm = parse_length(text, job.display.unit)
        shown = format_length(mm, job.display)
        if thickness:
            if mm <= 0:
                return Nothing("A plate is thicker than 0.")
            self.thickness = mm
            return Nothing(f"The next plates are {shown} thick.")
        self.z_low = mm
        return Nothing(f"The next plates lie {shown} above the table.")

    def leave(self, reason: str) -> Outcome:
        """Drop what is drawn so far."""
        self._forget()
        return Preview(None)

    def _pair(self, text: str) -> Point:
        unit = self.context.job.display.unit
        parts = BY.split(text.strip())
        if len(parts) != 2:
            place = "" if self._points else f"a point such as {self._place()}, "
            thick = f"t {'10' if unit == 'millimetres' else '3/8'}"
            size = f"a size such as {self._example()}"
            wanted = f"type {size}, {place}a hole, or {thick} for the thickness"
            raise ParseError(text, None, wanted)
        return (parse_length(parts[0], unit), parse_length(parts[1], unit))

    def _sized(self, pairs: list[Point]) -> Outcome:
        if len(pairs) != 1 or min(pairs[0]) <= 0:
            return Nothing("A rectangle needs one width and one depth, both greater than 0.")
        begun = bool(self._points)
        x, y = self._points[0] if begun else self._snap.at
        self._points = [(x, y)]
        outcome = self._add((x + pairs[0][0], y + pairs[0][1]))
        if begun or not isinstance(outcome, Commit):
            return outcome
        # Otherwise a size typed after a misread corner would be placed unseen at the pointer.
        where = self._snap.what or "pointer"
        return structs.replace(outcome, said=f"Started at the {where}; Ctrl+Z undoes it.")

    def _corners(self, pairs: list[Point]) -> Outcome:
        if len(pairs) == 1:
            return self._add(pairs[0])
        if self._shape == "polygon":
            self._points.extend(pairs)
            return self._close()
        begun, self._points = self._points, pairs  # all corners, although a rectangle was expected
        outcome = self._close()
        if isinstance(outcome, Nothing):
            self._points = begun
        return outcome

    # -- what is drawn so far ------------------------------------------------------------------

    def _forget(self) -> None:
        self._points, self._down = [], None

    def _see(self, pointer: Pointer) -> None:
        self._pointer = pointer
        self._snap = self._caught(pointer)

    def _caught(self, pointer: Pointer) -> Snap:
        job = self.context.job
        corners = corners_of(job) + [(p, "first corner") for p in self._points[:1]]
        return snap_point(job, (pointer.x, pointer.y), radius(pointer), corners)

    def _step(self, dx: int, dy: int) -> None:
        table = self.context.job.table
        hole = table.nearest(self._pointer.x, self._pointer.y)
        x, y = table.at(Hole(hole.col + dx, hole.row + dy))
        if table.has(Hole(hole.col + dx, hole.row + dy)):
            p = self._pointer
            self._see(Pointer(x, y, p.table_mm, p.grip, p.drag_start))

    def _closable(self) -> bool:
        return self._shape == "polygon" and len(self._points) > 2

    def _add(self, at: Point) -> Outcome:
        if self._shape == "polygon" and self._closable() and at == self._points[0]:
            return self._close()
        if self._points and at == self._points[-1]:
            return Nothing("That is the same point again; choose another for the next corner.")
        self._points.append(at)
        if self._shape == "rectangle" and len(self._points) == 2:
            return self._close()
        return Nothing()

    def _close(self) -> Outcome:
        job = self.context.job
        try:
            made = self._made(job)
        except ValueError as fault:
            if self._shape == "rectangle":
                self._points.pop()
            return Nothing(sentence(str(fault)))
        self._forget()
        said = f"{capital(made.name)} is drawn."
        return Commit(add_part(job, made), f"Draw {made.name}", frozenset([made.id]), said=said)

    def _made(self, job: Job) -> Plate:
        made_id = new_id(job, "plate")
        name = numbered_name(made_id.replace("-", " "), (part.name for part in job.parts))
        z = (self.z_low, round(self.z_low + self.thickness, 6))
        if self._shape == "rectangle" and len(self._points) == 2:
            return rectangle(made_id, name, self._points[0], self._points[1], z)
        return polygon(made_id, name, self._points, z)

    def _metric(self) -> bool:
        return self.context.job.display.unit == "millimetres"

    def _place(self) -> str:
        return "300, 300" if self._metric() else "11-1/2, 11-1/2"

    def _example(self) -> str:
        return "600 x 50" if self._metric() else "24 x 2"

    def _size(self) -> str:
        (ax, ay), (bx, by) = self._points[0], self._snap.at
        display = self.context.job.display
        return f"{format_length(abs(bx - ax), display)} x {format_length(abs(by - ay), display)}"

    def overlay(self) -> DisplayList:
        """The outline so far, and a ring on the snap point."""
        at = self._snap.at
        shown: DisplayList = draw_origin(self.context.job)
        if self._points and self._shape == "rectangle":
            (ax, ay), (bx, by) = self._points[0], at
            ring = ((ax, ay), (bx, ay), (bx, by), (ax, by))
            shown += (Polyline(ring, "ghost", closed=True),)
        elif self._points:
            shown += (Polyline((*self._points, at), "ghost"),)
        return shown + snap_ring(self.context.job.table, self._snap, self._pointer)
