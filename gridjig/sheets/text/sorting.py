"""The order in which people expect names with numbers in them, and lengths."""

import re
from fractions import Fraction

_NUMBER = re.compile(r"((?:\d+-)?\d+/\d+|\d*\.\d+|\d+)")


def natural(text: str) -> tuple[tuple[bool, int, str], ...]:
    """Return a key that sorts numbers in a text by value, ignoring case."""
    return tuple(
        (False, int(part), "") if part.isdecimal() else (True, 0, part.casefold())
        for part in re.split(r"(\d+)", text)
        if part
    )


def measured(text: str) -> tuple[tuple[bool, Fraction, str], ...]:
    """Return a key that sorts by the values of numbers, fractions and decimals included.

    `1/4"` comes before `1/2"`, and that before `5-1/2"`.
    """
    return tuple(
        (True, Fraction(0), part.casefold()) if index % 2 == 0 else (False, _value(part), "")
        for index, part in enumerate(_NUMBER.split(text))
        if part.strip(" ≈▲-.")
    )


def _value(number: str) -> Fraction:
    whole, _, fraction = number.rpartition("-")
    if "/" not in fraction:
        return Fraction(fraction)
    over, _, under = fraction.partition("/")
    return int(whole or 0) + (Fraction(int(over), int(under)) if int(under) else Fraction(0))
