"""Every pose that a hole allows a piece, whichever of its features goes into that hole."""

from typing import NamedTuple

from gridjig.model import Hole, Table
from gridjig.rack import MountFeature, Piece, Rack

from .attainable import AttainablePose, TakenHoles
from .search_holes import attainable_poses


class HolePose(NamedTuple):
    """A pose, the feature that goes into the hole, and that feature's place among the piece's."""

    feature: MountFeature
    pose: AttainablePose
    order: int


def features_by_hole(piece: Piece) -> tuple[MountFeature, ...]:
    """The features of the base that can go into a hole; the one that is usually meant first."""
    from .pose_table import first_feature  # noqa: PLC0415  # late: numpy costs 0.1 s at the start

    first = first_feature(piece)
    others = [m for m in piece.mounts if m.body == 0 and m is not first]
    return () if first is None else (first, *others)


def hole_poses(
    table: Table, rack: Rack, piece: Piece, hole: Hole, flipped: bool, taken: TakenHoles
) -> tuple[HolePose, ...]:
    """All poses with any feature of the piece's base in the hole, each once."""
    pin = rack.pin_diameter(piece)
    found: dict[object, HolePose] = {}
    for order, feature in enumerate(features_by_hole(piece)):
        every = attainable_poses(table, piece, pin, hole, taken, flipped, feature)
        for pose in every.found:
            key = (frozenset(pose.seats), pose.low, pose.high, pose.slide_low, pose.slide_high)
            found.setdefault(key, HolePose(feature, pose, order))
    return tuple(found.values())
