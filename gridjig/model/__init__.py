"""The job and the table as frozen values.  Nothing here is derived, and nothing draws."""

from gridjig.units import Display

from .cutting import Sawing, StockBar
from .endcut import CutKind, EndCut, SawCut
from .job import Job, Part, Placement, Plate, Seat, require_whole
from .member import Member, WayUp
from .plate_holes import CutOut, Drilled, PlateHole, Slotted
from .stock import Section, SectionKind
from .table import (
    SIZED,
    Corner,
    Hole,
    HoleMark,
    HoleState,
    LabelScheme,
    LabelStyle,
    MarkedState,
    Table,
    TableSide,
)
from .weldment import FIRST, Datum, FaceOf, Weld, WeldedSides, WeldKind, Weldment

__all__ = [
    "FIRST",
    "SIZED",
    "Corner",
    "CutKind",
    "CutOut",
    "Datum",
    "Display",
    "Drilled",
    "EndCut",
    "FaceOf",
    "Hole",
    "HoleMark",
    "HoleState",
    "Job",
    "LabelScheme",
    "LabelStyle",
    "MarkedState",
    "Member",
    "Part",
    "Placement",
    "Plate",
    "PlateHole",
    "SawCut",
    "Sawing",
    "Seat",
    "Section",
    "SectionKind",
    "Slotted",
    "StockBar",
    "Table",
    "TableSide",
    "WayUp",
    "Weld",
    "WeldKind",
    "WeldedSides",
    "Weldment",
    "require_whole",
]
