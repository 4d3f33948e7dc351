"""A member of the weldment: a length of stock with its two ends cut.

Holds choices only; its plan corners and height range follow from them.
"""

import math
from typing import Annotated, Literal

from msgspec import Meta, Struct

from gridjig.rack import Point, require_finite
from gridjig.rack.piece import Ident

from .stock import Section

WayUp = Literal[0, 90, 180, 270]
MAX_CUT = 85.0


class EndCut(Struct, frozen=True, forbid_unknown_fields=True):
    """How an end is cut, seen in plan.

    `angle` is the saw's angle from square in degrees; positive leaves the long point on the left of
    the member, looking from its start to its end.  A cope is cut to fit a round of the diameter
    `around`, met at that same angle.
    """

    kind: Literal["square", "mitre", "cope"] = "square"
    angle: float = 0.0
    around: float = 0.0

    def __post_init__(self) -> None:
        require_finite("an end cut", self.angle, self.around)
        if abs(self.angle) > MAX_CUT:
            raise ValueError(f"an end is cut at {self.angle:g} degrees; at most {MAX_CUT:g} is cut")
        if self.kind == "square" and self.angle:
            raise ValueError("a square cut has an angle of 0")
        if self.kind == "cope" and self.around <= 0:
            raise ValueError("a cope needs the diameter of the round that it fits around")


class Member(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="member"):
    """A length of stock.  Its frame has its origin at the start, on the centre line in plan.

    x runs along the member.  `length` is measured along the centre line.  `way_up` turns the
    section about that line: at 90 and 270 its listed height lies in plan.  `mirrored` is of the
    opposite hand.  `measured` is the true width and height of the bar at hand where it differs from
    the list; (0, 0) says that it is as listed.
    """

    id: Ident
    name: Annotated[str, Meta(max_length=120)]
    section: Section
    length: float
    start: EndCut = EndCut()
    end: EndCut = EndCut()
    way_up: WayUp = 0
    mirrored: bool = False
    measured: Point = (0.0, 0.0)
    z_low: float = 0.0
    x: float = 0.0
    y: float = 0.0
    turn: float = 0.0

    def __post_init__(self) -> None:
        require_finite(f"member {self.id}", self.length, self.z_low, self.x, self.y, self.turn)
        require_finite(f"member {self.id}", *self.measured)
        if min(self.measured) < 0:
            raise ValueError(f"member {self.id}: a measured size is not less than 0")
        if self.length <= 0:
            raise ValueError(f"member {self.id}: the length must be greater than 0")
        if self.short_point <= 0:
            raise ValueError(f"member {self.id}: its end cuts meet; it is too short for them")

    @property
    def _size(self) -> Point:
        width, height = self.measured
        listed = (width or self.section.width, height or self.section.height)
        return listed if self.way_up in (0, 180) else (listed[1], listed[0])

    @property
    def width(self) -> float:
        """How wide it lies in plan, mm."""
        return self._size[0]

    @property
    def depth(self) -> float:
        """How high it stands, mm."""
        return self._size[1]

    @property
    def z_high(self) -> float:
        """Height of its top above the table, mm."""
        return self.z_low + self.depth

    @property
    def _skew(self) -> Point:
        """How far the left edge runs beyond the centre line at the start and at the end, mm."""
        half = self.width / 2.0
        return (
            half * math.tan(math.radians(self.start.angle)),
            half * math.tan(math.radians(self.end.angle)),
        )

    @property
    def edges(self) -> Point:
        """Lengths of its left and its right edge in plan, mm."""
        at_start, at_end = self._skew
        return (self.length + at_start + at_end, self.length - at_start - at_end)

    @property
    def long_point(self) -> float:
        """Length over its long edge in plan, mm: long point to long point where both ends slope."""
        return max(self.edges)

    @property
    def short_point(self) -> float:
        """Length over its short edge in plan, mm."""
        return min(self.edges)

    @property
    def corners(self) -> tuple[Point, ...]:
        """Its plan shape in its own frame, counter-clockwise, mm.  Tube corners are drawn sharp."""
        at_start, at_end = self._skew
        half, length = self.width / 2.0, self.length
        return (
            (at_start, -half),
            (length - at_end, -half),
            (length + at_end, half),
            (-at_start, half),
        )
