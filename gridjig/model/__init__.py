"""The job and the table as frozen values.  Nothing here is derived, and nothing draws."""

from gridjig.units import Display

from .accuracy import Accuracy, ChosenPoint, LinearClass, StraightClass
from .allowances import Allowances, JointAllowance, PartAllowance
from .cutting import Sawing, StockBar
from .endcut import CutKind, EndCut, SawCut
from .holding import Holding
from .job import Job, Part, Placement, Plate, Seat, require_whole
from .member import Member, WayUp
from .paperwork import JointOf, TitleBlock, WeldPlan
from .plate_holes import CutOut, Drilled, PlateHole, Slotted
from .shop import Shop
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
    "Accuracy",
    "Allowances",
    "ChosenPoint",
    "Corner",
    "CutKind",
    "CutOut",
    "Datum",
    "Display",
    "Drilled",
    "EndCut",
    "FaceOf",
    "Holding",
    "Hole",
    "HoleMark",
    "HoleState",
    "Job",
    "JointAllowance",
    "JointOf",
    "LabelScheme",
    "LabelStyle",
    "LinearClass",
    "MarkedState",
    "Member",
    "Part",
    "PartAllowance",
    "Placement",
    "Plate",
    "PlateHole",
    "SawCut",
    "Sawing",
    "Seat",
    "Section",
    "SectionKind",
    "Shop",
    "Slotted",
    "StockBar",
    "StraightClass",
    "Table",
    "TableSide",
    "TitleBlock",
    "WayUp",
    "Weld",
    "WeldKind",
    "WeldPlan",
    "WeldedSides",
    "Weldment",
    "require_whole",
]
