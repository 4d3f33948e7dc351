"""The legend: every sign and line of the plan with what it means, as samples to be painted.

A sample is a drawing in a box of `WIDE` by `HIGH` screen px, its origin at the bottom left.
"""

import math

from msgspec import Struct

from gridjig.geometry import Pose
from gridjig.geometry.display import (
    Arc,
    Circle,
    DisplayList,
    DrawingRole,
    HighlightBox,
    Polyline,
    Symbol,
    SymbolKind,
    Ticks,
)
from gridjig.geometry.shapes import rectangle
from gridjig.model import HoleState
from gridjig.rack import Point
from gridjig.sheets.drawings.hole_marks import hole_mark_at
from gridjig.units.spelling import spelled

WIDE, HIGH = 72.0, 36.0
_MIDDLE: Point = (WIDE / 2, HIGH / 2)
_HOLE = 8.0


class LegendLine(Struct, frozen=True):
    """One sign with its meaning."""

    words: str
    sample: DisplayList


class LegendGroup(Struct, frozen=True):
    """Signs that belong together."""

    head: str
    lines: tuple[LegendLine, ...]


_HOLES: tuple[tuple[HoleState, str], ...] = (
    ("blocked", "Blocked: nothing goes in"),
    ("shallow", "Shallow: less deep than the others"),
    ("oversize", "Oversize: wider than the others"),
    ("damaged", "Damaged: use another if you can"),
    ("reserved", "Reserved: kept for something else"),
)

_SIGNS: tuple[tuple[str, tuple[tuple[SymbolKind, str], ...]], ...] = (
    (
        "What can still move",
        (
            ("turns", "Turns about its pin"),
            ("slides", "Slides along its slot"),
            ("pivot", "Pivot of an arm"),
            ("tick", "An angle that an arm can be set to"),
        ),
    ),
    (
        "Clamps",
        (("press", "Presses down here"), ("force", "Pushes sideways, the way it points")),
    ),
    (
        "Contacts",
        (
            ("touch", "A face touches the work"),
            ("round touch", "A round pin touches the work"),
            ("level touch", "A rest or a pad touches the work"),
            ("apart", "Does not reach the work: a gap"),
            ("nothing there", "Nothing in front of it"),
        ),
    ),
)


def legend() -> tuple[LegendGroup, ...]:
    """Return the whole legend."""
    return (
        LegendGroup("Holes and pins", _holes()),
        LegendGroup("Pieces and work", _things()),
        *(
            LegendGroup(head, tuple(_sign(mark, words) for mark, words in signs))
            for head, signs in _SIGNS
        ),
        LegendGroup("What is selected, and what is wrong", _states()),
        LegendGroup("What the check shows on the plan", _proofs()),
    )


def _holes() -> tuple[LegendLine, ...]:
    ring = Circle(_MIDDLE, _HOLE, "hole")
    pin = (
        Circle(_MIDDLE, _HOLE, "thin", fill="paper"),
        Circle(_MIDDLE, 0.55 * _HOLE, "held", fill="held"),
    )
    return (
        LegendLine("Free hole", (ring,)),
        LegendLine("Pin in a hole", pin),
        LegendLine("The pin does not fit here", (Circle(_MIDDLE, _HOLE, "clash"),)),
        *(
            LegendLine(words, hole_mark_at(_MIDDLE, _HOLE, state, 2.6 * _HOLE))
            for state, words in _HOLES
        ),
    )


def _things() -> tuple[LegendLine, ...]:
    low, high = (6.0, 10.0), (WIDE - 6.0, HIGH - 10.0)
    ring = rectangle(low, high)
    left, right = (low[0], HIGH / 2), (high[0], HIGH / 2)
    walls = tuple(
        Polyline(((low[0], y), (high[0], y)), "hidden") for y in (low[1] + 3, high[1] - 3)
    )
    return (
        LegendLine(
            "Piece, its locating face in bold",
            (
                Polyline(ring, "edge", True, "part"),
                Polyline(((low[0], high[1]), high), "face"),
            ),
        ),
        LegendLine("Part of the weldment", (Polyline(ring, "work", True, "work", "work"),)),
        LegendLine(
            spelled("Centre line and inner walls of a tube"),
            (
                Polyline(ring, "work", True, "work"),
                *walls,
                Polyline(((0.0, HIGH / 2), (WIDE, HIGH / 2)), "centre"),
            ),
        ),
        LegendLine("Lies under something", (Polyline(ring, "hidden", True),)),
        LegendLine("Weld", (Polyline((left, right), "thin"), Ticks((left, right), "thin"))),
        LegendLine("Datum face", (Polyline((left, right), "work"), _at_middle("datum"))),
        LegendLine(
            "Sweep of a handle, reach of an arm", (Arc((WIDE / 2, 2.0), 28, 30, 150, "reach"),)
        ),
    )


