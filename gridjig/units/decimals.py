"""Numbers as text: rounding, signs and zeros for every number shown, without units.

Also counts, figures, scales, and numbers for tables of data.
"""

import math

ROUNDED = "≈"
"""In front of a number that had to be rounded to show it."""

MINUS = "−"
"""The sign of every negative number that is shown; a typed one may have a hyphen as well."""
_LARGE = 1e21  # above this the digits of a float mean nothing


def fixed(
    value: float,
    digits: int,
    *,
    trim: bool = False,
    point_first: bool = False,
    plus: str = "",
    minus: str = MINUS,
    group: bool = False,
) -> str:
    """A number rounded to the nearest with `digits` decimals, as Python rounds the float.

    `trim` drops trailing zeros; `point_first` drops the leading zero of a number below one (.5, but
    20.5 stays); `group` separates thousands by commas.  What rounds to 0 has no sign.
    """
    text = f"{abs(value):{',' if group else ''}.{digits}f}"
    nought = not text.strip("0.")
    if trim and digits:
        text = text.rstrip("0").rstrip(".")
    if point_first and text.startswith("0."):
        text = text.removeprefix("0")
    sign = "" if nought else minus if value < 0 else plus
    return sign + text


def true_minus(shown: str) -> str:
    """A number as Python writes it, with the sign that is shown if it is negative."""
    return MINUS + shown[1:] if shown.startswith("-") else shown


def is_rounded(shown: str) -> bool:
    """True if a number as shown is marked as rounded."""
    return shown.startswith(ROUNDED)


def unmarked(shown: str) -> str:
    """A number as shown, without the ≈, to compare it or use it in a name."""
    return shown.removeprefix(ROUNDED)


def format_count(number: int) -> str:
    """A count, with commas between thousands: 12,000."""
    return f"{number:,}"


def format_number(value: float) -> str:
    """A bare number with up to six decimals and no trailing zeros: 80, 0.5."""
    return fixed(value, 6, trim=True) if abs(value) < _LARGE else true_minus(f"{value:g}")


def format_points(value: float) -> str:
    """A score in points, to a tenth: 81.1, 120."""
    return fixed(value, 1, trim=True)


def format_percent(fraction: float, *, at_most: bool = False) -> str:
    """A share as a percentage, to a tenth: 12.5 %.

    `at_most` is for a bound, which is rounded up: the bound that is shown must hold too.
    """
    tenths = fraction * 1000.0
    if at_most:
        tenths = math.ceil(tenths - 1e-6)
    return f"{fixed(tenths / 10.0, 1, trim=True)} %"


def format_figures(value: float) -> str:
    """A number to three figures, or whole, for sizes that are only for information: 12.3, 1,235.

    Below a millionth it is 0.
    """
    size = abs(value)
    digits = 8 if size < 1e-6 else max(2 - math.floor(math.log10(size)), 0)
    return fixed(value, digits, trim=True, group=True)


def format_scale(ratio: float) -> str:
    """The scale of a drawing, from the mm that one mm on paper stands for: 1:4, 1:2.5, 2:1."""
    return f"1:{_short(ratio)}" if ratio >= 1 else f"{_short(1 / ratio)}:1"


def _short(number: float) -> str:
    return fixed(number, 0 if number >= 10 else 1, trim=True)


def format_megabytes(size: int) -> str:
    """A file size in bytes as megabytes, to a tenth: 0.5, 64."""
    return fixed(size / 1024 / 1024, 1, trim=True)


def data_number(value: float, digits: int) -> str:
    """A number for a CSV cell: a decimal point, `digits` decimals, no unit, no separators.

    Its minus is a hyphen: what reads tables knows no other.
    """
    return fixed(value, digits, minus="-")
