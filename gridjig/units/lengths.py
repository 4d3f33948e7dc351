"""Lengths as typed and as shown, exact by means of fractions."""

import re
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache

from .decimals import MINUS, ROUNDED
from .display import Display, DualDisplay, Unit, dual
from .numbers import blank, number, plain, signed_sum
from .parse_error import ParseError

MM_PER_INCH = Fraction(254, 10)
INCH = float(MM_PER_INCH)
"""Millimetres in an inch, exactly: the international inch of 1959."""

LIMIT = 100_000  # mm; nothing on a table is longer, so a longer one is a typing error
ON_GRID = 1e-5  # mm; far below what anyone can measure, far above rounding errors of corners
_SLACK = ON_GRID.as_integer_ratio()

_SCALES: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": MM_PER_INCH,
    "ft": MM_PER_INCH * 12,
}
_NAMES: dict[str, str] = {
    **{name: name for name in _SCALES},
    **dict.fromkeys(("inch", "inches", '"', "''"), "in"),
    **dict.fromkeys(("foot", "feet", "'"), "ft"),
}
_UNIT = re.compile(r""" *("|''|'|[A-Za-z]+\.?)""")
_JOINT = re.compile(r" *-? *")


def _example(unit: Unit) -> str:
    if unit == "millimetres":
        return "a length such as 136.5, 450 mm, 17 cm or 5-3/8 in"
    return "a length such as 5-3/8, 5.375, 1' 6-1/2\" or 450 mm"


def parse_length(text: str, unit: Unit) -> float:
    """A typed length in mm; a bare number is in the given unit.

    Accepts `5-3/8`, `5 3/8"`, `1' 6-1/2"`, `450mm`, `4.5 in`, `17 cm` and sums of these.  Returns
    the float nearest to the exact value.  Raises ParseError.
    """
    accepted = _example(unit)
    reader = _Reader(text, plain(text, accepted), unit, accepted)
    total = signed_sum(text, reader.made, accepted, reader.term)
    reader.require_units()
    if abs(total) > LIMIT:
        raise ParseError(text, None, "it is longer than 100 m; type a length up to 100 m")
    return float(total)


class _Reader:
    """Reads the terms of one typed length, and remembers which units it names."""

    def __init__(self, text: str, made: str, unit: Unit, accepted: str) -> None:
        self.text = text
        self.made = made
        self.accepted = accepted
        self.own = "mm" if unit == "millimetres" else "in"
        self.bare: int | None = None
        self.foreign = ""

    def term(self, at: int) -> tuple[Fraction, int]:
        """One term without its sign, in mm, and where it ends."""
        value, form, end = self._number(at)
        name, after = self._unit(end)
        if name == "ft":
            inches = self._inches(after)
            if inches is not None:
                if form != "whole":
                    raise ParseError(
                        self.text, at, "with inches after them, the feet must be a whole number"
                    )
                return value * _SCALES["ft"] + inches[0] * MM_PER_INCH, inches[1]
        if not name:
            self.bare = at if self.bare is None else self.bare
            name = self.own
        elif name not in (self.own, "ft") or (name == "ft" and self.own == "mm"):
            self.foreign = name
        return value * _SCALES[name], after

    def require_units(self) -> None:
        """Refuses a bare number beside one in another unit, as it could be in either."""
        if self.foreign and self.bare is not None:
            why = f"another number is in {self.foreign}; give this one a unit too"
            raise ParseError(self.text, self.bare, why)

    def _number(self, at: int) -> tuple[Fraction, str, int]:
        found = number(self.text, self.made, at)
        if found is None:
            raise ParseError(self.text, min(at, len(self.text) - 1), f"type {self.accepted}")
        return found.value, found.form, found.end

    def _unit(self, at: int) -> tuple[str, int]:
        """The unit named at a position ("" if none) and where its name ends."""
        match = _UNIT.match(self.made, at)
        if match is None:
            return "", at
        name = _NAMES.get(match[1].lower().rstrip("."))
        if name is None:
            why = f"{match[1]} is not a unit of length; use in, \", ft, ', mm, cm or m"
            raise ParseError(self.text, match.start(1), why)
        return name, match.end()

    def _inches(self, at: int) -> tuple[Fraction, int] | None:
        """The inches that follow feet ending at `at`; None if there are none."""
        joint = _JOINT.match(self.made, at)
        assert joint is not None  # it can match nothing
        found = number(self.text, self.made, joint.end())
        if found is None:
            return None
        name, after = self._unit(found.end)
        if name not in ("", "in"):
            return None
        if "-" in joint[0] and joint[0] != "-":
            why = "write 1'-6\" for feet and inches, or the difference in inches alone"
            raise ParseError(self.text, blank(self.made, joint.start()), why)
        if found.value >= 12:
            raise ParseError(self.text, joint.end(), "inches after feet must be below 12")
        return found.value, after