def _states() -> tuple[LegendLine, ...]:
    low, high = (14.0, 11.0), (WIDE - 14.0, HIGH - 11.0)
    ring = rectangle(low, high)
    plain = Polyline(ring, "edge", True, "part")
    return (
        LegendLine("Selected", (plain, HighlightBox(low, high, "selected", corners=True))),
        LegendLine("Where it would go", (Polyline(ring, "ghost", True),)),
        LegendLine("The hole that it would go into", (_at_middle("ring", "selected"),)),
        LegendLine(
            "Overlap or other fault: put it right",
            (Polyline(ring, "clash", True, hatch="clash"), _at_middle("clash", "clash")),
        ),
        LegendLine("To look at", (plain, _at_middle("check", "check"))),
    )


def _proofs() -> tuple[LegendLine, ...]:
    """The drawings of the check, which are switched on in its menu."""
    x, y = _MIDDLE
    cone = ((8.0, y), (WIDE - 8.0, y - 12.0), (WIDE - 8.0, y + 12.0))
    moved = rectangle((8.0, 10.0), (46.0, HIGH - 10.0))
    ellipse = tuple(
        (x + 28.0 * math.cos(t), y + 10.0 * math.sin(t))
        for t in (math.tau * k / 48 for k in range(48))
    )
    stopped = Polyline(((x, 4.0), (x, HIGH - 4.0)), "work")
    return (
        LegendLine(
            "Where it can still move to, and which way",
            (Polyline(moved, "reach", True), *_arrow((38.0, y), (64.0, y), "reach")),
        ),
        LegendLine(
            "How hard the work lies against a stop", (stopped, Symbol((x, y), "force", "force"))
        ),
        LegendLine(
            "A clamp pushes the work off this stop", (stopped, Symbol((x, y), "apart", "check"))
        ),
        LegendLine("How far out it can be, enlarged", (Polyline(ellipse, "centre", True),)),
        LegendLine("The torch has room", (Polyline(cone, "thin", True),)),
        LegendLine("The torch has little room", (Polyline(cone, "thin", True, hatch="keep out"),)),
        LegendLine(
            "The torch has no room",
            (Polyline(cone, "clash", True, hatch="clash"), Symbol((52.0, y), "clash", "clash")),
        ),
        LegendLine(
            "Seam that is welded once the work is turned over",
            (Ticks(((4.0, y), (WIDE - 4.0, y)), "hidden"), _at_middle("ring", "hidden")),
        ),
        LegendLine(
            "The work comes out between these ways",
            (
                Arc((x, 4.0), 24.0, 20.0, 160.0, "thin"),
                *_arrow((x + 18.0, 12.0), (x + 32.0, 17.0), "thin"),
                *_arrow((x - 18.0, 12.0), (x - 32.0, 17.0), "thin"),
            ),
        ),
    )


def _arrow(start: Point, tip: Point, role: DrawingRole) -> tuple[Polyline, Polyline]:
    """A line with a head of two barbs."""
    back = Pose(*tip, math.degrees(math.atan2(tip[1] - start[1], tip[0] - start[0])))
    head = (back.point((-7.0, 4.0)), tip, back.point((-7.0, -4.0)))
    return Polyline((start, tip), role), Polyline(head, role)


def _sign(mark: SymbolKind, words: str) -> LegendLine:
    role: DrawingRole = "reach" if mark in ("turns", "slides", "tick") else "force"
    return LegendLine(words, (_at_middle(mark, role),))


def _at_middle(mark: SymbolKind, role: DrawingRole = "thin") -> Symbol:
    return Symbol(_MIDDLE, mark, role)
