"""A tool's input: a pointer or a key as plain values, made from window events by the canvas."""

from typing import Literal

from msgspec import Struct


class Pointer(Struct, frozen=True):
    """Where the pointer is on the table (mm), and how large a screen millimetre is there.

    `table_mm` is how many table millimetres one screen millimetre shows, so that picking
    and snapping feel the same at every zoom.  `grip` is the radius of a finger or cursor in screen
    millimetres (larger in glove mode).  `free` asks for no snapping, `fine` for finer steps, `add`
    to add to a selection.
    """

    x: float
    y: float
    table_mm: float = 1.0
    grip: float = 3.0
    drag_start: float = 1.0
    add: bool = False
    free: bool = False
    fine: bool = False


class KeyPress(Struct, frozen=True):
    """A key on the canvas, by its plain name: "escape", "enter", "r", "left", "delete"."""

    name: str
    shift: bool = False
    ctrl: bool = False

    @property
    def is_letter(self) -> bool:
        """True for a letter without Ctrl; the setting "Letter keys" turns those off."""
        return not self.ctrl and len(self.name) == 1 and self.name.isalpha()


PointerButton = Literal["primary", "secondary"]
