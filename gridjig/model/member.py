"""A member of the weldment: a length of stock with its two ends cut.

Holds choices only; its plan corners and height range follow from them.
"""

import math
from itertools import pairwise
from typing import Annotated, Literal

from msgspec import Meta, Struct, structs

from gridjig.rack import Point
from gridjig.rack.piece import Ident
from gridjig.units.limits import (
    LEAST,
    Angle,
    Extent,
    Length,
    LimitError,
    Size,
    require_within,
    value_text,
)

from .endcut import EndCut
from .stock import ROUNDS, Section

WayUp = Literal[0, 90, 180, 270]
MemberLine = Literal["left", "centre", "right"]
_OTHER: dict[MemberLine, MemberLine] = {"left": "right", "centre": "centre", "right": "left"}
_FACETS = 24
"""Straight facets that a coped end is drawn with."""


def turned_over(way_up: WayUp) -> WayUp:
    """The way up after half a turn about the member's own line."""
    over: dict[WayUp, WayUp] = {0: 180, 90: 270, 180: 0, 270: 90}
    return over[way_up]


class Member(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="member"):
    """A length of stock.  The origin of its frame is at the start, on the centre line in plan.

    x runs along the member.  `length` is measured along the centre line; at a coped end, to the
    side of the round.  `way_up` turns the section clockwise about that line, seen from the start.
    At 0 the listed width lies flat and the listed height is upright; an angle's leg of that width
    lies at the bottom and the other is upright on the right; a channel's web is upright on the
    right.  At 90 an angle's heel is at the bottom left and a channel lies on its web.  `mirrored`
    then swaps left and right.  `measured` is the actual width and height of the bar where they
    differ from the list; 0 means as listed.  `line_kept` is the line in plan that stays in place
    when its section or way up changes, the centre line or a long face: the one it was drawn on.
    """

    id: Ident
    name: Annotated[str, Meta(max_length=120)]
    section: Section
    length: Size
    start: EndCut = EndCut()
    end: EndCut = EndCut()
    way_up: WayUp = 0
    mirrored: bool = False
    measured: tuple[Extent, Extent] = (0.0, 0.0)
    z_low: Length = 0.0
    x: Length = 0.0
    y: Length = 0.0
    turn: Angle = 0.0
    line_kept: MemberLine = "centre"

    def __post_init__(self) -> None:
        where = f"member {self.name or self.id}"
        require_within(self)
        for size in self.measured:
            if 0 < size < LEAST:
                can = f"{value_text(LEAST, 'length')} or more, or 0 where it is as listed"
                raise LimitError(f"{where}: the measured size can be {can}")
        for cut in (self.start, self.end):
            if cut.kind == "cope" and cut.around < self.depth:
                raise ValueError(f"{where}: it is higher than the round that it is coped to")
            if cut.kind == "notch" and cut.across >= self.width:
                raise ValueError(f"{where}: the notch is wider than the member")
        if self.short_point <= 0:
            raise ValueError(f"{where}: its end cuts meet; it is too short for them")

    @property
    def _size(self) -> Point:
        width, height = self.measured
        listed = (width or self.section.width, height or self.section.height)
        return listed if self.way_up in (0, 180) else (listed[1], listed[0])

    @property
    def width(self) -> float:
        """Width in plan, mm."""
        return self._size[0]

    @property
    def depth(self) -> float:
        """Height above its underside, mm."""
        return self._size[1]

    @property
    def z_high(self) -> float:
        """Height of the top above the table, mm."""
        return self.z_low + self.depth

    @property
    def edges(self) -> Point:
        """Lengths of the left and the right edge in plan, mm."""
        half = self.width / 2.0
        return (self.line(half), self.line(-half))

    def line(self, across: float) -> float:
        """Length in plan along the line at that distance left of the centre line, mm."""
        width = self.width
        rise = self._rise(across)
        return (
            self.length
            + self.start.reach(across, rise, width)
            + self.end.reach(across, rise, width)
        )

    def _rise(self, across: float) -> float:
        """Height of the steel above the centre on the line at that distance, mm."""
        width, depth = self._size
        if self.section.kind not in ROUNDS:
            return depth / 2.0
        return depth / 2.0 * math.sqrt(max(1.0 - (2.0 * across / width) ** 2, 0.0))

    @property
    def breaks(self) -> list[float]:
        """Distances across between which both ends are smooth, from right to left; mm."""
        half = self.width / 2.0
        bites = [
            half - cut.across if cut.side == "left" else cut.across - half
            for cut in (self.start, self.end)
            if cut.kind == "notch"
        ]
        for cut in (self.start, self.end):
            if cut.more:
                bites += [across for across, _ in self._profile(cut) if -half < across < half]
        return [-half, *sorted(set(bites)), half]

    @property
    def long_point(self) -> float:
        """Length to the long points of sloping ends, mm: that of the longest line in plan.

        If an end has several cuts, it is measured along the member from the furthest point of one
        end to that of the other.
        """
        if self.start.plain and self.end.plain:
            return max(self.edges)
        if self.start.more or self.end.more:
            ends = (self._profile(cut) for cut in (self.start, self.end))
            return self.length + sum(max(beyond for _, beyond in end) for end in ends)
        return max(self._longest(low, high) for low, high in pairwise(self.breaks))

    def _longest(self, low: float, high: float) -> float:
        """The longest line between two distances across, found by ternary search.

        Between breaks the length first rises and then falls (a saddle).
        """
        inside = (high - low) * 1e-9
        low, high = low + inside, high - inside
        for _ in range(60):
            third = (high - low) / 3.0
            if self.line(low + third) < self.line(high - third):
                low += third
            else:
                high -= third
        return self.line((low + high) / 2.0)

    @property
    def short_point(self) -> float:
        """Length of the shortest line in plan, mm."""
        left, right = self.edges
        return min(left, right)

    @property
    def mill_edges(self) -> tuple[int, int]:
        """The sides of `corners` that are mill faces: the right and the left one.

        Side k runs from corner k to the next; all other sides are cut.
        """
        return (0, len(self._profile(self.end)))

    def _profile(self, cut: EndCut) -> list[Point]:
        """An end from right to left: distance across, and distance beyond the nominal end; mm."""
        return cut.below_saws(self._first_cut(cut)) if cut.more else self._first_cut(cut)

    def _first_cut(self, cut: EndCut) -> list[Point]:
        """The profile of an end with only its first cut."""
        half = self.width / 2.0
        if cut.kind == "notch":
            inner = half - cut.across
            if cut.side == "left":
                return [(-half, 0.0), (inner, 0.0), (inner, -cut.along), (half, -cut.along)]
            return [(-half, -cut.along), (-inner, -cut.along), (-inner, 0.0), (half, 0.0)]
        if cut.kind == "cope" and self.section.kind in ROUNDS:
            turns = [math.pi * k / _FACETS for k in range(_FACETS + 1)]
            places = [-half, *(-half * math.cos(turn) for turn in turns[1:-1]), half]
        else:
            places = [-half, half]
        return [(place, cut.beyond(place, self._rise(place))) for place in places]

    @property
    def corners(self) -> tuple[Point, ...]:
        """The plan shape in its own frame, counter-clockwise, mm.  Tube corners are drawn sharp.

        The first two corners are the ends of the right face.
        """
        start = [(-beyond, across) for across, beyond in self._profile(self.start)]
        end = [(self.length + beyond, across) for across, beyond in self._profile(self.end)]
        return (start[0], *end, *start[:0:-1])

    @property
    def opposite_hand(self) -> "Member":
        """The member mirrored about its centre line in plan: left and right swap."""
        return structs.replace(
            self,
            start=self.start.opposite,
            end=self.end.opposite,
            mirrored=not self.mirrored if self.section.handed else False,
            line_kept=_OTHER[self.line_kept],
        )

    @property
    def turned_over(self) -> "Member":
        """The member after half a turn about its centre line: top and bottom swap too."""
        return structs.replace(
            self,
            start=self.start.opposite,
            end=self.end.opposite,
            way_up=turned_over(self.way_up),
            line_kept=_OTHER[self.line_kept],
        )
