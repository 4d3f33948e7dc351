"""Shared by tools that pick parts of the weldment: hovering, stepping by keys, typed names.

Such a tool waits for one thing after another, given by a click, Enter or a typed name.
"""

from abc import ABC, abstractmethod

from gridjig.geometry.display import DisplayList
from gridjig.model import Part
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.tools.aim.ghosts import ghosts
from gridjig.tools.aim.hit_test import HitTester
from gridjig.tools.aim.sides import PartSides
from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.prompt import Key, Prompt, esc
from gridjig.tools.core.tool import Leave, Nothing, Outcome, Preview, Tool, ToolContext


class PartPickTool(Tool, ABC):
    """Hovers over parts; subclasses decide what to do with the one taken."""

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._catcher = HitTester()
        self._sides = PartSides()
        self._hover: str | None = None
        self._pointer: Pointer | None = None
        self._down = False

    # -- for subclasses ------------------------------------------------------------------------

    @abstractmethod
    def _take(self, part: str) -> Outcome:
        """A part was taken by a click, Enter or its name."""

    @abstractmethod
    def _look(self) -> Outcome:
        """The pointer moved over something else."""

    @abstractmethod
    def _begun(self) -> bool:
        """True if there is something for Esc to drop before leaving the tool."""

    def _forget(self) -> None:
        """Drop what has been started."""
        self._hover, self._down = None, False

    # -- pointer -------------------------------------------------------------------------------

    def press(self, pointer: Pointer) -> Outcome:
        """Remember that the button is down; the part is taken on release."""
        self._down = True
        return self.move(pointer)

    def move(self, pointer: Pointer) -> Outcome:
        """Show what a click would take."""
        self._pointer = pointer
        self._hover = self._below(pointer)
        return self._look()

    def release(self, pointer: Pointer) -> Outcome:
        """Take what is under the pointer."""
        if not self._down:
            return Nothing()
        self._down = False
        self._pointer = pointer
        self._hover = self._below(pointer)
        if self._hover is None:
            return Nothing("There is no part of the weldment here. Click a member or a plate.")
        return self._take(self._hover)

    def _below(self, pointer: Pointer) -> str | None:
        job = self.context.job
        hits = self._catcher.at(job, self.context.placed_pieces, pointer)
        return next((i for i in hits if isinstance(job.find(i), Part)), None)

    def _here(self) -> Point | None:
        """Where the pointer is; None while the keys are used."""
        return None if self._pointer is None else (self._pointer.x, self._pointer.y)

    def _grip(self) -> float:
        return 0.0 if self._pointer is None else self._pointer.grip * self._pointer.table_mm

    # -- keys and text -------------------------------------------------------------------------

    def key(self, key: KeyPress) -> Outcome:
        """Arrows step through the parts, Enter takes one, Esc goes back."""
        if key.name == "escape":
            if not self._begun():
                return Leave()
            self._forget()
            return Preview(None)
        if key.name in ARROWS:
            return self._stepped(1 if key.name in ("right", "up") else -1)
        if key.name in ("enter", "space") and self._hover is not None:
            # An undo may have removed it since the pointer moved there.
            there = self.context.job.find(self._hover) is not None
            return self._take(self._hover) if there else Nothing()
        return Nothing()

    def _stepped(self, way: int) -> Outcome:
        ids = [part.id for part in self.context.job.parts]
        if not ids:
            return Nothing("The weldment has no parts yet. Press M to draw a member.")
        self._pointer = None
        if self._hover in ids:
            self._hover = ids[(ids.index(self._hover) + way) % len(ids)]
        else:
            self._hover = ids[0 if way > 0 else -1]
        return self._look()

    def type(self, text: str) -> Outcome:
        """The name of a part takes it; also without a T in front.

        T opens the row for typing, so that "tube 1", typed straight on the plan, comes as "ube 1".
        """
        wanted = text.strip().casefold()
        for name in (wanted, f"t{wanted}") if wanted else ():
            for part in self.context.job.parts:
                if name in (part.id.casefold(), part.name.casefold()):
                    self._pointer = None
                    return self._take(part.id)
        return Nothing(f"No part of the weldment is called {text.strip()}; type one from the list.")

    def follow(self) -> None:
        """Compute the sides of changed parts, so that queries only read them."""
        self._sides.of(self.context.job)

    def leave(self, reason: str) -> Outcome:
        """Drop what has been started."""
        self._forget()
        return Preview(None)

    def _without_parts(self) -> Prompt | None:
        """The prompt while there is nothing to pick; None if there is."""
        if self.context.job.parts:
            return None
        return Prompt(
            state="The weldment has no parts yet.", keys=(Key("M", "to draw a member"), esc())
        )

    def _picking(self) -> tuple[Key, ...]:
        """The keys that pick a part without the pointer."""
        hover = self._hover
        there = hover is not None and self.context.job.find(hover) is not None
        enter = (Key("Enter", f"to take {self._named(hover)}"),) if there and hover else ()
        return (Key("arrow keys", "to step through the parts"), *enter)

    # -- drawing -------------------------------------------------------------------------------

    def _marked(self, *ids: str | None) -> DisplayList:
        """Rings round these parts, except any that an undo has removed."""
        job = self.context.job
        there = {i for i in ids if i is not None and job.find(i) is not None}
        return ghosts(job, self.context.placed_pieces, there, "selected")

    def _named(self, part: str) -> str:
        return title(self.context.job, part)
