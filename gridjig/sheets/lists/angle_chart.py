"""The shop's chart of attainable angles as values: the pages, and the same as CSV.

Knows no painter.  All text is ready to print, and the pages are decided here too.
"""

import math

from msgspec import Struct

from gridjig.model import Display
from gridjig.sheets.lists.csv_text import csv_text
from gridjig.sheets.text.angle_errors import in_metric
from gridjig.sheets.text.cautions import ON_A_SHEET
from gridjig.solve.angles.chart import AngleChart, ChartRow
from gridjig.units import (
    data_number,
    format_angle,
    format_angle_error,
    format_coarse_length,
    format_length,
    format_number,
    format_slope,
)

HOW_TO = (
    "Steps: holes to the right (along the rows), then holes to the back (along the columns), from"
    " the first pin to the second, both pins the same size.",
    "The pair printed is the longest of its direction; “same as” is a shorter one. Error: the "
    "angle "
    "of the pair minus the angle wanted; + is counter-clockwise.",
)
HEADS = ("angle", "steps", "same as", "makes", "error")
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


class ChartLine(Struct, frozen=True):
    """One line of the chart; `strong` for whole degrees, `exact` if the pair makes the angle."""

    cells: tuple[str, ...]
    strong: bool
    exact: bool


class ChartPage(Struct, frozen=True):
    """One page: what it covers, and its lines in reading order."""

    title: str
    lines: tuple[ChartLine, ...]


class ChartSheet(Struct, frozen=True):
    """The whole chart, ready to print."""

    title: str
    subject: tuple[str, ...]
    heads: tuple[str, ...]
    pages: tuple[ChartPage, ...]
    how_to: tuple[str, ...]
    cautions: tuple[str, ...]


def chart_sheet(chart: AngleChart, display: Display) -> ChartSheet:
    """Return the chart as pages: up to 45 degrees, and above."""
    low = tuple(row for row in chart.rows if row.wanted_deg <= 45.0)
    high = tuple(row for row in chart.rows if row.wanted_deg > 45.0)
    pages = tuple(
        ChartPage(
            f"{format_angle(part[0].wanted_deg)} to {format_angle(part[-1].wanted_deg)}",
            tuple(chart_line(row, display) for row in part),
        )
        for part in (low, high)
        if part
    )
    table, worst = chart.table, chart.worst
    pitch = format_length(table.pitch_x, display)
    if table.pitch_y != table.pitch_x:
        pitch = f"{pitch} left to right, {format_length(table.pitch_y, display)} front to back"
    return ChartSheet(
        title="Angles from two equal pins",
        subject=(
            table.name,
            f"{table.columns} x {table.rows} holes, pitch {pitch}",
            f"Base {base_words(chart, display)}; largest error"
            f" {format_angle_error(worst.error_arcmin)} at {format_angle(worst.wanted_deg)}",
        ),
        heads=(*HEADS, *(("mm/m", "base, mm") if in_metric(display) else ("in/ft", "base"))),
        pages=pages,
        how_to=HOW_TO,
        cautions=ON_A_SHEET,
    )


def base_words(chart: AngleChart, display: Display) -> str:
    """Return the limits of the base in words."""
    low, high = chart.base_from, chart.base_to
    if math.isinf(high):
        return f"{format_length(low, display)} or more" if low else "as long as the table allows"
    if not low:
        return f"up to {format_length(high, display)}"
    return f"from {format_length(low, display)} to {format_length(high, display)}"


def chart_line(row: ChartRow, display: Display) -> ChartLine:
    """Return a row of the chart as text."""
    exact = row.error_arcmin == 0
    return ChartLine(
        cells=(
            format_angle(row.wanted_deg),
            pair_text(row.steps),
            pair_text(row.shortest) if row.shortest != row.steps else "",
            format_angle(row.angle_deg),
            format_angle_error(row.error_arcmin),
            format_slope(row.mm_per_m, display),
            format_coarse_length(row.base_mm, display),
        ),
        strong=row.wanted_deg == round(row.wanted_deg),
        exact=exact,
    )


def pair_text(steps: tuple[int, int]) -> str:
    """Return steps as across : up."""
    return f"{steps[0]} : {steps[1]}"


def chart_csv(chart: AngleChart) -> str:
    """Return the chart as comma-separated values with a header line; lengths in mm."""
    rows = (
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
    )
    return csv_text([COLUMNS, *rows], line_end="\n")
