"""How an end of a member is cut, and how far the steel then runs beyond the nominal end.

Seen in plan.  `across` is the distance from the member's centre line, positive to the left, looking
from its start to its end.
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Annotated, Literal

from msgspec import Meta, Struct, structs

from gridjig.rack import Point
from gridjig.units.limits import Extent, Length, require_within

CutKind = Literal["square", "mitre", "cope", "notch"]
CutSide = Literal["left", "right"]
MAX_CUT = 85.0
CutAngle = Annotated[float, Meta(ge=-MAX_CUT, le=MAX_CUT, extra={"quantity": "angle"})]
MOST_MORE = 3
"""How many further saw cuts an end may have: two make a point, and each may be nipped off."""


class SawCut(Struct, frozen=True, forbid_unknown_fields=True):
    """A further saw cut at an end.  What lies beyond any of an end's cuts is taken off.

    `angle` is counted as in `EndCut`.  `past` is how far beyond the nominal end the cut crosses the
    centre line, mm; two cuts that cross it at the nominal end make a point there.
    """

    angle: CutAngle = 0.0
    past: Length = 0.0

    def __post_init__(self) -> None:
        require_within(self)

    @property
    def slope(self) -> float:
        """How much further the cut lies for each mm to the left."""
        return math.tan(math.radians(self.angle))

    def beyond(self, across: float) -> float:
        """How far beyond the nominal end the cut lies at that distance across, mm."""
        return self.past + across * self.slope


class EndCut(Struct, frozen=True, forbid_unknown_fields=True):
    """How an end is cut, seen in plan.

    `angle` is the saw's angle from square in degrees; positive puts the long point on the left of
    the member, looking from its start to its end.  A cope is cut to fit a round of diameter
    `around`, which it meets at that angle with both centre lines at the same height.  A notch is a
    square cut with a rectangle of `along` x `across` mm cut from the corner on its `side`.  `more`
    are further saw cuts, as for an end that is pointed between two members.
    """

    kind: CutKind = "square"
    angle: CutAngle = 0.0
    around: Extent = 0.0
    along: Extent = 0.0
    across: Extent = 0.0
    side: CutSide = "left"
    more: Annotated[tuple[SawCut, ...], Meta(max_length=MOST_MORE)] = ()

    def __post_init__(self) -> None:
        require_within(self)
        if self.kind in ("square", "notch") and self.angle:
            raise ValueError(f"a {self.kind} cut has an angle of 0")
        if self.kind == "cope" and self.around <= 0:
            raise ValueError("a cope needs the diameter of the round it fits")
        if self.kind != "cope" and self.around:
            raise ValueError(f"a {self.kind} cut fits no round; leave that diameter at 0")
        if self.kind == "notch" and min(self.along, self.across) <= 0:
            raise ValueError("a notch needs a length along the member and a width across it")
        if self.kind != "notch" and (self.along or self.across):
            raise ValueError(f"a {self.kind} cut has no notch; leave its sizes at 0")

    @property
    def opposite(self) -> "EndCut":
        """The same cut with left and right swapped."""
        side: CutSide = "right" if self.side == "left" and self.kind == "notch" else "left"
        more = tuple(SawCut(0.0 - saw.angle, saw.past) for saw in self.more)
        return structs.replace(self, angle=0.0 - self.angle, side=side, more=more)

    @property
    def plain(self) -> bool:
        """True for a single straight cut across the whole end."""
        return self.kind in ("square", "mitre") and not self.more

    @property
    def saws(self) -> tuple[SawCut, ...]:
        """All straight cuts of the end, the first one first; a cope or a notch is none."""
        first = (SawCut(self.angle),) if self.kind in ("square", "mitre") else ()
        return (*first, *self.more)

    def beyond(self, across: float, rise: float) -> float:
        """How far the first cut lets a fibre run beyond the nominal end, mm.

        `rise` is its height above the centre.

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

    def reach(self, across: float, rise: float, width: float) -> float:
        """How far a fibre of a member of that width runs beyond the nominal end, mm, cuts counted.

        `across` and `rise` as in `beyond`.
        """
        bite = self.along if self.bitten(across, width) else 0.0
        saws = (saw.beyond(across) for saw in self.more)
        return (
            min(self.beyond(across, rise) - bite, *saws)
            if self.more
            else (self.beyond(across, rise) - bite)
        )

    def slope(self, across: float, rise: float, width: float) -> float:
        """How much further the end runs for each mm to the left, at that place."""
        first = SawCut(self.angle)
        bite = self.along if self.bitten(across, width) else 0.0
        cuts = [(self.beyond(across, rise) - bite, first.slope)]
        cuts += [(saw.beyond(across), saw.slope) for saw in self.more]
        return min(cuts, key=lambda cut: cut[0])[1]

    def facets(self, width: float) -> tuple[tuple[float, float], ...]:
        """Angle and width across, mm, of each face of a sawn end of that width, right to left."""
        half = width / 2.0
        profile = [(across, self.beyond(across, 0.0)) for across in (-half, half)]
        found = []
        for (low, a), (high, b) in pairwise(self.below_saws(profile)):
            found.append((math.degrees(math.atan2(b - a, high - low)), high - low))
        return tuple(found)

    def below_saws(self, profile: Sequence[Point]) -> list[Point]:
        """The profile that the further cuts leave of that of the first one.

        Points are (across, beyond) in mm, from right to left; so is the answer.
        """
        made = list(profile)
        for saw in self.more:
            made = _below(made, saw)
        return made


def _below(profile: list[Point], saw: SawCut) -> list[Point]:
    """The profile, or the saw's line where that is lower; without points along the line."""
    over = [(across, beyond, beyond - saw.beyond(across)) for across, beyond in profile]
    made: list[tuple[Point, bool]] = []
    for index, (across, beyond, off) in enumerate(over):
        cut = off > _LEVEL
        made.append(((across, beyond - off if cut else beyond), cut))
        if index + 1 < len(over):
            further, there, its = over[index + 1]
            if min(off, its) < -_LEVEL and max(off, its) > _LEVEL:
                share = off / (off - its)
                place = across + share * (further - across)
                made.append(((place, beyond + share * (there - beyond)), True))
    last = len(made) - 1
    kept = [
        point
        for k, (point, on) in enumerate(made)
        if not (on and 0 < k < last and made[k - 1][1] and made[k + 1][1])
    ]
    return [kept[0], *(q for p, q in pairwise(kept) if p != q)]


_LEVEL = 1e-9
