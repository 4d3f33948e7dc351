"""Areas as they are shown, and how heavy a bar is by its length."""

from .decimals import fixed
from .display import Display
from .inch import INCH
from .masses import POUND


def format_area(mm2: float, display: Display) -> str:
    """The area of a section: 5.89 cm², or 0.913 in² where lengths are in inches."""
    if display.unit == "millimetres":
        return f"{fixed(mm2 / 100.0, 2)} cm²"
    return f"{fixed(mm2 / INCH**2, 3)} in²"


def format_line_mass(kg_per_m: float, display: Display) -> str:
    """What a metre or a foot of a section weighs: 4.62 kg/m, 3.10 lb/ft."""
    if display.unit == "millimetres":
        return f"{fixed(kg_per_m, 2)} kg/m"
    return f"{fixed(kg_per_m * INCH * 12.0 / 1000.0 / POUND, 2)} lb/ft"
