"""The shop's chart of attainable angles as CSV, and its words."""

import math
from collections.abc import Sequence

from gridjig.model import Display
from gridjig.sheets.lists.csv_text import csv_text
from gridjig.solve.angles.chart import AngleChart
from gridjig.solve.angles.packed_chart import PackedRow
from gridjig.units import data_number, format_length, format_number

COLUMNS = (
    "wanted_deg",
    "across",
    "up",
    "shortest_across",
    "shortest_up",
    "angle_deg",
    "error_arcmin",
    "error_mm_per_m",
    "base_mm",
)
PACKED_COLUMNS = (
    "packed_across",
    "packed_up",
    "packing_under",
    "packing_mm",
    "packed_error_arcmin",
)


def base_words(chart: AngleChart, display: Display) -> str:
    """Return the limits of the base in words."""
    low, high = chart.base_from, chart.base_to
    if math.isinf(high):
        return f"{format_length(low, display)} or more" if low else "as long as the table allows"
    if not low:
        return f"up to {format_length(high, display)}"
    return f"from {format_length(low, display)} to {format_length(high, display)}"


def pair_text(steps: tuple[int, int]) -> str:
    """Return steps as across : up."""
    return f"{steps[0]} : {steps[1]}"


def chart_csv(chart: AngleChart, packed: Sequence[PackedRow] = ()) -> str:
    """Return the chart as comma-separated values with a header line; lengths in mm.

    `packed` are the nearest answers with packing, if the rack has any.
    """
    rows = [
        (
            format_number(row.wanted_deg),
            *row.steps,
            *row.shortest,
            data_number(row.angle_deg, 6),
            data_number(row.error_arcmin, 3),
            data_number(row.mm_per_m, 3),
            data_number(row.base_mm, 3),
        )
        for row in chart.rows
    ]
    if not packed:
        return csv_text([COLUMNS, *rows], line_end="\n")
    more = [
        (
            *one.steps,
            "far" if one.far else "near" if one.near else "",
            data_number(one.thickness, 3),
            data_number(one.error_arcmin, 3),
        )
        for one in packed
    ]
    whole = [(*row, *extra) for row, extra in zip(rows, more, strict=True)]
    return csv_text([(*COLUMNS, *PACKED_COLUMNS), *whole], line_end="\n")
