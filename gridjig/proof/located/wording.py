"""What parts, pieces and directions are called in the sentences of proofs."""

import math
from collections.abc import Sequence

from gridjig.checks.finding import told_apart
from gridjig.model import Job, Member, Part
from gridjig.model.titles import thing_of, weldment_title
from gridjig.rack import Point
from gridjig.units import format_count, format_rounded_angle
from gridjig.units.series import series

_ALONG = math.cos(math.radians(3.0))
_NAMED = 3


def capital(text: str) -> str:
    """A text as the beginning of a sentence."""
    return f"{text[:1].upper()}{text[1:]}"


def names(job: Job, ids: Sequence[str], most: int = _NAMED) -> str:
    """Several things in a sentence: A, B and C; A, B and 4 more."""
    called = [told_apart(job, one) for one in ids]
    if len(called) > most:
        called = [*called[: most - 1], f"{format_count(len(called) - most + 1)} more"]
    return series(called)


def body_name(job: Job, thing: str, parts: Sequence[str]) -> str:
    """What a body is called: a part, a weldment, or the parts of one that are joined."""
    if thing_of(job, thing) is not None:
        return told_apart(job, thing)
    whole = [part.id for part in job.parts if part.weldment == thing]
    if len(parts) == len(whole):
        return weldment_title(job, thing)
    return f"the assembly of {names(job, parts)}" if len(parts) > 1 else names(job, parts)


def way_words(part: Part | None, direction: Point) -> str:
    """Where something slides: along its length; sideways; from left to right; at 37.5°."""
    x, y = direction
    if isinstance(part, Member):
        turn = math.radians(part.turn)
        along = abs(x * math.cos(turn) + y * math.sin(turn))
        if along > _ALONG:
            return "along its length"
        if along < math.sqrt(1.0 - _ALONG * _ALONG):
            return "sideways"
    if abs(x) > _ALONG:
        return "to the left and right"
    if abs(y) > _ALONG:
        return "to the front and back"
    return f"at {format_rounded_angle(math.degrees(math.atan2(y, x)) % 180.0)}"
