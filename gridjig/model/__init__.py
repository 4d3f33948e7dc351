"""The job and the table as frozen values.  Nothing here is derived and nothing here draws."""

from gridjig.units import Display

from .job import Job, Outline, Part, Placement, Seat, require_whole
from .member import EndCut, Member
from .stock import Section, SectionKind
from .table import Axis, Corner, Hole, HoleMark, HoleState, LabelScheme, Side, Table

__all__ = [
    "Axis",
    "Corner",
    "Display",
    "EndCut",
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
    "require_whole",
]
