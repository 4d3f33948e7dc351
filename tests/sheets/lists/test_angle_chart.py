"""The shop chart as CSV, and how the limits of the base are written."""

import csv
import io

import pytest

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Display
from gridjig.sheets.lists.angle_chart import (
    COLUMNS,
    PACKED_COLUMNS,
    base_words,
    chart_csv,
    pair_text,
)
from gridjig.solve.angles.chart import angle_chart
from gridjig.solve.angles.packed_chart import packed_chart
from tests.anglekit import grid_table

MM = Display(unit="millimetres")
TABLE = ready_tables()["48x48-5/8"]


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (0.0, 300.0, "up to 300 mm"),
        (100.0, 300.0, "from 100 mm to 300 mm"),
        (100.0, float("inf"), "100 mm or more"),
    ],
)
def test_the_limits_of_the_base_are_written(low: float, high: float, words: str) -> None:
    assert base_words(angle_chart(grid_table(9, 9, pitch_y=40.0), low, high), MM) == words


def test_a_pair_is_written_across_and_up() -> None:
    assert pair_text((13, 10)) == "13 : 10"


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


@pytest.mark.source("library", "Python 3.11 csv", "reading back")
def test_csv_with_packing_has_its_columns_at_the_end() -> None:
    chart = angle_chart(TABLE)
    packed = packed_chart(chart, rack_for(TABLE))
    rows = list(csv.DictReader(io.StringIO(chart_csv(chart, packed))))
    assert tuple(rows[0]) == (*COLUMNS, *PACKED_COLUMNS)
    assert len(rows) == len(packed) == 181
    for row, one in zip(rows, packed, strict=True):
        assert float(row["packing_mm"]) == pytest.approx(one.thickness, abs=5e-4)
        assert bool(row["packing_under"]) == bool(one.far or one.near)
