"""How lengths are shown: the person's choice, which does not change the geometry."""

from collections.abc import Callable
from functools import wraps
from typing import Literal

from msgspec import Struct

Unit = Literal["inch fractions", "inch decimals", "millimetres"]


class Display(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The unit that lengths are shown in, and the finest inch fraction."""

    unit: Unit = "inch fractions"
    denominator: Literal[8, 16, 32, 64] = 16


MILLIMETRES = Display(unit="millimetres")
"""How lengths are shown where no job says otherwise."""


class DualDisplay(Display, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A display in which the other system follows in brackets: 1-1/2" (38.1 mm).

    Only for showing: no file holds one.
    """

    @property
    def first(self) -> Display:
        """The display in front of the brackets."""
        return Display(unit=self.unit, denominator=self.denominator)

    @property
    def second(self) -> Display:
        """The display in the brackets."""
        return Display(unit="inch decimals" if self.unit == "millimetres" else "millimetres")


def dual(display: Display) -> DualDisplay:
    """Return a display that shows both systems, the given one first."""
    return DualDisplay(unit=display.unit, denominator=display.denominator)


def in_both(write: Callable[[float, Display], str]) -> Callable[[float, Display], str]:
    """Make a function that shows a quantity in one system show it in both for a DualDisplay."""

    @wraps(write)
    def shown(value: float, display: Display) -> str:
        if isinstance(display, DualDisplay):
            return f"{write(value, display.first)} ({write(value, display.second)})"
        return write(value, display)

    return shown
