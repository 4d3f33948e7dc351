"""What the tools share that take one thing under the pointer: by a click, or by arrow keys."""

from collections.abc import Sequence
from typing import Generic, TypeVar

from gridjig.tools.core.arrow_keys import ARROWS
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.core.tool import Nothing, Outcome, Tool, ToolContext

T = TypeVar("T")


class ClickPick(Tool, Generic[T]):
    """Shows what a click would take, and takes it when the button is let go."""

    nothing_here = ""
    """What is said after a click on nothing."""

    def __init__(self, context: ToolContext) -> None:
        super().__init__(context)
        self._at: T | None = None
        self._down = False

    def press(self, pointer: Pointer) -> Outcome:
        """Remember that the button is down; what is under the pointer is taken on release."""
        self._down = True
        return self.move(pointer)

    def move(self, pointer: Pointer) -> Outcome:
        """Show what a click would take."""
        self._at = self._near(pointer)
        return Nothing()

    def release(self, pointer: Pointer) -> Outcome:
        """Take what is under the pointer."""
        if not self._down:
            return Nothing()
        self._down = False
        self._at = self._near(pointer)
        return Nothing(self.nothing_here) if self._at is None else self._take(self._at)

    def _step(self, key: KeyPress, every: Sequence[T]) -> bool:
        """Go to the next or the last thing if the key is an arrow; True if it is."""
        if key.name not in ARROWS or not every:
            return False
        step = 1 if key.name in ("right", "up") else -1
        at = every.index(self._at) if self._at in every else (-1 if step > 0 else 0)
        self._at = every[(at + step) % len(every)]
        return True

    def _near(self, pointer: Pointer) -> T | None:
        raise NotImplementedError

    def _take(self, one: T) -> Outcome:
        raise NotImplementedError
