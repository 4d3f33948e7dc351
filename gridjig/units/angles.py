"""Angles as typed and as shown, in degrees, counter-clockwise positive."""

import math
import re
from fractions import Fraction

from .decimals import ROUNDED, fixed
from .numbers import Number, blank, number, plain, signed_sum
from .parse_error import ParseError

ACCEPTED = "an angle such as 37.5, 37° 30', 37-1/2 or a slope such as 4:12 or 4 in 12"
ON_GRID = 1e-6  # degrees; an arc length of 0.02 micrometres at a metre
_DEGREES = re.compile(r" *(?:°|º|deg(?:rees?)?\b\.?)", re.IGNORECASE)
_MINUTES = re.compile(r" *'(?!')")
_SECONDS = re.compile(r" *(?:\"|'')")
_SLOPE = re.compile(r" *(?::|in) *", re.IGNORECASE)


def parse_angle(text: str) -> float:
    """A typed angle in degrees, from -360 to 360.

    Accepts `37.5`, `37.5°`, `37 30'`, `37°30'15"`, the slopes `4:12` and `4 in 12`, and differences
    with spaces round the sign (`90 - 37.5`).  Raises ParseError.
    """
    made = plain(text, ACCEPTED)
    slope = _slope(text, made)
    if slope is not None:
        return slope

    def joint(before: int, after: int) -> None:
        sign = made[before:after]
        if not (sign.startswith(" ") and made[after : after + 1] == " "):
            why = "write 37° 30' for degrees and minutes, or 90 - 37.5 with spaces to subtract"
            raise ParseError(text, blank(made, before), why)

    total = signed_sum(text, made, ACCEPTED, lambda at: _degrees(text, made, at), joint)
    if abs(total) > 360:
        raise ParseError(text, None, "it is more than a full turn; type an angle from -360 to 360")
    return float(total)


_WAYS = {0.0: "right", 90.0: "back", 180.0: "left", 270.0: "front"}


def format_angle(degrees: float) -> str:
    """An angle with up to two decimals, no trailing zeros, and ≈ in front if rounded."""
    rounded = round(degrees, 2)
    mark = "" if abs(degrees - rounded) <= ON_GRID else ROUNDED
    return f"{mark}{format_rounded_angle(rounded)}"


def format_rounded_angle(degrees: float, digits: int = 2) -> str:
    """An angle that is not meant to be exact, such as a play: up to `digits` decimals, no ≈."""
    return f"{fixed(degrees, digits, trim=True)}°"


def facing_words(degrees: float) -> str:
    """Which way something faces, as the operator sees it: right, back, left, front or an angle."""
    turn = round(degrees, 2) % 360.0
    return _WAYS.get(turn, format_angle(turn))


def full_angle(degrees: float) -> str:
    """An angle to a millionth of a degree, for where the one shown is rounded."""
    return format_rounded_angle(degrees, 6)


def _slope(text: str, made: str) -> float | None:
    """The angle of a slope, rise over run; None if the text is not a slope."""
    at = blank(made, 0)
    sign = -1 if made[at] == "-" else 1
    rise = number(text, made, blank(made, at + 1 if made[at] in "+-" else at))
    between = _SLOPE.match(made, rise.end) if rise else None
    if rise is None or between is None:
        return None
    run = number(text, made, between.end())
    if run is None or blank(made, run.end) != len(made):
        place = min(run.end if run else between.end(), len(made) - 1)
        raise ParseError(text, place, "a slope is rise and run, such as 4:12 or 4 in 12")
    if not rise.value and not run.value:
        raise ParseError(text, at, "a slope needs a rise or a run; 0:0 has no direction")
    return sign * math.degrees(math.atan2(rise.value, run.value))


def _degrees(text: str, made: str, at: int) -> tuple[Fraction, int]:
    """The degrees, minutes and seconds that begin at a position, as degrees, and where they end."""
    found = number(text, made, at)
    if found is None:
        raise ParseError(text, min(at, len(text) - 1), f"type {ACCEPTED}")
    if found.form == "fraction":
        why = "a fraction alone could be a slope; write 4:12 for a slope, or decimals for degrees"
        raise ParseError(text, at, why)
    total, end = found.value, found.end
    for sign, low in ((_MINUTES, 60), (_SECONDS, 3600)):
        own = sign.match(made, found.end)
        if own:  # minutes or seconds without degrees
            return found.value / low, own.end()
    named = _DEGREES.match(made, end)
    end = named.end() if named else end
    last = found
    for sign, name, low in ((_MINUTES, "minutes", 60), (_SECONDS, "seconds", 3600)):
        part = number(text, made, blank(made, end))
        own = sign.match(made, part.end) if part else None
        if part is None or own is None:
            continue
        _require_parts(text, last, part, blank(made, end), name)
        total, end, last = total + part.value / low, own.end(), part
    return total, end


def _require_parts(text: str, before: Number, part: Number, at: int, name: str) -> None:
    if part.value >= 60:
        raise ParseError(text, at, f"{name} must be below 60")
    if before.form != "whole":
        raise ParseError(text, at, f"the number before {name} must be whole")
