import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.checks.needs import needs
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Job
from gridjig.rack import Rack
from gridjig.sheets.lists.pull_list import pull_list, to_csv, to_text, walking_order
from gridjig.sheets.text.sorting import natural
from tests.workshop import EMPTY, RACK, laid, pin, put, seat, stop


def shop() -> Job:
    """Bins by which nothing on the table would be sorted already."""
    bins = {"stop": "B10", "pin": "B2", "bolt": "A1", "riser": ""}
    rack = structs.replace(
        RACK,
        walk=("C1", "A1"),
        pieces=tuple(structs.replace(p, bin=bins.get(p.id, "C1"), mass=0.5) for p in RACK.pieces),
    )
    raised = structs.replace(stop("s2", 6, 6), lift=("riser", "shim"), packing=("shim",))
    return structs.replace(laid(pin("p", 2, 2), stop("s1", 9, 2), raised), rack=rack)


def test_bins_come_in_walking_order() -> None:
    pulled = pull_list(shop())
    assert [g.bin for g in pulled.groups] == ["C1", "A1", "B2", "B10", ""]
    assert [line.piece for line in pulled.lines] == ["shim", "bolt", "pin", "stop", "riser"]


def test_a_line_says_how_many_for_what_and_where() -> None:
    lines = {line.piece: line for line in pull_list(shop()).lines}
    assert (lines["stop"].needed, lines["stop"].owned, lines["stop"].short) == (2, 6, 0)
    assert lines["stop"].placements == ("s1", "s2")
    assert lines["stop"].holes == ("J3 + K3", "G7 + H7")
    assert lines["bolt"].needed == 4
    assert lines["shim"].needed == 2
    assert lines["stop"].mass == pytest.approx(1.0)


def test_totals() -> None:
    pulled = pull_list(shop())
    assert pulled.needed == 1 + 2 + 4 + 1 + 2
    assert pulled.mass == pytest.approx(5.0)
    assert pulled.short == 0
    many = pull_list(laid(*(stop(f"s{i}", 3 * i, 1) for i in range(7))))
    assert many.short == 1 + 2
    assert {line.piece: line.short for line in many.lines} == {"stop": 1, "bolt": 2}


def test_a_piece_off_the_table_or_off_the_rack_is_listed_all_the_same() -> None:
    job = structs.replace(laid(put("a", "pin", seat("p", 99, 0))), rack=Rack(name="Bare"))
    (line,) = pull_list(job).lines
    assert (line.name, line.holes, line.short, line.bin) == ("pin", ("off the table",), 1, "")


def test_an_empty_job_has_an_empty_list() -> None:
    pulled = pull_list(EMPTY)
    assert pulled.groups == ()
    assert to_text(pulled).count("\n") == 1


def test_the_table_for_the_clipboard_has_a_row_a_piece() -> None:
    job = shop()
    named = structs.replace(job.rack.piece("stop"), name="Fixed\tstop\n2", size='1/2" face')
    rows = to_text(pull_list(structs.replace(job, rack=job.rack.with_piece(named)))).splitlines()
    assert rows[0].split("\t") == [
        "Bin", "Piece", "Size", "Needed", "On hand", "Short by", "Mass", "Goes in", "Set to",
    ]  # fmt: skip
    assert len(rows) == 6
    assert all(len(row.split("\t")) == 9 for row in rows)
    assert rows[4] == (
        'B10\tFixed stop 2\t1/2" face\t2\t6\t\t1.0 kg\tJ3 + K3, G7 + H7\t'
        "J3 + K3: face 20 mm from J3, turn 0°;"
        " G7 + H7: face 21 mm from G7 over its packing (shim 1 mm), turn 0°,"
        " on riser, then shim 1 mm"
    )


@pytest.mark.source("library", "Python 3.11 csv", "reading back")
def test_csv_reads_back_with_quotes_commas_and_line_ends() -> None:
    job = shop()
    named = structs.replace(job.rack.piece("stop"), name='Stop, "long"\nnew', size='1/2" face')
    text = to_csv(pull_list(structs.replace(job, rack=job.rack.with_piece(named))))
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert rows[3]["Piece"] == 'Stop, "long"\nnew'
    assert rows[3]["Size"] == '1/2" face'
    assert rows[3]["Mass kg"] == "1.000"
    assert rows[3]["Piece id"] == "stop"
    assert text.endswith("\r\n")


@given(st.lists(st.tuples(st.integers(0, 10), st.integers(0, 10)), max_size=9, unique=True))
def test_nothing_needed_is_left_out(at: list[tuple[int, int]]) -> None:
    job = laid(*(stop(f"s{i}", 2 * c, r) for i, (c, r) in enumerate(at)))
    pulled = pull_list(job)
    assert {line.piece: line.needed for line in pulled.lines} == {
        piece: need.count for piece, need in needs(job).items()
    }


def test_natural_order() -> None:
    assert sorted(["A10", "a2", "A1", "B", "10", "9"], key=natural) == [
        "9", "10", "A1", "a2", "A10", "B",
    ]  # fmt: skip
    assert walking_order(["", "Z9", "Z10", "B1"], ("B1",)) == ("B1", "Z9", "Z10", "")


def test_the_starter_rack_is_walked_as_it_hangs() -> None:
    table = ready_tables()["48x48-3/4"]
    rack = rack_for(table)
    job = laid(
        put("s", "stop-fixed", seat("front", 7, 5), seat("back", 7, 4)),
        put("r", "riser-1", seat("centre", 12, 12)),
        job=Job(name="x", table=table, rack=rack),
    )
    assert [line.piece for line in pull_list(job).lines] == [
        "lock-pin", "lock-pin-flush", "stop-fixed", "riser-1",
    ]  # fmt: skip