def format_length(mm: float, display: Display) -> str:
    """A length with its unit, as the display shows it; ≈ in front if it had to be rounded.

    Inch fractions are reduced; decimal inches have three decimals and no leading zero below one;
    millimetres have tenths at most, no trailing zero, and a leading zero (ASME Y14.5).
    """
    return _formatted(mm, display)


@lru_cache(maxsize=4096)  # the same few lengths are shown on every pointer move
def _formatted(mm: float, display: Display) -> str:
    if isinstance(display, DualDisplay):
        return f"{_formatted(mm, display.first)} ({_formatted(mm, display.second)})"
    exact = Fraction(mm)
    if display.unit == "millimetres":
        return _shown(exact, Fraction(1, 10), Fraction(1), _millimetres)
    if display.unit == "inch decimals":
        return _shown(exact, Fraction(1, 1000), MM_PER_INCH, _inch_decimals)
    return _shown(exact, Fraction(1, display.denominator), MM_PER_INCH, _inch_fractions)


def dual_length(mm: float, display: Display) -> str:
    """A length in the display's unit, followed by the other unit in brackets."""
    return format_length(mm, dual(display))


def full_length(mm: float) -> str:
    """A length to a thousandth of a millimetre in both units, for where the one shown is rounded.

    For comparing numbers; nothing on a table is placed or measured that finely.
    """
    inches = round(Fraction(mm) / MM_PER_INCH, 5)
    return f"{_decimal(round(Fraction(mm), 3))} mm = {_decimal(inches)} in"


def _shown(
    exact: Fraction, step: Fraction, scale: Fraction, write: Callable[[Fraction], str]
) -> str:
    """A length rounded to `step` of a unit of `scale` mm, as text.

    Halves round away from zero, even where the float is slightly too small.
    """
    # In integers: fraction arithmetic creates an object per operation, and tables show thousands.
    n, d = abs(exact.numerator), exact.denominator
    slack, of = _SLACK
    size = step * scale
    top, bottom = size.numerator, size.denominator
    count = (2 * (n * of + slack * d) * bottom + d * of * top) // (2 * d * of * top)
    mark = "" if abs(n * bottom - count * top * d) * of <= slack * d * bottom else ROUNDED
    return mark + (MINUS if exact < 0 and count else "") + write(count * step)


def _inch_fractions(inches: Fraction) -> str:
    whole, part = divmod(inches, 1)
    if not part:
        return f'{whole}"'
    return f'{whole}-{part}"' if whole else f'{part}"'


def _inch_decimals(inches: Fraction) -> str:
    if not inches:
        return '0"'
    whole, part = divmod(int(inches * 1000), 1000)
    return f'{whole or ""}.{part:03}"'


def _millimetres(mm: Fraction) -> str:
    return f"{_decimal(mm)} mm"


def _decimal(value: Fraction) -> str:
    """A fraction of a power of ten as the shortest decimal."""
    sign, value = (MINUS if value < 0 else ""), abs(value)
    whole, part = divmod(value, 1)
    digits = f"{int(part * 10**6):06}".rstrip("0")
    return f"{sign}{whole}.{digits}" if digits else f"{sign}{whole}"
