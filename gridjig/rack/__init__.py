"""Pieces of the rack as data.  Knows nothing of tables, jobs or the window."""

from .piece import (
    ArcSlot,
    ClampTip,
    Face,
    Hand,
    Kind,
    MountFeature,
    Piece,
    Pivot,
    Point,
    Rest,
    Round,
    RoundHole,
    Shank,
    Solid,
    StraightSlot,
)
from .rack import Rack

__all__ = [
    "ArcSlot",
    "ClampTip",
    "Face",
    "Hand",
    "Kind",
    "MountFeature",
    "Piece",
    "Pivot",
    "Point",
    "Rack",
    "Rest",
    "Round",
    "RoundHole",
    "Shank",
    "Solid",
    "StraightSlot",
]
