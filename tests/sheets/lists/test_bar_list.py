"""Bars of a job: which bars suit which section, how pieces are named, kerf, words, CSV."""

import csv
import io

import pytest
from msgspec import structs

from gridjig.edits.details import set_sawing
from gridjig.edits.members import add
from gridjig.edits.weldment_list import set_quantity
from gridjig.model import EndCut, Job, Sawing, StockBar
from gridjig.sheets.lists.bar_list import (
    HEADINGS,
    BarList,
    bar_lines,
    bar_list,
    proof_words,
    sawing_words,
    to_csv,
    uncut_words,
)
from gridjig.solve.cutting import process
from gridjig.solve.cutting.exact import cheapest
from gridjig.units import MILLIMETRES
from tests.stock import SQUARE, bar
from tests.trials.keyed import KEYED
from tests.workshop import EMPTY


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Solve in this process: one of its own takes half a second."""
    monkeypatch.setattr(process, "cheapest_of_all", lambda tasks, _: tuple(map(cheapest, tasks)))


def listed(job: Job, *bars: StockBar, kerf: float | None = 0.0, trim: float = 0.0) -> BarList:
    return bar_list(set_sawing(job, Sawing(bars=bars, kerf=kerf, trim=trim)))


@pytest.mark.source(
    "method", "trial weldment T02, reckoned by hand: 2 x 36 + 2 x 23 in of one tube"
)
def test_a_frame_is_cut_from_one_bar() -> None:
    job = KEYED["T02"]()
    [section] = listed(job, StockBar(length=120 * 25.4), kerf=None).sections
    [cut] = section.cuts
    assert (cut.count, cut.length, cut.on_hand) == (1, 120 * 25.4, False)
    assert [piece.count for piece in cut.pieces] == [2, 2]
    assert [piece.length / 25.4 for piece in cut.pieces] == pytest.approx([36.0, 23.0])
    # 120 less 118 and four cuts of an eighth.
    assert cut.offcut / 25.4 == pytest.approx(1.5)
    assert {piece.saw for piece in cut.pieces} == {"45°"}
    assert section.proven
    assert section.to_buy == ((1, 120 * 25.4),)


def test_every_member_counts_as_often_as_its_weldment_is_made() -> None:
    job = KEYED["T02"]()
    five = set_quantity(job, job.weldments[0].id, 5)
    [section] = listed(five, StockBar(length=120 * 25.4)).sections
    made = sum(cut.count * piece.count for cut in section.cuts for piece in cut.pieces)
    assert made == 20
    assert section.bought == section.bound == 5 * 120 * 25.4


def test_a_section_has_its_own_bars_before_those_of_any() -> None:
    job = KEYED["T02"]()
    name = job.parts[0].section.name  # type: ignore[union-attr]
    bars = (
        StockBar(length=3000.0),
        StockBar(length=4000.0, section=name),
        StockBar(length=950.0, section=name, have=1),
        StockBar(length=9000.0, section="another"),
    )
    [section] = listed(job, *bars).sections
    # 2997 mm in all: one bar of its own section holds them, so that nothing is taken off the rack.
    assert [(cut.length, cut.on_hand) for cut in section.cuts] == [(4000.0, False)]


def test_a_bar_on_hand_that_names_no_section_is_used_where_one_is_cut_and_else_told() -> None:
    job = KEYED["T02"]()
    have = StockBar(length=120 * 25.4, have=1)
    found = listed(job, StockBar(length=100 * 25.4), have)
    assert [(cut.length, cut.on_hand) for cut in found.sections[0].cuts] == [(120 * 25.4, True)]
    assert found.left_out == ()
    assert sawing_words(found) == 'kerf 0"'
    two = listed(add(job, bar(x=0.0, y=900.0, length=300.0, section=SQUARE)), have)
    assert len(two.sections) == 2
    assert not any(cut.on_hand for one in two.sections for cut in one.cuts)
    assert two.left_out == (have,)
    assert sawing_words(two) == (
        'kerf 0", not used: 1 on hand of 120", as no section is named for what is on hand'
    )
    rows = list(csv.reader(io.StringIO(to_csv(two))))
    assert not any("not used" in cell for row in rows[:-1] for cell in row)
    assert dict(zip(rows[0], rows[-1], strict=True)) == dict.fromkeys(HEADINGS, "") | {
        "Bars": "1", "Bar mm": "3048.000", "From": "on hand, not used: no section named",
    }  # fmt: skip


def test_usual_bars_and_kerf_are_those_of_the_unit() -> None:
    inch = bar_list(KEYED["T02"]())
    assert inch.sections[0].to_buy == ((1, 240 * 25.4),)
    assert sawing_words(inch) == 'kerf 1/8"'
    metric = bar_list(add(EMPTY, bar(SQUARE)))
    assert metric.sections[0].to_buy == ((1, 6000.0),)
    assert sawing_words(metric) == "kerf 3 mm"
    trimmed = listed(add(EMPTY, bar(SQUARE)), trim=10.0)
    assert sawing_words(trimmed) == "kerf 0 mm, each bar trimmed by 10 mm first"


def test_a_member_longer_than_any_bar_is_named_and_the_rest_is_cut() -> None:
    job = add(EMPTY, structs.replace(bar(SQUARE), name="Long"))
    found = listed(job, StockBar(length=100.0))
    [section] = found.sections
    assert section.cuts == ()
    assert "Long" in uncut_words(section, MILLIMETRES)
    [line] = [line for line in bar_lines(found) if "Long" in line.head]
    assert line.level == "look"
    assert "no bar" in to_csv(found)
    assert proof_words(section, MILLIMETRES) == "no bar is long enough"


def test_what_is_proven_is_not_said_of_a_piece_that_there_is_no_bar_for() -> None:
    short = structs.replace(bar(SQUARE, length=90.0), id="s", name="Short")
    both = add(add(EMPTY, structs.replace(bar(SQUARE), name="Long")), short)
    [section] = listed(both, StockBar(length=100.0)).sections
    assert [cut.length for cut in section.cuts] == [100.0]
    assert proof_words(section, MILLIMETRES) == "proven for the others: nothing less works"
    [alone] = listed(add(EMPTY, short), StockBar(length=100.0)).sections
    assert proof_words(alone, MILLIMETRES) == "proven: nothing less works"


def test_the_saws_scale_reads_0_for_a_square_cut_and_both_ends_are_told() -> None:
    one = bar(SQUARE, start=EndCut("square"), end=EndCut("mitre", -30.0))
    [section] = listed(add(EMPTY, one)).sections
    [piece] = section.cuts[0].pieces
    assert (piece.start, piece.end, piece.saw) == ("0°", "30°", "0° + 30°")


def test_lines_and_csv_say_the_same() -> None:
    found = bar_list(KEYED["T10"]())
    lines = bar_lines(found)
    assert sum(line.heading for line in lines) == len(found.sections) >= 2
    rows = list(csv.DictReader(io.StringIO(to_csv(found))))
    pieces = sum(len(cut.pieces) for one in found.sections for cut in one.cuts)
    assert len(rows) == pieces >= 3
    assert all(row["From"] == "to buy" for row in rows)
    told = "\n".join(line.under for line in lines)
    assert all(row["Members"] in told for row in rows)


def test_without_members_there_is_nothing_to_buy() -> None:
    assert bar_list(EMPTY).sections == ()
    assert bar_lines(bar_list(EMPTY)) == ()
