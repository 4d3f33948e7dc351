"""How the window is divided between drawer, plan, form and lists, and which lists there are."""

from collections.abc import Sequence
from typing import Literal

from msgspec import structs
from PySide6.QtGui import QFontMetrics

from gridjig.files.storage.settings import Division
from gridjig.qt.actions.port import Page

_DRAWER, _DRAWER_LETTERS, _DRAWER_PERCENT, _DRAWER_MOST = 232, 26, 14, 36
_SIDE_LETTERS, _SIDE_PERCENT, _SIDE_MOST = 49, 27, 67
"""Widths of drawer and side in px, letters and percent of the window; the most is in letters."""
_FORM_PERCENT, _LEAST_PERCENT, _MOST_PERCENT = 42, 18, 40
_WORK_LINES = 38
"""How many lines the larger panes need; the form has the rest, within these percentages."""
_LEAST_WIDE, _LEAST_HIGH = 640, 400
_MANY = 20

FormShare = Literal["form", "form_by_work"]
DivisionPart = Literal["drawer", "side"] | FormShare
SIDE_PAGES: tuple[tuple[Page, str, str], ...] = (
    ("placed", "Placed", "Everything on the table, with position and state"),
    ("pull", "Pull list", "What to pull from the rack"),
    ("check", "Check", "What the check found"),
    ("angle", "Angle", "Which holes give an angle"),
    ("weldment", "Work", "Cut list, joints, stops, layout, way up"),
    ("help", "Help", "Help on what you are doing"),
)
"""The pages beside the plan: id, name, and what is there."""

Shares = tuple[int, int]


def column_sizes(
    size: tuple[int, int],
    letters: QFontMetrics,
    division: Division,
    upright: bool,
    form: FormShare = "form",
) -> tuple[Shares, Shares, Shares]:
    """Return the shares in px of plan and side, of drawer and canvas, and of pages and form.

    What the person has divided counts; only an upright window, with the side under the plan, has a
    division of its own.  `form` says which of the form's shares applies.
    """
    wide, high = max(size[0], _LEAST_WIDE), max(size[1], _LEAST_HIGH)
    # Of many letters, because Qt rounds the width of one to whole px.
    letter, line = letters.horizontalAdvance("n" * _MANY) / _MANY, letters.height()
    room = min(wide * _DRAWER_PERCENT // 100, round(letter * _DRAWER_MOST))
    least = max(_DRAWER, round(letter * _DRAWER_LETTERS), room)
    drawer = min(division.drawer or least, wide // 4)
    if upright:
        return (
            (high * 62 // 100, high * 38 // 100),
            (drawer, wide - drawer),
            (wide // 2, wide // 2),
        )
    # The same for every page, so that the plan does not move when another one is shown.
    room = min(wide * _SIDE_PERCENT // 100, round(letter * _SIDE_MOST))
    least = max(round(letter * _SIDE_LETTERS), room)
    side = min(division.side or least, wide * (3 if division.side else 2) // 5)
    if form == "form":
        percent = division.form or _FORM_PERCENT
    else:
        rest = 100 * (high - _WORK_LINES * line) // high
        percent = division.form_by_work or min(max(rest, _LEAST_PERCENT), _MOST_PERCENT)
    return (
        (wide - side, side),
        (drawer, wide - side - drawer),
        (high * (100 - percent) // 100, high * percent // 100),
    )


def divided(division: Division, part: DivisionPart, sizes: Sequence[int]) -> Division:
    """Return the division after the person has set the two `sizes` in px of one splitter.

    `part` says which: the "drawer" is its first, the "side" its second; of a form its share.
    """
    first, second = sizes
    share = round(100 * second / max(first + second, 1))
    value = {"drawer": first, "side": second}.get(part, share)
    return structs.replace(division, **{part: value})
