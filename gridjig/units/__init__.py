"""Typed lengths, angles and masses, and how they are shown.  Knows only numbers and text."""

from .angles import format_angle, parse_angle
from .display import Display, Unit
from .lengths import INCH, dual_length, format_length, full_length, parse_length
from .masses import POUND, format_mass, parse_mass
from .misread import Misread

__all__ = [
    "INCH",
    "POUND",
    "Display",
    "Misread",
    "Unit",
    "dual_length",
    "format_angle",
    "format_length",
    "format_mass",
    "full_length",
    "parse_angle",
    "parse_length",
    "parse_mass",
]
