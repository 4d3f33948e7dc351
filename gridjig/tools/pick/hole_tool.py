"""Marking holes of the table: by click, by box, by a typed pattern."""

import math
from collections.abc import Set

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
        does = f"mark {where} {self._state}"
        if self._clears({self._at}, True):
            does = f"clear the mark of {where}"
        return (
            f"Click or press Enter to {does}; drag a box around several, or type a pattern."
            " Esc to stop."
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
        does = "clear the marks" if self._clears(holes, False) else f"mark them {self._state}"
        return Preview(
            None if job is self.context.job else job,
            f"{many}. Let go to {does}, Esc to cancel.",
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
        if self._state == "free" or self._clears(holes, toggle):
            return clear_holes(job, holes)
        return mark_holes(job, holes, self._state, self._size)

    def _has(self, holes: Set[Hole]) -> bool:
        """True if there is one hole, and a click on it would remove its mark."""
        marks = mark_index(self.context.job.table)
        return all(h in marks and marks[h].state == self._state for h in holes)

    def _clears(self, holes: Set[Hole], toggle: bool) -> bool:
        """True if these holes lose their marks: the state is `free`, or a click takes it back."""
        return self._state == "free" or (toggle and len(holes) == 1 and self._has(holes))

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
        clears, one = self._clears(holes, toggle), len(holes) == 1
        if job is self.context.job:
            bare = f"{what} {'has no mark' if one else 'have no marks'}."
            same = f"{what} {'is' if one else 'are'} already {self._state}."
            return Nothing(bare if clears else same)
        name, done = f"Mark {what} {self._state}", f"{what} marked {self._state}"
        if clears:
            name = f"Clear the {'mark' if one else 'marks'} of {what}"
            done = f"{what} {'is' if one else 'are'} no longer marked"
        return Commit(job, name, hint=f"{done}. Click the next; Esc to stop.")
