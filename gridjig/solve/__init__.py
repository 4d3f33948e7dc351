"""How pieces go onto pins: attainable poses, what a placement stands like, what an arm reaches."""

from .mount import LeafMounting, LeafWay, Mounting, Way, mount, mount_leaf
from .stand import (
    Choice,
    Part,
    Stand,
    StoodFace,
    StoodRest,
    StoodRound,
    StoodSolid,
    StoodTip,
    stand,
)
from .stands import Stands

__all__ = [
    "Choice",
    "LeafMounting",
    "LeafWay",
    "Mounting",
    "Part",
    "Stand",
    "Stands",
    "StoodFace",
    "StoodRest",
    "StoodRound",
    "StoodSolid",
    "StoodTip",
    "Way",
    "mount",
    "mount_leaf",
    "stand",
]
