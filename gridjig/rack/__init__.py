"""Pieces of the rack as data.  It knows no tables, jobs or window."""

from .piece import (
    ArcSlot,
    ClampTip,
    Face,
    Hand,
    MountFeature,
    Piece,
    PieceKind,
    Pivot,
    Point,
    Rest,
    Round,
    RoundHole,
    Shank,
    Solid,
    StraightSlot,
    kind_name,
)
from .rack import Rack

__all__ = [
    "ArcSlot",
    "ClampTip",
    "Face",
    "Hand",
    "MountFeature",
    "Piece",
    "PieceKind",
    "Pivot",
    "Point",
    "Rack",
    "Rest",
    "Round",
    "RoundHole",
    "Shank",
    "Solid",
    "StraightSlot",
    "kind_name",
]
