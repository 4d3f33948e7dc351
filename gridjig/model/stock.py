"""The stock that members are cut from: the sizes of a section, and what follows from them.

Values and closed formulas only.  The list of sizes is data (assets/sections.json); a custom section
is one more value.
"""

import math
from typing import Literal, get_args

from msgspec import Struct

from gridjig.rack.piece import Name
from gridjig.units.limits import Extent, LimitError, Size, require_within, value_text

SectionKind = Literal[
    "square tube",
    "rectangular tube",
    "round tube",
    "angle",
    "channel",
    "flat",
    "round bar",
]
KINDS: tuple[SectionKind, ...] = get_args(SectionKind)
TUBES: tuple[SectionKind, ...] = ("square tube", "rectangular tube")
ROUNDS: tuple[SectionKind, ...] = ("round tube", "round bar")
ONE_SIZE: tuple[SectionKind, ...] = ("square tube", *ROUNDS)
"""Kinds that are as wide as they are high."""
WALLED: tuple[SectionKind, ...] = (*TUBES, "round tube", "angle", "channel")
"""Kinds with a wall thickness that the outside size does not give."""
FITS = 1e-6
"""How much, in mm, a radius may exceed its limit: sums of decimals are not exact."""


def corner_radii(wall: float, standard: Literal["EN", "US"] = "EN") -> tuple[float, float]:
    """Outside and inside corner radius of cold-formed tube for section properties, mm.

    Sources: EN 10219-2 annex B: 2T, 1T up to 6 mm of wall; 2.5T, 1.5T up to 10; 3T, 2T above.
    ASTM A500 allows any outside radius up to 3T; published masses of US tube assume 2T, 1T for
    every wall.
    """
    if wall <= 6.0 or standard == "US":
        return (2.0 * wall, wall)
    if wall <= 10.0:
        return (2.5 * wall, 1.5 * wall)
    return (3.0 * wall, 2.0 * wall)


class Section(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The cross-section of a bar; lengths in mm.

    `width` and `height` are the outside sizes as listed (equal for rounds), `wall` is the wall, leg
    or web thickness, `flange` a channel's flange thickness.  `radius` and `toe` are the outside and
    inside corner radii of a tube, or the root and toe radii of an angle or channel.
    """

    name: Name
    kind: SectionKind
    width: Size
    height: Size
    wall: Extent = 0.0
    flange: Extent = 0.0
    radius: Extent = 0.0
    toe: Extent = 0.0

    def __post_init__(self) -> None:
        require_within(self)
        hollow = self.kind in (*TUBES, "round tube")
        thin = self.kind in ("angle", "channel")
        if self.kind in WALLED and not self.wall > 0:
            raise ValueError(f"section {self.name}: the wall must be greater than 0")
        if hollow and 2 * self.wall >= min(self.width, self.height):
            raise ValueError(f"section {self.name}: the walls leave no space inside")
        if thin and self.wall >= min(self.width, self.height):
            raise ValueError(f"section {self.name}: the wall is thicker than the leg is wide")
        if self.kind in ONE_SIZE and self.width != self.height:
            raise ValueError(f"section {self.name}: a {self.kind} must be as wide as it is high")
        if self.kind == "channel" and not 0 < 2 * self.flange < self.height:
            raise ValueError(f"section {self.name}: the flanges do not fit its height")
        self._require_radii()

    def _require_radii(self) -> None:
        """Raises ValueError for a corner radius that is too large for the section."""
        least = min(self.width, self.height)
        outer, inner = least / 2.0, least / 2.0
        first, second = "outside corner radius", "inside corner radius"
        if self.kind in TUBES:
            inner = min(least / 2.0 - self.wall, self.radius)
            if self.radius - self.toe > 3.0 * self.wall:
                why = "the outside corner radius cuts through the wall"
                raise ValueError(f"section {self.name}: {why}; make it smaller")
        elif self.kind == "angle":
            outer, inner = least - self.wall, self.wall
            first, second = "root radius", "toe radius"
        elif self.kind == "channel":
            outer = min(self.height / 2.0 - self.flange, self.width - self.wall)
            inner = self.flange
            first, second = "root radius", "toe radius"
        for what, size, most in ((first, self.radius, outer), (second, self.toe, inner)):
            if size > most + FITS:
                can = f"it must be at most {value_text(most, 'length')}"
                raise LimitError(
                    f"section {self.name}: the {what} is {value_text(size, 'length')}; {can}"
                )

    @property
    def handed(self) -> bool:
        """True if the section can have a left and a right: an angle or a channel."""
        return self.kind in ("angle", "channel")

    @property
    def area(self) -> float:
        """The area of steel in mm2.

        Sources: tubes EN 10219-2 annex B; angles EN 10056 with root radius r1 and toe radius r2,
        A = t(a + b - t) + (1 - pi/4)(r1^2 - 2 r2^2); channels with parallel flanges and two root
        fillets (EN 10365 form); the rest are plain geometry.
        """
        w, h, t = self.width, self.height, self.wall
        round_off = 1.0 - math.pi / 4.0
        match self.kind:
            case "square tube" | "rectangular tube":
                corners = (4.0 - math.pi) * (self.radius**2 - self.toe**2)
                return 2.0 * t * (w + h - 2.0 * t) - corners
            case "round tube":
                return math.pi * (w - t) * t
            case "angle":
                return t * (w + h - t) + round_off * (self.radius**2 - 2.0 * self.toe**2)
            case "channel":
                legs = 2.0 * w * self.flange + (h - 2.0 * self.flange) * t
                return legs + 2.0 * round_off * (self.radius**2 - self.toe**2)
            case "flat":
                return w * h
            case _:  # a round bar
                return math.pi * w * w / 4.0

    def mass(self, density: float = 7850.0) -> float:
        """The mass in kg per metre; density in kg/m3."""
        return self.area * density * 1e-6
