"""The job and the table as frozen values.  Nothing here is derived and nothing here draws."""

from .job import Display, Job, Outline, Placement, Seat, require_whole
from .table import Axis, Corner, Hole, HoleMark, HoleState, LabelScheme, Side, Table

__all__ = [
    "Axis",
    "Corner",
    "Display",
    "Hole",
    "HoleMark",
    "HoleState",
    "Job",
    "LabelScheme",
    "Outline",
    "Placement",
    "Seat",
    "Side",
    "Table",
    "require_whole",
]
