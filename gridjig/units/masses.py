"""Masses: stored in kilograms, shown and typed in pounds if lengths are in inches."""

import re

from .decimals import fixed
from .display import Display, in_both
from .lengths import INCH
from .parse_error import ParseError

POUND = 0.45359237
"""Kilograms in a pound: the international pound, exact by definition."""

MOST_KG = 10_000.0
"""No loose piece weighs more; a larger value is meant in another unit."""

_MASS = re.compile(r"([0-9]+(?:\.[0-9]*)?|\.[0-9]+) *(kg|lbs?|g)?", re.IGNORECASE)


def _unit(display: Display) -> str:
    return "kg" if display.unit == "millimetres" else "lb"


def mass_words(words: str, display: Display) -> str:
    """Words with "mass" in them as a shop says them: pounds are a weight."""
    if _unit(display) == "kg":
        return words
    return words.replace("Mass", "Weight").replace("mass", "weight")


@in_both
def format_mass(kg: float, display: Display) -> str:
    """A mass to a tenth, in pounds if lengths are in inches: 5.3 lb, 2.4 kg, under 0.1 kg."""
    unit = _unit(display)
    value = kg if unit == "kg" else kg / POUND
    return f"under 0.1 {unit}" if 0 < value < 0.05 else f"{fixed(value, 1)} {unit}"


@in_both
def format_small_mass(kg: float, display: Display) -> str:
    """A mass far below what parts weigh: 24 g, 1.25 kg, 0.05 lb if lengths are in inches."""
    if display.unit != "millimetres":
        return f"{fixed(kg / POUND, 2)} lb"
    return f"{fixed(kg * 1000.0, 0)} g" if kg < 1.0 else f"{fixed(kg, 2)} kg"


def format_density(kg_per_m3: float) -> str:
    """A density: 7850 kg/m³, whatever the display."""
    return f"{fixed(kg_per_m3, 0)} kg/m³"


@in_both
def format_line_mass(kg_per_m: float, display: Display) -> str:
    """The mass of a metre or a foot of a section: 4.62 kg/m, 3.10 lb/ft."""
    if display.unit == "millimetres":
        return f"{fixed(kg_per_m, 2)} kg/m"
    return f"{fixed(kg_per_m * INCH * 12.0 / 1000.0 / POUND, 2)} lb/ft"


def parse_mass(text: str, display: Display) -> float:
    """A mass in kg, from a number with or without a unit.  Raises ParseError."""
    typed, unit = text.strip(), _unit(display)
    found = _MASS.fullmatch(typed)
    if found is None:
        raise ParseError(typed, None, mass_words(f"type a mass in {unit}, such as 2.5", display))
    word = (found[2] or unit).lower()
    kg = float(found[1]) * {"kg": 1.0, "g": 0.001}.get(word, POUND)
    if kg > MOST_KG:
        too_much = f"{format_mass(kg, display)} is more than any piece weighs; check the unit"
        raise ParseError(typed, None, too_much)
    return kg
