"""What a job allows for as its joints shrink: the shop's own values, and what is set open for them.

These are choices beside the drawing: they change no part and move no stop.
"""

from typing import Annotated

from msgspec import Meta, Struct

from gridjig.rack.piece import Ident
from gridjig.units.limits import WELDS, Extent, Length, require_within


class JointAllowance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """For one joint, the `nth` between parts `a` and `b`; mm.

    `measured` is by how much this joint closes in this shop, as measured on a trial piece, within
    +- `spread`; None goes by the published rules.  `opened` is how much wider than drawn the joint
    is set in the jig.
    """

    a: Ident
    b: Ident
    nth: Annotated[int, Meta(ge=0, le=1_000_000)] = 0
    measured: Extent | None = None
    spread: Extent = 0.0
    opened: Length = 0.0

    def __post_init__(self) -> None:
        require_within(self)
        if self.a == self.b:
            raise ValueError(f"a joint is between two parts, not between {self.a} and itself")


class PartAllowance(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A member that is cut and set `longer` than drawn, mm; below 0 it is shorter."""

    part: Ident
    longer: Length = 0.0

    def __post_init__(self) -> None:
        require_within(self)


class Allowances(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Everything that a job allows for; joints and parts that are gone do no harm."""

    joints: Annotated[tuple[JointAllowance, ...], WELDS] = ()
    parts: Annotated[tuple[PartAllowance, ...], WELDS] = ()

    def __post_init__(self) -> None:
        require_within(self)
        joints = {(frozenset((one.a, one.b)), one.nth) for one in self.joints}
        if len(joints) < len(self.joints):
            raise ValueError("a joint has two allowances; it takes one")
        if len({one.part for one in self.parts}) < len(self.parts):
            raise ValueError("a part has two allowances; it takes one")
