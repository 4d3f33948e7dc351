"""Errors and plays as shown: how far something is out, and how far it can move.

Lengths are passed in mm, angles in arc-minutes.  An error has a sign; a play or tolerance goes both
ways (±).  A value that is not 0 but too small for the last digit is shown as under it, never as 0.
"""

from .decimals import MINUS, fixed
from .display import Display, in_both
from .lengths import INCH

_NOTHING = 1e-6  # mm; finer than any drawing


@in_both
def format_deviation(mm: float, display: Display) -> str:
    """A length error in tenths of a mm or hundredths of an inch: +0.3 mm, −.02 in, under 0.1 mm."""
    return f"{format_bare_deviation(mm, display)} {_unit(display)}"


@in_both
def format_deviation_range(mm: float, display: Display) -> str:
    """A length error both ways, as for a play or a setting: ±0.3 mm, ±.02 in."""
    return f"{format_bare_deviation(mm, display, both_ways=True)} {_unit(display)}"


def format_bare_deviation(mm: float, display: Display, both_ways: bool = False) -> str:
    """A length error as in the two functions above; the unit is in the heading: +.02, under .01."""
    plus, minus = ("±", "±") if both_ways else ("+", MINUS)
    metric = display.unit == "millimetres"
    value, digits = (mm, 1) if metric else (mm / INCH, 2)
    if _vanishes(value, digits):
        least = fixed(10.0**-digits, digits, point_first=not metric)
        return f"under {least}" if abs(mm) > _NOTHING else "0"
    return fixed(value, digits, point_first=not metric, plus=plus, minus=minus)


def _unit(display: Display) -> str:
    return "mm" if display.unit == "millimetres" else "in"


def format_slope(mm_per_m: float, display: Display) -> str:
    """An error per length, in mm per metre or inches per foot; the unit is in the heading."""
    if not mm_per_m:
        return "0"
    metric = display.unit == "millimetres"
    value, digits = (mm_per_m, 1) if metric else (mm_per_m * 0.012, 3)
    if _vanishes(value, digits):
        return f"<{fixed(10.0**-digits, digits, point_first=not metric)}"
    return fixed(value, digits, point_first=not metric, plus="+")


def format_angle_error(arcmin: float, small: str = "<") -> str:
    """An angle error in arc-minutes to a tenth: +4.1′; a plain 0 only if it is exact.

    `small` goes in front of the least value shown: <0.1′, or "under " in a sentence.
    """
    return _arcminutes(arcmin, "+", MINUS, small)


def format_angle_tolerance(arcmin: float, small: str = "<") -> str:
    """An angle error both ways, as for a play or a setting: ±4.1′."""
    return _arcminutes(arcmin, "±", "±", small)


def _arcminutes(arcmin: float, plus: str, minus: str, small: str) -> str:
    if _vanishes(arcmin, 1):
        return f"{small}0.1′" if arcmin else "0"
    return f"{fixed(arcmin, 1, plus=plus, minus=minus)}′"


def format_arcminutes(arcmin: float) -> str:
    """An angle in arc-minutes to a tenth, for one that is not an error: 0.7′."""
    return f"{fixed(arcmin, 1)}′"


def format_angle_range(arcmin: float) -> str:
    """A limit or play of an angle both ways, in whole arc-minutes: ±30′."""
    return f"±{fixed(abs(arcmin), 0)}′"


def _vanishes(value: float, digits: int) -> bool:
    """True if a number is 0 when rounded to that many decimals."""
    return not float(fixed(abs(value), digits))
