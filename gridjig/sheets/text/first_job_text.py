"""The ten steps of the guided first job in words: what to do, with holes of the job's own table."""

from msgspec import Struct

from gridjig.model import Hole, Table
from gridjig.model.labels import address
from gridjig.session.first_job import STEPS, Guide, GuideStep
from gridjig.units import INCH, format_number

_TITLES: dict[GuideStep, str] = {
    "look": "Look around",
    "member": "Draw a tube",
    "stop": "Put a stop in front of it",
    "second stop": "Put a second stop beside the first",
    "end stop": "Put a stop at its end",
    "clamp": "Clamp it",
    "undo": "Move a piece, and undo it",
    "check": "Check",
    "pull": "See what to pull",
    "save": "Save",
}
FINISHED = (
    "That was all: a tube that is drawn, located, clamped, checked and saved. Every other job is"
    " more of the same. Help has the rest; F1 opens it where you are."
)


def step_title(guide: Guide) -> str:
    """Return the step to do now with its number, or that all is done."""
    if guide.step is None:
        return "First job: done"
    return f"Step {guide.done + 1} of {len(STEPS)}: {_TITLES[guide.step]}"


def step_text(guide: Guide, table: Table) -> str:
    """Return what to do now, in one or two sentences."""
    return FINISHED if guide.step is None else _text(guide.step, table)


class GuideHoles(Struct, frozen=True):
    """Where things go in the first job: the tube begins at a hole of the middle row."""

    length: float
    begin: Hole
    front: Hole
    right: Hole
    end: Hole
    clamp: Hole


def guide_holes(table: Table) -> GuideHoles:
    """Return the holes for a table; `length` is that of the tube, mm.

    The tube ends midway between two holes, so that little packing is needed at its end.
    """
    wide = table.pitch_x * (table.columns - 1)
    about = _LONG if wide > 1.5 * _LONG else wide / 2
    long = max(round(about / table.pitch_x), 1)
    aside = max(long // 6, 1)
    row = max(table.rows // 2, 1)
    left = max((table.columns - long) // 2, 1)
    return GuideHoles(
        length=(long + 0.5) * table.pitch_x,
        begin=Hole(left, row),
        front=Hole(left + aside, row - 1),
        right=Hole(left + long - aside, row - 1),
        end=Hole(left + long + 1, row),
        clamp=Hole(left + long // 2, row + (2 if table.pitch_y < _WIDE_PITCH else 1)),
    )


_LONG = 600.0
"""About how long the tube is on a table of usual size, mm."""

_WIDE_PITCH = 75.0
"""From this distance of the holes, mm, a clamp one hole behind the tube reaches over it."""


def _text(step: GuideStep, table: Table) -> str:
    """The sentence of a step."""
    where = guide_holes(table)
    length = format_number(where.length / INCH if table.in_inches else where.length)

    def at(hole: Hole) -> str:
        return address(table, hole)

    return {
        "look": "Turn the wheel over the plan, or click it and press + and -. 0 shows the whole"
        " table again.",
        "member": f"Press M and click hole {at(where.begin)}: the tube begins there. Type {length}"
        " at 0 and press Enter: so long, to the right. Esc twice ends it.",
        "stop": "Press P, type two pins and press Enter: that finds Fixed stop, two pins in the"
        f" rack. Click hole {at(where.front)}: the stop comes up to the tube.",
        "second stop": f"The stop is still in hand. Click hole {at(where.right)}: two stops on one"
        " face give the tube its direction.",
        "end stop": f"Click hole {at(where.end)}, right of the tube: the stop turns to face its"
        " end. Esc puts the stop away.",
        "clamp": "Press P, type down-clamp and press Enter. Click hole"
        f" {at(where.clamp)}, behind the tube: the clamp reaches over it. At the table, mind your"
        " fingers: closing clamps pinch.",
        "undo": "Esc, then click one of the stops and press an arrow key: it moves by one hole."
        " Ctrl+Z takes that back.",
        "check": "Press F8. The list on the right says what clashes, what is missing and what was"
        " not looked at. A click on a line shows its place.",
        "pull": "Press Ctrl+5: the pull list says what to fetch from which bin, and where it goes.",
        "save": "Press Ctrl+S and choose a name. Opened again, it is exactly this set-up.",
    }[step]
