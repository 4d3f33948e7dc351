"""How an end of a member is cut, and how far the steel then runs beyond the nominal end.

Seen in plan.  `across` is the distance from the member's centre line, positive to the left, looking
from its start to its end.
"""

import math
from typing import Annotated, Literal

from msgspec import Meta, Struct, structs

from gridjig.units.limits import Extent, require_within

CutKind = Literal["square", "mitre", "cope", "notch"]
CutSide = Literal["left", "right"]
MAX_CUT = 85.0


class EndCut(Struct, frozen=True, forbid_unknown_fields=True):
    """How an end is cut, seen in plan.

    `angle` is the saw's angle from square in degrees; positive puts the long point on the left of
    the member, looking from its start to its end.  A cope is cut to fit a round of diameter
    `around`, which it meets at that angle with both centre lines at the same height.  A notch is a
    square cut with a rectangle of `along` x `across` mm cut from the corner on its `side`.
    """

    kind: CutKind = "square"
    angle: Annotated[float, Meta(ge=-MAX_CUT, le=MAX_CUT, extra={"quantity": "angle"})] = 0.0
    around: Extent = 0.0
    along: Extent = 0.0
    across: Extent = 0.0
    side: CutSide = "left"

    def __post_init__(self) -> None:
        require_within(self)
        if self.kind in ("square", "notch") and self.angle:
            raise ValueError(f"a {self.kind} cut has an angle of 0")
        if self.kind == "cope" and self.around <= 0:
            raise ValueError("a cope needs the diameter of the tube it fits around")
        if self.kind != "cope" and self.around:
            raise ValueError(f"a {self.kind} cut has no cope; leave the cope diameter at 0")
        if self.kind == "notch" and min(self.along, self.across) <= 0:
            raise ValueError("a notch needs a length along the member and a width across it")
        if self.kind != "notch" and (self.along or self.across):
            raise ValueError(f"a {self.kind} cut has no notch; leave its sizes at 0")

    @property
    def opposite(self) -> "EndCut":
        """The same cut with left and right swapped."""
        side: CutSide = "right" if self.side == "left" and self.kind == "notch" else "left"
        return structs.replace(self, angle=0.0 - self.angle, side=side)

    def beyond(self, across: float, rise: float) -> float:
        """How far a fibre runs beyond the nominal end, mm; `rise` is its height above the centre.

        A mitre adds across * tan(angle).  In a cope, a fibre off the centre height runs on until it
        meets the round, which curves away there: R/cos(angle) - sqrt(R^2 - rise^2)/cos(angle).
        This is the saddle r cos p / tan T + sqrt(R^2 - r^2 sin^2 p) / sin T, T = 90 - angle,
        measured from the side of the round instead of its centre line.
        """
        slope = across * math.tan(math.radians(self.angle))
        if self.kind != "cope":
            return slope
        radius = self.around / 2.0
        lower = radius - math.sqrt(max(radius * radius - rise * rise, 0.0))
        return slope + lower / math.cos(math.radians(self.angle))

    def bitten(self, across: float, width: float) -> bool:
        """True where the notch removes steel, in a member of that width; mm."""
        if self.kind != "notch":
            return False
        towards = across if self.side == "left" else -across
        return towards > width / 2.0 - self.across
