"""The shop chart as values: its pages, its words and its CSV."""

import csv
import io

import pytest

from gridjig.files.library.assets import ready_tables
from gridjig.model import Display
from gridjig.sheets.lists.angle_chart import COLUMNS, chart_csv, chart_line, chart_sheet
from gridjig.sheets.text.cautions import ON_A_SHEET
from gridjig.solve.angles.chart import angle_chart
from tests.anglekit import grid_table

INCH, MM = Display(), Display(unit="millimetres")
TABLE = ready_tables()["48x48-5/8"]


@pytest.mark.source(
    "method", "computed apart from the program: best pairs of a square grid for usual angles"
)
def test_lines_of_an_inch_table() -> None:
    lines = {
        line.cells[0]: line
        for page in chart_sheet(angle_chart(TABLE), INCH).pages
        for line in page.lines
    }
    assert lines["37.5°"].cells == (
        "37.5°",
        "13 : 10",
        "",
        "≈37.57°",
        "+4.1′",
        "+.014",
        '≈32-3/4"',
    )
    assert lines["45°"].cells == ("45°", "23 : 23", "1 : 1", "45°", "0", "0", '≈65"')
    assert lines["45°"].exact
    assert lines["45°"].strong
    assert not lines["37.5°"].strong
    assert lines["5°"].cells[4] == "−1.8′"


def test_lines_of_a_metric_table() -> None:
    chart = angle_chart(grid_table(24, 12, 100.0), 300.0, 1200.0)
    line = chart_line(next(r for r in chart.rows if r.wanted_deg == 30.0), MM)
    assert line.cells == ("30°", "7 : 4", "", "≈29.74°", "−15.3′", "−4.5", "806")


def test_pages_part_at_45_degrees_and_carry_the_caution() -> None:
    sheet = chart_sheet(angle_chart(TABLE), INCH)
    assert [(page.title, len(page.lines)) for page in sheet.pages] == [
        ("0° to 45°", 91),
        ("45.5° to 90°", 90),
    ]
    assert sheet.cautions == ON_A_SHEET
    assert "Planning aid" in sheet.cautions[0]
    assert len(sheet.heads) == len(sheet.pages[0].lines[0].cells)
    assert sheet.subject[0] == TABLE.name
    assert sheet.subject[1] == '24 x 24 holes, pitch 2"'
    assert sheet.subject[2].startswith("Base as long as the table allows; largest error")
    assert len(chart_sheet(angle_chart(TABLE, step=45.0), INCH).pages) == 2


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (0.0, 300.0, "up to 300 mm"),
        (100.0, 300.0, "from 100 mm to 300 mm"),
        (100.0, float("inf"), "100 mm or more"),
    ],
)
def test_the_limits_of_the_base_are_written(low: float, high: float, words: str) -> None:
    sheet = chart_sheet(angle_chart(grid_table(9, 9, pitch_y=40.0), low, high), MM)
    assert f"Base {words};" in sheet.subject[2]
    assert sheet.subject[1] == "9 x 9 holes, pitch 50 mm left to right, 40 mm front to back"


@pytest.mark.source("library", "Python 3.11 csv", "reading back")
def test_csv_reads_back() -> None:
    chart = angle_chart(TABLE)
    rows = list(csv.DictReader(io.StringIO(chart_csv(chart))))
    assert tuple(rows[0]) == COLUMNS
    assert len(rows) == 181
    for row, value in zip(rows, chart.rows, strict=True):
        assert float(row["wanted_deg"]) == value.wanted_deg
        assert (int(row["across"]), int(row["up"])) == value.steps
        assert float(row["angle_deg"]) == pytest.approx(value.angle_deg, abs=5e-7)
        assert float(row["error_arcmin"]) == pytest.approx(value.error_arcmin, abs=5e-4)
        assert "-0.000" not in row.values()
