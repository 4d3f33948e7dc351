"""The job and the table as frozen values.  Nothing here is derived and nothing here draws."""

from gridjig.units import Display

from .job import Job, Outline, Placement, Seat, require_whole
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
