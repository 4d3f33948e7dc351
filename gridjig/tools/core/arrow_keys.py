"""The arrow keys: which way each one goes, and how far a step is."""

from collections.abc import Mapping

from gridjig.units import INCH, Display

ARROWS: Mapping[str, tuple[int, int]] = {
    "left": (-1, 0),
    "right": (1, 0),
    "up": (0, 1),
    "down": (0, -1),
}


COARSE = 5


def fine_step(display: Display) -> float:
    """Return the fine step, mm: one tick of the unit that lengths are shown in."""
    if display.unit == "millimetres":
        return 1.0
    return INCH / display.denominator if display.unit == "inch fractions" else INCH / 20
