"""Numbers as text: the one rounding, sign and zero that every shown number is made with; counts,
figures and scales, and numbers for a table of data.

Knows no unit.
"""

ROUNDED = "≈"
"""Stands before a number that had to be rounded to show it."""

MINUS = "−"
_LARGE = 1e21  # beyond it the digits of a float say nothing


def fixed(
    value: float,
    digits: int,
    *,
    trim: bool = False,
    point_first: bool = False,
    plus: str = "",
    minus: str = "-",
    group: bool = False,
) -> str:
    """A number rounded to `digits` decimals, to the nearest, as the float that it is.

    `trim` drops zeros at the end, `point_first` the zero before the point of a number below one
    (.5, never 20.5 as 2.5), `group` parts thousands by commas.  What rounds to 0 has no sign.
    """
    text = f"{abs(value):{',' if group else ''}.{digits}f}"
    nought = not text.strip("0.")
    if trim and digits:
        text = text.rstrip("0").rstrip(".")
    if point_first and text.startswith("0."):
        text = text.removeprefix("0")
    sign = "" if nought else minus if value < 0 else plus
    return sign + text


def is_rounded(shown: str) -> bool:
    """True if a shown number is marked as rounded."""
    return shown.startswith(ROUNDED)


def unmarked(shown: str) -> str:
    """A shown number without the mark of a rounded one, to compare it or to name a thing by it."""
    return shown.removeprefix(ROUNDED)


def format_count(number: int) -> str:
    """A count, with commas between thousands: 12,000."""
    return f"{number:,}"


def format_number(value: float) -> str:
    """A bare number with at most six decimals and none that say nothing: 80, 0.5."""
    return fixed(value, 6, trim=True) if abs(value) < _LARGE else f"{value:g}"


def format_figures(value: float) -> str:
    """A number to three figures, or whole, for sizes that are told and not set: 12.3, 1,235."""
    digits = next((d for d, least in ((0, 100.0), (1, 10.0), (2, 1.0)) if abs(value) >= least), 3)
    return fixed(value, digits, trim=True, group=True)


def format_scale(ratio: float) -> str:
    """The scale of a drawing from what one mm of it stands for, in mm: 1:4, 1:2.5, 2:1."""
    return f"1:{_short(ratio)}" if ratio >= 1 else f"{_short(1 / ratio)}:1"


def _short(number: float) -> str:
    return fixed(number, 0 if number >= 10 else 1, trim=True)


def format_megabytes(size: int) -> str:
    """The size of a file, in bytes, as megabytes to a tenth: 0.5, 64."""
    return fixed(size / 1024 / 1024, 1, trim=True)


def data_number(value: float, digits: int) -> str:
    """A number for a cell of a CSV file: a point, so many decimals, no unit and no thousands."""
    return fixed(value, digits)
