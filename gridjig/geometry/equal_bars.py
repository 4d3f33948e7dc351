"""Which cut bars are identical, and which are each other's opposite hand.

A bar can be laid in any way that keeps its shape, such as end for end or turned over, so members
that lie differently on the table can still be one line of the cut list.
"""

from collections.abc import Iterator
from typing import TypeAlias

from msgspec import Struct

from gridjig.model import EndCut, Member, Section, WayUp
from gridjig.model.member import turned_over

_CutKey: TypeAlias = tuple[str, float, float, float, float, str, tuple[tuple[float, float], ...]]
BarShape: TypeAlias = tuple[int, bool, _CutKey, _CutKey]
"""One way a bar can lie: way up, mirrored, and both cuts, rounded."""


class Bar(Struct, frozen=True):
    """A cut bar, however it lies: members with equal values are identical.

    `length` is to the long point, in mm, rounded to hundredths.
    """

    section: Section
    length: float
    shape: BarShape


def bar_of(member: Member) -> Bar:
    """The bar a member is made of, however it lies."""
    return Bar(member.section, _length(member), min(_orientations(member)))


def opposite_of(member: Member) -> Bar:
    """The bar of the opposite hand; equal to `bar_of` if the bar is its own opposite hand."""
    return bar_of(member.opposite_hand)


def _length(member: Member) -> float:
    return round(member.long_point, 2) + 0.0


def _orientations(member: Member) -> Iterator[BarShape]:
    """Every way the bar can be laid with its cuts plumb."""
    start, end, section = member.start, member.end, member.section
    square = start.kind == end.kind == "square"
    ways: tuple[WayUp, ...] = (0, 90, 180, 270) if square else (member.way_up,)
    for way in ways:
        for over in (False, True):
            turned = turned_over(way) if over else way
            first, last = (start.opposite, end.opposite) if over else (start, end)
            yield _shape(section, turned, member.mirrored, first, last)
            # End for end: left and right swap, in the section as in the cuts.
            yield _shape(section, turned, not member.mirrored, last.opposite, first.opposite)


def _shape(section: Section, way_up: WayUp, mirrored: bool, start: EndCut, end: EndCut) -> BarShape:
    return (*_settled(section, way_up, mirrored), _key(start), _key(end))


def _settled(section: Section, way_up: WayUp, mirrored: bool) -> tuple[int, bool]:
    """The canonical orientation among those in which a symmetrical section looks the same."""
    match section.kind:
        case "square tube" | "round tube" | "round bar":
            return (0, False)
        case "rectangular tube" | "flat":
            return (way_up % 180, False)
        case "channel":
            # On its web or its toes it is its own mirror image; otherwise half a turn mirrors it.
            if way_up in (90, 270):
                return (way_up, False)
            return (0, mirrored is (way_up == 0))
        case _:  # an angle
            if section.width != section.height or not mirrored:
                return (way_up, mirrored)
            return ({0: 90, 90: 0, 180: 270, 270: 180}[way_up], False)


def _key(cut: EndCut) -> _CutKey:
    sizes = (round(v, 2) + 0.0 for v in (cut.around, cut.along, cut.across))
    around, along, across = sizes
    first, more = _cuts_key(cut)
    kind = "sawn" if more and cut.kind in ("square", "mitre") else cut.kind
    return (kind, first, around, along, across, cut.side, more)


def _cuts_key(cut: EndCut) -> tuple[float, tuple[tuple[float, float], ...]]:
    """The angle of the first cut, and the further cuts with where they cross the centre line.

    Of several saw cuts that cross it in the same place, any may be called the first.
    """
    first = round(cut.angle, 3) + 0.0
    more = [(round(saw.angle, 3) + 0.0, round(saw.past, 2) + 0.0) for saw in cut.more]
    if cut.kind in ("square", "mitre"):
        same = sorted([first, *(angle for angle, past in more if past == 0.0)])
        more = [*((angle, 0.0) for angle in same[1:]), *(one for one in more if one[1] != 0.0)]
        first = same[0]
    return first, tuple(sorted(more))
