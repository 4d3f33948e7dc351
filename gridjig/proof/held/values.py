"""How parts and weldments are held, as plain values: N, mm, degrees, table coordinates."""

from typing import Literal

from msgspec import Struct

from gridjig.rack import Point

from .forces import ClampForce

HeldBy = Literal["clamps", "shape", "friction", "weight", "nothing"]


class Reaction(Struct, frozen=True):
    """How hard the clamps press the work against one locator, N, if nothing had any friction.

    `lifts`: the clamps push the work off it; then the reaction, below 0, is what it would take to
    keep the work there.
    """

    placement: str
    reaction: float
    lifts: bool


class Clamping(Struct, frozen=True):
    """What one clamp does.  `push` is "down" or "along"; `part` is what it presses.

    `off` is the distance from its line of force to the nearest support, mm; None if there is none.
    `overhang` is how far a push along the table is above (positive) or below (negative) the
    heights at which locators stand against it, mm; `climbs` if that turns the part out of its
    seat, against its weight and the clamps that press it down.  `force` is what it presses with.
    """

    placement: str
    part: str
    push: Literal["down", "along"]
    at: Point
    off: float | None
    overhang: float = 0.0
    climbs: bool = False
    force: ClampForce = ClampForce(0.0, "shop")


class Held(Struct, frozen=True):
    """How one part, or a weldment as one body, is held in plan; `clamps` press it.

    "clamps": pushed against locators that locate it, without friction.  "shape": its locators let
    it go nowhere.  "friction": clamps hold it down, and only friction keeps it where it is, against
    a push of `push` N at `at`, its farthest corner.  "weight": not clamped at all; `push` is what
    friction under its own weight takes.  "nothing": the clamps push it out, whatever friction there
    is.  `lifts` are the locators that the clamps push it off;
    `parts` those of a weldment that are joined to each other.  `forces` are what the clamps press
    with, in their order.
    """

    id: str
    by: HeldBy
    push: float | None
    at: Point
    clamps: tuple[str, ...]
    lifts: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    forces: tuple[ClampForce, ...] = ()


class HeldReport(Struct, frozen=True, eq=False):
    """The reactions by placement in job order, what each clamp does, and how everything is held.

    `force` is the shop's for clamps that have none of their own, N, and `friction` the
    coefficient that was reckoned with.
    """

    locators: tuple[Reaction, ...]
    clamps: tuple[Clamping, ...]
    parts: tuple[Held, ...]
    weldments: tuple[Held, ...]
    force: float
    friction: float
