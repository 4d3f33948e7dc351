"""Numbers as a shop writes them, read exactly: decimals, fractions, mixed numbers, signs.

Shared by lengths and angles, without units.
"""

import re
import unicodedata
from collections.abc import Callable
from fractions import Fraction

from msgspec import Struct

from .parse_error import ParseError

LONGEST = 80
# One character for one, so that positions in the text stay valid.
_ALIKE = str.maketrans(
    {"−": "-", "–": "-", "‐": "-", "‑": "-", "⁄": "/", "∕": "/"}
    | dict.fromkeys("′’‘ʹ", "'")
    | dict.fromkeys("″”“ʺ", '"')
    | dict.fromkeys("\u00a0\u2007\u2009\u202f\t", " ")
)
_VULGAR = "[¼-¾⅐-⅞]"
_PART = rf"(?:(?P<over>[0-9]+) */ *(?P<under>[0-9]+)|(?P<vulgar>{_VULGAR}))"
_MIXED = re.compile(rf"(?P<whole>[0-9]+)(?P<joint> *- *| +|(?={_VULGAR})){_PART}")
_FRACTION = re.compile(_PART)
_DECIMAL = re.compile(r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+")
_SIGN = re.compile(r" *([+-])")


class Number(Struct, frozen=True):
    """A number read from text, without its sign: its value, how it was written, where it ends."""

    value: Fraction
    form: str  # "whole", "decimal", "fraction" or "mixed"
    end: int


def plain(text: str, accepted: str) -> str:
    """The text with look-alike characters replaced by plain ones; its length stays the same.

    Raises ParseError if the text is empty or too long, or has characters that are never accepted.
    """
    if not text.strip():
        raise ParseError(text, None, f"type {accepted}")
    if len(text) > LONGEST:
        raise ParseError(text, LONGEST, f"it is longer than {LONGEST} characters; type {accepted}")
    made = text.translate(_ALIKE)
    if "," in made:
        why = "a comma can mean two things; write decimals with a point, and no thousands separator"
        raise ParseError(text, made.index(","), why)
    if "≈" in made:
        why = "≈ marks a rounded number; type the exact one without ≈"
        raise ParseError(text, made.index("≈"), why)
    return made


def blank(made: str, at: int) -> int:
    """The first position from `at` that is not a space."""
    while at < len(made) and made[at] == " ":
        at += 1
    return at


def number(text: str, made: str, at: int) -> Number | None:
    """The number that begins at `at`; None if there is none.

    `5-3/8` and `5 3/8` are mixed numbers; `5 - 3/8` is a difference, so 5 is read.  A hyphen with a
    space on one side only could be either, and is refused.
    """
    mixed = _MIXED.match(made, at)
    if mixed:
        joint = mixed["joint"]
        if "-" in joint and joint.strip(" ") != joint:
            if not (joint.startswith(" ") and joint.endswith(" ")):
                whole, rest = mixed["whole"], made[mixed.end("joint") : mixed.end()]
                why = (
                    f"write {whole}-{rest} for {whole} and {rest},"
                    f" or {whole} - {rest} to subtract {rest}"
                )
                raise ParseError(text, mixed.start("joint"), why)
            return Number(Fraction(mixed["whole"]), "whole", mixed.end("whole"))
        part = _part(text, mixed)
        if part >= 1:
            why = "the fraction after a whole number must be below one"
            raise ParseError(text, mixed.end("joint"), why)
        return Number(Fraction(mixed["whole"]) + part, "mixed", mixed.end())
    fraction = _FRACTION.match(made, at)
    if fraction:
        return Number(_part(text, fraction), "fraction", fraction.end())
    decimal = _DECIMAL.match(made, at)
    if decimal:
        form = "decimal" if "." in decimal[0] else "whole"
        return Number(Fraction(decimal[0]), form, decimal.end())
    return None


def _part(text: str, match: re.Match[str]) -> Fraction:
    """The fraction in a match of _PART."""
    if match["vulgar"]:
        over, under = unicodedata.normalize("NFKC", match["vulgar"]).split("⁄")
        return Fraction(int(over), int(under))
    if int(match["under"]) == 0:
        raise ParseError(text, match.start("under"), "the bottom of a fraction cannot be 0")
    return Fraction(int(match["over"]), int(match["under"]))


def signed_sum(
    text: str,
    made: str,
    accepted: str,
    term: Callable[[int], tuple[Fraction, int]],
    joint: Callable[[int, int], None] = lambda before, after: None,
) -> Fraction:
    """The sum of terms joined by + and -; `term` reads one at a position and returns its end.

    `joint` is called with the start and end of each sign between two terms, and may refuse it.
    """
    total, at, sign = Fraction(0), 0, 1
    first = _SIGN.match(made)
    if first:
        sign, at = _factor(first), first.end()
    while True:
        value, end = term(blank(made, at))
        total += sign * value
        rest = blank(made, end)
        if rest == len(made):
            return total
        follows = _SIGN.match(made, end)
        if follows is None:
            if number(text, made, rest):
                why = (
                    "there are two numbers side by side; put + or - between them,"
                    f" or type {accepted}"
                )
            else:
                why = f"{text[rest]} does not belong here; type {accepted}"
            raise ParseError(text, rest, why)
        joint(end, follows.end())
        sign, at = _factor(follows), follows.end()


def _factor(sign: re.Match[str]) -> int:
    return -1 if sign[1] == "-" else 1
