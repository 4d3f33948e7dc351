"""How the window is divided between drawer, plan, form and lists, and which lists there are."""

from collections.abc import Sequence

from msgspec import structs

from gridjig.files.storage.settings import Division
from gridjig.qt.actions.port import Page

_DRAWER, _DRAWER_LETTERS = 232, 32
_SIDE_LETTERS, _FORM_PERCENT = 58, 55
_LEAST_WIDE, _LEAST_HIGH = 640, 400

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
    width: int, height: int, letters: int, division: Division, upright: bool
) -> tuple[Shares, Shares, Shares]:
    """Return the shares in px of plan and side, of drawer and canvas, and of form and lists.

    `letters` is the width of an average character.  What the person has divided counts; only an
    upright window, with form and lists under the plan, has a division of its own.
    """
    wide, high = max(width, _LEAST_WIDE), max(height, _LEAST_HIGH)
    drawer = min(division.drawer or max(_DRAWER, letters * _DRAWER_LETTERS), wide // 4)
    if upright:
        return (
            (high * 62 // 100, high * 38 // 100),
            (drawer, wide - drawer),
            (wide // 2, wide // 2),
        )
    # The same for every list, so that the plan does not move when another one is shown.
    side = min(division.side or letters * _SIDE_LETTERS, wide * (3 if division.side else 2) // 5)
    form = division.form or _FORM_PERCENT
    return (
        (wide - side, side),
        (drawer, wide - side - drawer),
        (high * form // 100, high * (100 - form) // 100),
    )


def divided(division: Division, part: str, sizes: Sequence[int]) -> Division:
    """Return the division after the person has set the two `sizes` in px of one splitter.

    `part` says which: the "drawer" is its first, the "side" its second; of the "form" its share.
    """
    first, second = sizes
    shares = {"drawer": first, "side": second, "form": round(100 * first / max(first + second, 1))}
    return structs.replace(division, **{part: shares[part]})
