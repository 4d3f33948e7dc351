"""What the shop reckons with when it asks whether clamps hold the work."""

from typing import Annotated

from msgspec import Meta, Struct

from gridjig.units.limits import Force, require_within

Friction = Annotated[float, Meta(ge=0.0, le=1.0, extra={"quantity": "number"})]


class Holding(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The force of a clamp, N, and the coefficient of friction between work, pieces and table.

    Both are shop values.  The force is a round figure to start from (common practice, no source;
    nothing published for tacking jigs was found) for clamps whose own force is not
    known.  The friction is that of steel on steel with some oil (from memory: handbooks of
    workholding give 0.1 to 0.2).
    """

    clamp_force: Force = 1000.0
    friction: Friction = 0.15

    def __post_init__(self) -> None:
        require_within(self)
