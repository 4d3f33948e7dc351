"""Numbers in rings with leaders to the pieces that they are of."""

from collections.abc import Sequence

from msgspec import Struct

from gridjig.geometry.box_index import Box
from gridjig.geometry.page import FINE, NARROW, PageDiscs, PageLines, PageMark, PageText
from gridjig.rack import Point


class Balloon(Struct, frozen=True):
    """A number in a ring, and where its leader ends on the piece."""

    number: str
    centre: Point
    radius: float
    foot: Point


def balloon_marks(balloons: Sequence[Balloon], size: float) -> list[PageMark]:
    """Leaders, then dots, then rings, then numbers: a ring covers the leaders that pass it."""
    if not balloons:
        return []
    radii = sorted({one.radius for one in balloons})
    marks: list[PageMark] = [
        PageLines(tuple((one.foot, one.centre) for one in balloons), FINE),
        PageDiscs(tuple(one.foot for one in balloons), 0.5, FINE, fill="black"),
    ]
    for radius in radii:
        centres = tuple(one.centre for one in balloons if one.radius == radius)
        marks.append(PageDiscs(centres, radius, NARROW, fill="white"))
    for one in balloons:
        (x, y), r = one.centre, one.radius
        marks.append(text_in((x - r, y - r, x + r, y + r), one.number, size, bold=True))
    return marks


def text_in(
    box: Box, words: str, size: float, *, bold: bool = False, cleared: bool = False
) -> PageText:
    """Return a text in the middle of a box on paper."""
    x0, y0, x1, y1 = box
    return PageText(x0, y0, x1 - x0, y1 - y0, words, size, "centre", bold, cleared=cleared)
