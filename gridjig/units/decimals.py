"""Decimals as text: the one rounding, sign and zero that every shown number is made with.

Knows no unit.
"""

ROUNDED = "≈"
"""Stands before a number that had to be rounded to show it."""

MINUS = "−"


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
