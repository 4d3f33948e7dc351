"""What a shop needs room for, and what it lets one person lift: values of its own."""

from typing import Annotated

from msgspec import Meta, Struct

from gridjig.units.limits import Extent, Mass, Size, require_within

Lean = Annotated[float, Meta(ge=0.0, le=80.0, extra={"quantity": "angle"})]


class Shop(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The room for a torch, the distance to keep from welds, what one person lifts, what stands.

    The torch takes a cone with its tip in the weld, `torch_radius` mm wide at `torch_length` mm
    from it; it may lean `torch_lean` degrees from the middle of the corner.  No published source
    gives these: measure the shop's own gun.  `weld_clear` is how far pieces should stay from a
    weld, mm (common practice, no source).  `one_lifts` kg is the most that one person lifts: 23 kg
    is the load constant of the NIOSH lifting equation, for an ideal posture.  What tips at less
    than `steady` degrees is held until it is tacked (common practice, no source).
    """

    torch_radius: Size = 40.0
    torch_length: Size = 100.0
    torch_lean: Lean = 30.0
    weld_clear: Extent = 25.0
    one_lifts: Mass = 23.0
    steady: Lean = 15.0

    def __post_init__(self) -> None:
        require_within(self)
