"""How pieces go onto pins: attainable poses, what a placement stands like, what an arm reaches."""

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
from .poses import PoseTable, poses
from .reach import Reach, ReachAngle, reach
from .reach_table import Place, Places, reach_table
from .spots import Spot, Spots, spots
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
    "Place",
    "Places",
    "PoseTable",
    "Reach",
    "ReachAngle",
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
    "poses",
    "reach",
    "reach_table",
    "spots",
    "stand",
    "stand_at",
    "turn_next",
]
