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
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Commit, Leave, Nothing, Outcome, Preview, Tool, ToolContext
from gridjig.units import ParseError


class HoleTool(Tool):
    """Marks holes with a state; `free` removes the mark.  `size` in mm, as in `HoleMark`.

    `unsized` is why there is no size yet where the state needs one; until then nothing is marked.
    """

    name = "hole"

    def __init__(
        self, context: ToolContext, state: MarkedState, size: float = 0.0, unsized: str = ""
    ) -> None:
        super().__init__(context)
        self._state, self._size = state, size
        self._unsized = unsized
        table = context.job.table
        self._at = Hole(table.columns // 2, table.rows // 2)
        self._from: Hole | None = None
        self._down: Pointer | None = None
        self._dragged = False
        self._wrong = ""  # why no hole can be marked so
        self.follow()

    @property
    def state(self) -> MarkedState:
        """What holes are marked as."""
        return self._state

    def prompt(self) -> Prompt:
        """What the next click or key will do, or why it will do nothing."""
        if self._wrong:
            return Prompt(state=self._wrong, keys=(esc(),))
        arrows = Key("arrow keys", "to move by one hole")
        if self._dragged:
            holes = self._holes()
            many = "1 hole" if len(holes) == 1 else f"{len(holes)} holes"
            does = "clear the marks" if self._clears(holes, False) else f"mark them {self._state}"
            return Prompt(state=f"{many}.", let_go=f"to {does}", keys=(esc("to cancel"),))
        where = address(self.context.job.table, self._at)
        does = f"mark {where} {self._state}"
        if self._clears({self._at}, True):
            does = f"clear the mark of {where}"
        bare = self._state == "free" and self._at not in mark_index(self.context.job.table)
        return Prompt(
            state=f"{where} has no mark to clear." if bare else "",
            click="a marked hole to clear it" if bare else f"to {does}",
            enter=not bare,
            drag="a box around several",
            types="a pattern",
            lettered=True,
            keys=(arrows, esc()),
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
        if self._wrong:
            return Preview(None)
        job = self._marked(self._holes(), False)
        return Preview(None if job is self.context.job else job)

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
            return Nothing()
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

    def follow(self) -> None:
        """Find out again why no hole of this table can be marked so: its sizes may have changed."""
        job = self.context.job
        self._wrong = self._unsized
        if not self._wrong and self._state != "free":
            self._wrong = size_fault(job.table, self._state, self._size, job.display)

    def _mark(self, holes: frozenset[Hole], toggle: bool) -> Outcome:
        if self._wrong:
            return Preview(None, f"Nothing was marked. {self._wrong}")
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
        return Commit(job, name, said=f"{done}.")
