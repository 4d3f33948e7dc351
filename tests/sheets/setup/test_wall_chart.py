"""The chart for the wall: its rows can be read from 2 m, and no column touches another."""

import math
from itertools import pairwise

import pytest

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Display
from gridjig.sheets.setup.paper import PAPERS, Paper
from gridjig.sheets.setup.wall_chart import MAIN, packing_text, wall_chart
from gridjig.sheets.text.cautions import ON_A_SHEET
from gridjig.solve.angles.chart import angle_chart
from gridjig.solve.angles.packed_chart import packed_chart

from .test_sheet import overlaps

NAMES = sorted(ready_tables())
INCH, MM = Display(), Display(unit="millimetres")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
@pytest.mark.untraced
def test_columns_never_touch_and_nothing_leaves_the_page(name: str, paper: Paper) -> None:
    table = ready_tables()[name]
    display = INCH if table.in_inches else MM
    chart, rack = angle_chart(table), rack_for(table)
    pages = wall_chart(chart, packed_chart(chart, rack), rack, display, paper)
    assert len(pages) > 3
    page = pages[1]
    assert overlaps(page) == []
    rows: dict[float, list[tuple[float, float]]] = {}
    for text in page.texts:
        if not text.grey and text.y > 40.0:
            rows.setdefault(round(text.y, 2), []).append((text.x, text.x + text.width))
    assert len(rows) > 8
    for spans in rows.values():
        assert len(spans) == 6
        ordered = sorted(spans)
        assert all(b[0] - a[1] >= 2.0 for a, b in pairwise(ordered))
    assert all(t.x + t.width <= page.width - 5 for t in page.texts)


@pytest.mark.source("method", "the visual angle of a capital: 5 minutes of arc are just legible")
def test_the_angle_and_its_pair_are_read_from_two_metres() -> None:
    minutes = math.degrees(MAIN / 2000.0) * 60.0
    assert minutes > 2 * 5.0
    table = ready_tables()[NAMES[0]]
    chart = angle_chart(table)
    large = {t.words for p in wall_chart(chart, (), rack_for(table), INCH, "A4") for t in p.texts}
    for row in chart.rows:
        assert f"{row.steps[0]} : {row.steps[1]}" in large


def test_every_angle_has_one_row_on_one_page() -> None:
    table = ready_tables()["48x48-5/8"]
    chart, rack = angle_chart(table), rack_for(table)
    pages = wall_chart(chart, packed_chart(chart, rack), rack, INCH, "Letter")
    angles = [t.words for p in pages for t in p.texts if t.size == MAIN and t.words.endswith("°")]
    assert angles == [f"{k / 2:g}°" for k in range(181)]
    words = {t.words for p in pages for t in p.texts}
    assert "13 : 10" in words
    assert set(ON_A_SHEET) <= words


def test_packing_is_told_by_its_shims_and_its_pin() -> None:
    table = ready_tables()["48x48-5/8"]
    chart, rack = angle_chart(table), rack_for(table)
    told = {packing_text(row, rack, INCH) for row in packed_chart(chart, rack)}
    assert "—" in told
    assert '1/64" far' in told
    assert '1/64" + 1/16" near' in told
    assert not any("≈" in one for one in told)
