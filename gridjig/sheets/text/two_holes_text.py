"""The reverse question in words: what two holes make, and what an arm reaches from its hole."""

import math
from collections.abc import Sequence

from gridjig.angle.places import ReachingWay
from gridjig.model import Display, Table
from gridjig.solve.angles.chart import TwoHoleLines
from gridjig.solve.reach.reach import ReachAngle
from gridjig.units import format_angle, format_angle_range, format_length
from gridjig.units.spelling import spelled

from .angle_text import holes_words
from .angle_way_text import steps_words

SAME_ANGLE = 0.005
"""Angles within this distance, degrees, are shown as equal."""


def through_words(through: TwoHoleLines, display: Display) -> tuple[tuple[str, str], ...]:
    """Return the lines that two pins make: what each is, and its angle."""
    m, n = steps_words(through.steps), format_length(through.base_mm, display)
    rows = [(spelled(f"Hole centres ({m}, base {n})"), format_angle(through.angle_deg))]
    if through.between is not None and through.between[0] != through.between[1]:
        rows += [
            ("Along both pins, pins on its right", format_angle(through.pins_right)),
            ("Along both pins, pins on its left", format_angle(through.pins_left)),
            ("Between the pins, first on its left", format_angle(through.between[0])),
            ("Between the pins, first on its right", format_angle(through.between[1])),
        ]
    return tuple(rows)


def reach_words(reach: ReachAngle, table: Table, own: float) -> tuple[str, str, str]:
    """Return a reach angle: its holes, the line's angle or range, and how it is held there.

    A range starts below 180 degrees: 130° to 230° passes through 180°.
    """
    holes = holes_words(table, (seat.hole for seat in reach.seats))
    first, wide = _line(reach.low + own), reach.high - reach.low
    if wide >= 179.99:
        angle = "every angle"
    elif wide > 0:
        angle = f"{format_angle(first)} to {format_angle(first + wide)}"
    else:
        angle = format_angle(first)
    parts = ["set by its scale" if reach.scale else "held by its pins"]
    if reach.high > reach.low and not reach.scale:
        parts = ["turns in its slot, clamped by hand"]
    if reach.play_deg:
        parts.append(f"play {format_angle_range(reach.play_deg * 60)}")
    if reach.flipped:
        parts.append("turned over")
    return holes, angle, " · ".join(parts)


_LOOKS = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")


def facing_words(looks: float | None) -> str:
    """Return which way a face looks, to tell two poses apart: " · its face looks back left"."""
    if looks is None:
        return ""
    return f" · facing {_LOOKS[round(looks / 45.0) % 8]}"


def nearest_words(ways: Sequence[ReachingWay], line: float | None) -> str:
    """Return that a wanted angle is not possible in these ways to stand (best first), and which is
    nearest; empty if it is possible.
    """
    if line is None or not ways or ways[0].line is None:
        return ""
    if ways[0].why:
        return " Something is in the way of each."
    if abs(math.remainder(ways[0].line - line, 180.0)) < SAME_ANGLE:
        return ""
    nearest = format_angle(ways[0].line)
    return f" {format_angle(line)} is not possible here; the nearest is {nearest}."


def _line(degrees: float) -> float:
    on = degrees % 180.0
    return 0.0 if on > 180.0 - 5e-4 else on
