"""Forces, stored in newtons, shown and typed in pounds if lengths are in inches; and friction."""

import re

from .decimals import fixed
from .display import Display, in_both
from .masses import POUND
from .parse_error import ParseError

POUND_FORCE = POUND * 9.80665
"""Newtons in a pound of force: the pound under standard gravity, exact by definition."""

MOST_N = 1e6
"""The largest force that is read, N; a larger value is meant in another unit."""

_FORCE = re.compile(r"([0-9]+(?:\.[0-9]*)?|\.[0-9]+) *(kn|n|lbf|lbs?)?", re.IGNORECASE)


@in_both
def format_force(newtons: float, display: Display) -> str:
    """A force to a whole unit, in pounds if lengths are in inches: 150 N, 34 lb, under 1 N."""
    unit = "N" if display.unit == "millimetres" else "lb"
    value = newtons if unit == "N" else newtons / POUND_FORCE
    return f"under 1 {unit}" if 0.0 < value < 0.5 else f"{fixed(value, 0)} {unit}"


def parse_force(text: str, display: Display) -> float:
    """A force in N, from a number with or without a unit.  Raises ParseError."""
    typed, unit = text.strip(), "N" if display.unit == "millimetres" else "lb"
    found = _FORCE.fullmatch(typed)
    if found is None:
        raise ParseError(typed, None, f"type a force in {unit}, such as 200")
    word = (found[2] or unit).lower()
    newtons = float(found[1]) * {"n": 1.0, "kn": 1000.0}.get(word, POUND_FORCE)
    if newtons > MOST_N:
        too_much = f"{format_force(newtons, display)} is more than any clamp; check the unit"
        raise ParseError(typed, None, too_much)
    return newtons


def parse_friction(text: str) -> float:
    """A coefficient of friction from 0 to 1.  Raises ParseError."""
    typed = text.strip()
    try:
        value = float(typed)
    except ValueError:
        value = -1.0
    if not 0.0 <= value <= 1.0:
        raise ParseError(typed, None, "type a number from 0 to 1, such as 0.15")
    return value
