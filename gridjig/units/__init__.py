"""Typed lengths, angles and masses, and how every number is shown.  It knows only numbers and text.

No code outside this package turns a number into text for people; the check enforces it.
"""

from .angles import facing_words, format_angle, format_rounded_angle, full_angle, parse_angle
from .decimals import (
    data_number,
    format_count,
    format_figures,
    format_megabytes,
    format_number,
    format_percent,
    format_points,
    format_scale,
    is_rounded,
    unmarked,
)
from .display import MILLIMETRES, Display, DualDisplay, Unit, dual, in_both
from .errors import (
    format_angle_error,
    format_angle_range,
    format_angle_tolerance,
    format_arcminutes,
    format_bare_deviation,
    format_deviation,
    format_deviation_range,
    format_slope,
)
from .forces import format_force, parse_force
from .lengths import INCH, dual_length, format_length, full_length, parse_length
from .masses import POUND, format_line_mass, format_mass, mass_words, parse_mass
from .measures import (
    format_area,
    format_coarse_length,
    format_coordinate,
    format_extent,
    format_fineness,
    format_measure,
    format_millimetres,
    format_play,
    format_setting,
    format_thickness,
    size_name,
)
from .parse_error import ParseError

__all__ = [
    "INCH",
    "MILLIMETRES",
    "POUND",
    "Display",
    "DualDisplay",
    "ParseError",
    "Unit",
    "data_number",
    "dual",
    "dual_length",
    "facing_words",
    "format_angle",
    "format_angle_error",
    "format_angle_range",
    "format_angle_tolerance",
    "format_arcminutes",
    "format_area",
    "format_bare_deviation",
    "format_coarse_length",
    "format_coordinate",
    "format_count",
    "format_deviation",
    "format_deviation_range",
    "format_extent",
    "format_figures",
    "format_fineness",
    "format_force",
    "format_length",
    "format_line_mass",
    "format_mass",
    "format_measure",
    "format_megabytes",
    "format_millimetres",
    "format_number",
    "format_percent",
    "format_play",
    "format_points",
    "format_rounded_angle",
    "format_scale",
    "format_setting",
    "format_slope",
    "format_thickness",
    "full_angle",
    "full_length",
    "in_both",
    "is_rounded",
    "mass_words",
    "parse_angle",
    "parse_force",
    "parse_length",
    "parse_mass",
    "size_name",
    "unmarked",
]
