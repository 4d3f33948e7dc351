"""Why a placement cannot be made so, as values; `piece` is the name of the piece."""

from typing import Literal

from msgspec import Struct

from gridjig.solve.mounting.faults import MountFault


class NotOnRack(Struct, frozen=True):
    """The rack has no piece with this id."""

    piece: str


class SettingFault(Struct, frozen=True):
    """What a piece cannot have: packing without a face, or a locked arm on a loose base."""

    piece: str
    what: Literal["no face to pack", "base not fixed"]


PlacedFault = MountFault | NotOnRack | SettingFault
