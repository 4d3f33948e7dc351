"""The job and the table as frozen values.  Nothing here is derived and nothing here draws."""

from gridjig.units import Display

from .endcut import CutKind, EndCut
from .job import Job, Outline, Part, Placement, Seat, require_whole
from .member import Member, WayUp
from .stock import Section, SectionKind
from .table import SIZED, Axis, Corner, Hole, HoleMark, HoleState, LabelScheme, Side, Table
from .weldment import Datum, FaceOf, Weld, WeldKind

__all__ = [
    "SIZED",
    "Axis",
    "Corner",
    "CutKind",
    "Datum",
    "Display",
    "EndCut",
    "FaceOf",
    "Hole",
    "HoleMark",
    "HoleState",
    "Job",
    "LabelScheme",
    "Member",
    "Outline",
    "Part",
    "Placement",
    "Seat",
    "Section",
    "SectionKind",
    "Side",
    "Table",
    "WayUp",
    "Weld",
    "WeldKind",
    "require_whole",
]
