"""The angle finder's answers as rows of a table."""

from gridjig.contact.values import TOUCH
from gridjig.model import Display, Table
from gridjig.rack import Rack
from gridjig.solve.angles.answers import AngleAnswer, AngleWay
from gridjig.units import (
    format_angle,
    format_bare_deviation,
    format_measure,
)

from .angle_text import EXACT_ARCMIN, SEEN_ARCMIN, holes_words
from .angle_way_text import other_than_arm

NONE = "–"

_WAYS: dict[AngleWay, str] = {
    "pins": "equal pins",
    "two sizes": "two sizes",
    "shims": "shims",
    "astride": "astride",
    "arm": "arm",
    "scale": "by scale",
    "plate": "cut plate",
}


def answer_columns(display: Display) -> tuple[str, ...]:
    """Return what the cells of an answer are.

    "At end" is the error at the end of the member; "open" is the gap that packing leaves at a face.
    """
    unit = "mm" if display.unit == "millimetres" else "in"
    return ("Holes", "Way", "Angle", f"At end, {unit}", "Open", "Class")


def answer_cells(
    answer: AngleAnswer, table: Table, rack: Rack, display: Display
) -> tuple[str, ...]:
    """Return an answer as the cells of a row."""
    other = other_than_arm(answer, rack)
    return (
        holes_words(table, answer.holes),
        other.removeprefix("angle ") if other else _WAYS[answer.way],
        format_angle(answer.angle_deg),
        _error(answer, display),
        _gap(answer, display),
        _class(answer),
    )


def _error(answer: AngleAnswer, display: Display) -> str:
    """The error at the end, or how finely it can be set there if that is more."""
    if answer.setting_arcmin >= max(SEEN_ARCMIN, abs(answer.error_arcmin)):
        return format_bare_deviation(answer.setting_mm, display, both_ways=True)
    exact = abs(answer.error_arcmin) < EXACT_ARCMIN
    return "exact" if exact else format_bare_deviation(answer.error_mm, display)


def _gap(answer: AngleAnswer, display: Display) -> str:
    """The gap that stays open at a face, with any packing in place; a dash without a face."""
    if answer.gap_mm is None or answer.way == "plate":
        return NONE
    most = max(answer.open_mm, default=0.0)
    return "none" if most <= TOUCH else format_measure(most, display)


def _class(answer: AngleAnswer) -> str:
    """The finest class that it meets, and in brackets the one that it meets with play."""
    finest, with_play = answer.verdict.finest, answer.verdict.with_play
    if finest is None:
        return NONE
    return finest if finest == with_play else f"{finest} ({with_play or NONE})"
