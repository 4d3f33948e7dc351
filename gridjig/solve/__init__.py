"""How pieces go onto pins: what a placement stands like, what a click means, where it can go.

What counts with arrays or areas (`poses`, `reach`, `reach_table`, the angles) is asked by its own
module: they cost a tenth of a second to load, and a table can be shown without them.
"""

from .click import (
    Wish,
    nearest_leaf,
    nearest_slide,
    nearest_turn,
    stand_at,
    turn_next,
)
from .drag import drag_to
from .leaf import leaf_pose, mount_leaf
from .mount import mount
from .place import hole_fault
from .spot import Spot, Spots
from .spots import spots
from .stand import stand
from .stands import Stands
from .stood import (
    Choice,
    Part,
    Stand,
    StoodFace,
    StoodRest,
    StoodRound,
    StoodSolid,
    StoodTip,
)
from .way import LeafMounting, LeafWay, Mounting, Way

__all__ = [
    "Choice",
    "LeafMounting",
    "LeafWay",
    "Mounting",
    "Part",
    "Spot",
    "Spots",
    "Stand",
    "Stands",
    "StoodFace",
    "StoodRest",
    "StoodRound",
    "StoodSolid",
    "StoodTip",
    "Way",
    "Wish",
    "drag_to",
    "hole_fault",
    "leaf_pose",
    "mount",
    "mount_leaf",
    "nearest_leaf",
    "nearest_slide",
    "nearest_turn",
    "spots",
    "stand",
    "stand_at",
    "turn_next",
]
