"""Marking holes of the table: by click, by box, by a typed pattern."""

import math

from gridjig.edits.table import clear_holes, mark_holes, size_fault
from gridjig.geometry.display import Circle, DisplayList
from gridjig.model import Hole, Job, MarkedState
from gridjig.model.labels import address
from gridjig.model.marks import box as hole_box
from gridjig.model.marks import mark_index, parse_pattern
from gridjig.tools.aim.ghosts import hole_ring
from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.tool import Commit, Leave, Nothing, Outcome, Preview, Tool, ToolContext
from gridjig.units import ParseError


class HoleTool(Tool):
    """Marks holes with a state; `free` removes the mark.  `size` in mm, as in `HoleMark`."""

    name = "hole"

    def __init__(self, context: ToolContext, state: MarkedState, size: float = 0.0) -> None:
        super().__init__(context)
        self._state, self._size = state, size
        table = context.job.table
        self._at = Hole(table.columns // 2, table.rows // 2)
        self._from: Hole | None = None
        self._down: Pointer | None = None
        self._dragged = False

    def hint(self) -> str:
        """What the next click or key will do."""
        where = address(self.context.job.table, self._at)
        return (
            f"Click or Enter makes {where} {self._said({self._at})}; drag a box round many, or type"
            " a pattern. Esc ends it."
        )

    def press(self, pointer: Pointer) -> Outcome:
        """Remember the hole where the button went down."""
        self._at = self._from = self.context.job.table.nearest(pointer.x, pointer.y)
        self._down, self._dragged = pointer, False
        return Nothing()

    def move(self, pointer: Pointer) -> Outcome:
        """Show the box of holes while the button is down."""
        self._at = self.context.job.table.nearest(pointer.x, pointer.y)
        if self._down is None:
            return Nothing()
        far = math.hypot(pointer.x - self._down.x, pointer.y - self._down.y)
        self._dragged = self._dragged or far >= pointer.drag_start * pointer.table_mm
        if not self._dragged:
            return Nothing()
        holes = self._holes()
        fault = self._fault()
        if fault:
            return Preview(None, fault)
        job = self._marked(holes, False)
        many = "1 hole" if len(holes) == 1 else f"{len(holes)} holes"
        said = f"{many} {self._said(holes)}"
        return Preview(
            None if job is self.context.job else job, f"{said}. Let go to mark, Esc not."
        )

    def release(self, pointer: Pointer) -> Outcome:
        """Mark the hole, or the box of holes."""
        if self._down is None:
            return Nothing()
        self._at = self.context.job.table.nearest(pointer.x, pointer.y)
        clicked = not self._dragged
        holes = frozenset([self._at]) if clicked else self._holes()
        self._forget()
        return self._mark(holes, clicked)

    def key(self, key: KeyPress) -> Outcome:
        """Arrow keys move to another hole, Enter marks it, Esc ends."""
        if key.name == "escape":
            if self._down is not None:
                self._forget()
                return Preview(None, "Nothing was marked.")
            return Leave()
        if key.name in ARROWS:
            dx, dy = ARROWS[key.name]
            moved = Hole(self._at.col + dx, self._at.row + dy)
            if self.context.job.table.has(moved):
                self._at = moved
            return Nothing(self.hint())
        if key.name in ("enter", "space"):
            return self._mark(frozenset([self._at]), True)
        return Nothing()

    def type(self, text: str) -> Outcome:
        """Mark every hole of a typed pattern, such as `every 5th column from C`."""
        try:
            holes = parse_pattern(self.context.job.table, text)
        except ParseError as parse_error:
            return Nothing(str(parse_error))
        return self._mark(holes, False)

    def leave(self, reason: str) -> Outcome:
        """Drop the box in progress."""
        self._forget()
        return Preview(None)

    def overlay(self) -> DisplayList:
        """The hole at the pointer, and the holes of the box."""
        table = self.context.job.table
        shown = hole_ring(table, self._at)
        if self._dragged:
            radius = 0.75 * table.hole_diameter
            shown += tuple(Circle(table.at(h), radius, "selected") for h in sorted(self._holes()))
        return shown

    def _forget(self) -> None:
        self._from, self._down, self._dragged = None, None, False

    def _holes(self) -> frozenset[Hole]:
        return hole_box(self.context.job.table, self._from or self._at, self._at)

    def _marked(self, holes: frozenset[Hole], toggle: bool) -> Job:
        job = self.context.job
        if self._state == "free" or (toggle and self._has(holes)):
            return clear_holes(job, holes)
        return mark_holes(job, holes, self._state, self._size)

    def _has(self, holes: frozenset[Hole] | set[Hole]) -> bool:
        """True if there is one hole, and a click on it would remove its mark."""
        marks = mark_index(self.context.job.table)
        return all(h in marks and marks[h].state == self._state for h in holes)

    def _said(self, holes: frozenset[Hole] | set[Hole]) -> str:
        return "free" if len(holes) == 1 and self._has(holes) else self._state

    def _fault(self) -> str:
        """Return why no hole of this table can be marked so, as its sizes may have changed."""
        if self._state == "free":
            return ""
        return size_fault(self.context.job.table, self._state, self._size, self.context.job.display)

    def _mark(self, holes: frozenset[Hole], toggle: bool) -> Outcome:
        fault = self._fault()
        if fault:
            return Preview(None, fault)
        table = self.context.job.table
        job = self._marked(holes, toggle)
        what = address(table, min(holes)) if len(holes) == 1 else f"{len(holes)} holes"
        state = self._said(holes) if toggle else self._state
        if job is self.context.job:
            verb = "is" if len(holes) == 1 else "are"
            return Nothing(f"{what} {verb} {state} already.")
        return Commit(
            job, f"Mark {what} {state}", hint=f"{what} marked {state}. Click the next; Esc ends it."
        )
