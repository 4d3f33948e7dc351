"""Counts and plain numbers as they are shown: thousands, figures, scales; and numbers for a table
of data.
"""

from .decimals import fixed

_LARGE = 1e21  # beyond it the digits of a float say nothing


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
