"""Tells whether a closed outline is a member in plan: a bar of a section with two cut ends."""

import math
from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from gridjig.model import EndCut, Member, Section, WayUp
from gridjig.model.endcut import MAX_CUT
from gridjig.rack import Point
from gridjig.units.progress import looked_at

from .drawing import Drawing
from .sketch import mm_of

FIT = 0.3
"""How far the drawn width may differ from the section's, mm: inch sizes are drawn rounded."""
_STRAIGHT = 0.05  # mm; corners this close to the line between their neighbours do not count
_SQUARE = 0.02  # degrees; a cut within this of square is square
_DIGITS = 6
_SLENDER = 2.0  # times its width, at least, for the length of an outline that may be a member


class GuessedSection(Struct, frozen=True):
    """A section, and how many outlines are as wide as it."""

    section: Section
    fits: int


def guess_section(
    drawing: Drawing, names: Sequence[str], offered: Sequence[Section]
) -> GuessedSection | None:
    """Return the section that most outlines of these layers can be members of; of equal ones the
    one whose width is nearest, then a square tube, then the first.  None if none can.

    Only outlines with two parallel long sides count, at least twice as long as wide, and bars
    between open lines.
    """
    if drawing.unit is None:
        return None
    mm = mm_of(drawing.unit)
    widths: Counter[float] = Counter()
    for layer in drawing.layers:
        bars = tuple(bar.ring for bar in (*layer.bars, *layer.sided))
        for ring in looked_at((*layer.outlines, *bars) if layer.name in names else (), 50):
            width = bar_width([(mm * x, mm * y) for x, y in ring])
            if width is not None:
                widths[round(width, 2)] += 1
    if not widths:
        return None

    def rank(section: Section) -> tuple[int, float, bool]:
        sizes = (section.width, section.height)
        off = {width: min(abs(width - size) for size in sizes) for width in widths}
        fits = [width for width in widths if off[width] <= FIT]
        number = sum(widths[width] for width in fits)
        away = sum(off[width] * widths[width] for width in fits)
        return (-number, round(away, 2), section.kind != "square tube")

    best = min(offered, key=rank, default=None)
    if best is None or not rank(best)[0]:
        return None
    return GuessedSection(best, -rank(best)[0])


def bar_width(ring: Sequence[Point]) -> float | None:
    """Return the distance in mm of the two long parallel sides of an outline; None if it has not
    four corners and such sides.
    """
    corners = _corners(ring)
    if len(corners) != 4:
        return None
    found = []
    for k in range(2):
        a, b, c, d = (*corners[k:], *corners[:k])
        near, far = _off(d, a, b), _off(c, a, b)
        if abs(near - far) <= 2 * _STRAIGHT:
            length = (math.dist(a, b) + math.dist(c, d)) / 2.0
            width = (near + far) / 2.0
            if length >= _SLENDER * width:
                found.append(width)
    return min(found, default=None)


def member_of(
    ring: Sequence[Point], section: Section, thing_id: str, name: str, z_low: float
) -> Member | None:
    """Return the member of a section whose plan is a ring in mm, counter-clockwise; None if none.

    Its width in plan must be the section's width or height.  If both pairs of sides fit, the longer
    pair runs along the member, which runs to the right, or up the table.
    """
    corners = _corners(ring)
    if len(corners) != 4:
        return None
    found = [
        member
        for k in range(4)
        if (member := _along([*corners[k:], *corners[:k]], section, thing_id, name, z_low))
    ]
    return max(found, key=lambda m: (round(m.length, 3), -90.0 < m.turn <= 90.0), default=None)


def _corners(ring: Sequence[Point]) -> list[Point]:
    """The corners of a ring, without points on a straight side."""
    kept = list(ring)
    k = 0
    while len(kept) > 3 and k < len(kept):
        a, p, b = kept[k - 1], kept[k], kept[(k + 1) % len(kept)]
        if abs(_off(p, a, b)) <= _STRAIGHT:
            kept.pop(k)
            k = max(k - 1, 0)
        else:
            k += 1
    return kept


def _off(p: Point, a: Point, b: Point) -> float:
    """How far p is to the left of the line from a to b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = math.hypot(dx, dy)
    if not long:
        return math.dist(p, a)
    return (dx * (p[1] - a[1]) - dy * (p[0] - a[0])) / long


def _along(
    corners: Sequence[Point], section: Section, thing_id: str, name: str, z_low: float
) -> Member | None:
    """The member that runs along the first side, which is its right edge."""
    a, b, c, d = corners
    widths = (_off(c, a, b), _off(d, a, b))
    width = sum(widths) / 2.0
    if abs(widths[0] - widths[1]) > 2 * _STRAIGHT:
        return None
    ways: tuple[tuple[float, WayUp], ...] = ((section.width, 0), (section.height, 90))
    listed, way_up = min(ways, key=lambda way: abs(way[0] - width))
    if abs(listed - width) > FIT:
        return None
    ux, uy = (b[0] - a[0]) / math.dist(a, b), (b[1] - a[1]) / math.dist(a, b)
    right = (0.0, math.dist(a, b))
    left = tuple((p[0] - a[0]) * ux + (p[1] - a[1]) * uy for p in (d, c))
    start, end = (right[0] + left[0]) / 2.0, (right[1] + left[1]) / 2.0
    cuts = _cut(right[0] - left[0], width), _cut(left[1] - right[1], width)
    if end <= start or cuts[0] is None or cuts[1] is None:
        return None
    x, y = a[0] + ux * start - uy * width / 2.0, a[1] + uy * start + ux * width / 2.0
    try:
        return Member(
            id=thing_id,
            name=name,
            section=section,
            length=round(end - start, _DIGITS),
            start=cuts[0],
            end=cuts[1],
            way_up=way_up,
            z_low=z_low,
            x=round(x, _DIGITS),
            y=round(y, _DIGITS),
            turn=round(math.degrees(math.atan2(uy, ux)), _DIGITS),
        )
    except ValueError:  # its end cuts meet
        return None


def _cut(lead: float, width: float) -> EndCut | None:
    """The cut of an end at which the left edge runs `lead` beyond the right; None if too sharp."""
    angle = math.degrees(math.atan2(lead, width))
    if abs(angle) <= _SQUARE:
        return EndCut()
    return EndCut(kind="mitre", angle=round(angle, _DIGITS)) if abs(angle) <= MAX_CUT else None
