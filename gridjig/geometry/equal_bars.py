"""Which cut bars are alike, and which are each other's opposite hand.

A bar may be laid any way that keeps its shape: end for end, turned over; what lies differently on
the table is then one line of the cut list all the same.
"""

from collections.abc import Iterator
from typing import TypeAlias

from msgspec import Struct

from gridjig.model import EndCut, Member, Section, WayUp
from gridjig.model.member import turned_over

_CutKey: TypeAlias = tuple[str, float, float, float, float, str]
BarShape: TypeAlias = tuple[int, bool, _CutKey, _CutKey]
"""One of the ways a bar can lie: way up, mirrored, and both of its cuts, rounded."""


class Bar(Struct, frozen=True):
    """What one cut bar is, however it lies: two members with equal values are alike.

    `length` is over the long point, to a hundredth of a millimetre.
    """

    section: Section
    length: float
    shape: BarShape


def bar_of(member: Member) -> Bar:
    """The bar that a member is, however it lies."""
    return Bar(member.section, _length(member), min(_lying(member)))


def opposite_of(member: Member) -> Bar:
    """The bar of the opposite hand; equal to `bar_of` where a bar is its own opposite hand."""
    return bar_of(member.opposite_hand)


def _length(member: Member) -> float:
    return round(member.long_point, 2) + 0.0


def _lying(member: Member) -> Iterator[BarShape]:
    """Every way the bar can be laid with its cuts still plumb."""
    start, end, section = member.start, member.end, member.section
    square = start.kind == end.kind == "square"
    ways: tuple[WayUp, ...] = (0, 90, 180, 270) if square else (member.way_up,)
    for way in ways:
        for over in (False, True):
            turned = turned_over(way) if over else way
            first, last = (start.opposite, end.opposite) if over else (start, end)
            yield _shape(section, turned, member.mirrored, first, last)
            # End for end: seen from the other end, left is right, in the section as in the cuts.
            yield _shape(section, turned, not member.mirrored, last.opposite, first.opposite)


def _shape(section: Section, way_up: WayUp, mirrored: bool, start: EndCut, end: EndCut) -> BarShape:
    return (*_settled(section, way_up, mirrored), _key(start), _key(end))


def _settled(section: Section, way_up: WayUp, mirrored: bool) -> tuple[int, bool]:
    """One name for all the ways in which a section looks the same because it is symmetrical."""
    match section.kind:
        case "square tube" | "round tube" | "round bar":
            return (0, False)
        case "rectangular tube" | "flat":
            return (way_up % 180, False)
        case "channel":
            # Level on its web or its toes it is its own mirror image; else half a turn mirrors it.
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
    return (cut.kind, round(cut.angle, 3) + 0.0, around, along, across, cut.side)
