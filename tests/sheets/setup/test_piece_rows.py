"""What the list says of each piece: read back, it is that piece, as it stands."""

import numpy as np
import pytest
from msgspec import structs

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Display, Hole, Job
from gridjig.sheets.lists.piece_settings import piece_settings, setting_words
from gridjig.sheets.setup.numbering import setting_order
from gridjig.sheets.setup.piece_rows import PieceRow, piece_rows
from gridjig.sheets.setup.set_blocks import set_cells
from gridjig.sheets.setup.shown import Shown
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import Unit, dual
from tests.workshop import EMPTY, laid, pin, put, seat, stop

from .randomjobs import random_job
from .rebuilding import built, placement_of

SAMPLES = [load_job(path) for path in samples().values()]


def rows_of(job: Job, both: bool = False) -> tuple[PieceRow, ...]:
    placed = PlacedPieces().of(job)
    order = setting_order(job, placed, None)
    shown = Shown(dual(job.display) if both else job.display)
    return piece_rows(job, placed, order, shown)


@pytest.mark.source("method", "each row read with the rack at hand and no job")
@pytest.mark.expectation(109)
@pytest.mark.parametrize("job", [*SAMPLES, *map(random_job, range(30))], ids=lambda job: job.name)
def test_a_row_is_read_back_as_the_piece_that_it_is_of(job: Job) -> None:
    rows = rows_of(job)
    assert len(rows) == len(job.placements) > 0
    by_id = {one.id: one for one in job.placements}
    again = built([list(set_cells(row)) for row in rows], job.table, job.rack)
    for row, read in zip(rows, again, strict=True):
        one, made = by_id[row.placement], placement_of(read, job.table, job.rack)
        assert (made.piece, made.seats, made.name) == (one.piece, one.seats, one.name)
        assert (made.flipped, made.lift, made.packing) == (one.flipped, one.lift, one.packing)
        a, b = (solve_placement(job.table, job.rack, each) for each in (one, made))
        packs = [[s.points for s in each.solids if s.role == "packing"] for each in (a, b)]
        assert np.array(packs[0]) == pytest.approx(np.array(packs[1]), abs=0.15)
        if a.faces:
            for face, other in zip(a.faces, b.faces, strict=True):
                assert face.a == pytest.approx(other.a, abs=0.15)
                assert face.b == pytest.approx(other.b, abs=0.15)


@pytest.mark.parametrize("unit", ["inch fractions", "inch decimals", "millimetres"])
def test_the_pull_list_and_the_sheet_tell_one_measure(unit: Unit) -> None:
    """In fractions, what is no fraction is set by its decimals in both, not by what is nearest."""
    compared = 0
    for made in [*SAMPLES, *map(random_job, range(10))]:
        job = structs.replace(made, display=Display(unit=unit))
        sheet = {row.placement: row.setting for row in rows_of(job)}
        for one in piece_settings(job, PlacedPieces().of(job)):
            for words in setting_words(one, job.display).split(", "):
                told = words.split(" over its packing")[0]
                if told.startswith(("face ", "reach ")):
                    assert any(line.startswith(told) for line in sheet[one.placement])
                    compared += 1
    assert compared > 30


def test_a_gap_that_is_accepted_is_left_open() -> None:
    off = structs.replace(stop("s", 6, 4), accepted_gap=0.127)
    inches = structs.replace(laid(off), display=Display(unit="inch fractions"))
    [one] = rows_of(inches)
    told = [line for line in one.setting if "gap" in line]
    assert told == ['a gap to the work of up to .005" is accepted: leave it open']
    [one] = rows_of(laid(stop("s", 6, 4)))
    assert not any("gap" in line for line in one.setting)


def test_both_units_say_both() -> None:
    [one] = rows_of(laid(stop("s", 6, 4)), both=True)
    assert any("mm (" in line and '"' in line for line in one.setting)


def test_a_face_over_packing_says_so() -> None:
    job = laid(stop("s", 6, 4), pin("p", 3, 3))
    packed = structs.replace(job.placements[0], packing=("shim", "shim"))
    rows = rows_of(structs.replace(job, placements=(packed, job.placements[1])))
    told = next(row for row in rows if row.placement == "s").setting
    assert any(line.startswith("face ") and line.endswith(", over the packing") for line in told)
    assert any("from the piece out: 2 × " in line for line in told)
    assert rows[0].way or rows[1].way


def test_packing_beside_a_round_pin_says_on_which_side_it_is() -> None:
    packed = structs.replace(pin("p", 3, 3), turn=160.0, packing=("shim",))
    rows = rows_of(laid(packed, pin("q", 6, 6)))
    ways = {row.placement: row.way for row in rows}
    assert ways == {"p": ("turn 160°", "packing to the left"), "q": ("any way round",)}


def test_what_does_not_fit_or_is_not_on_the_rack_is_said() -> None:
    job = laid(put("gone", "nothing", seat("h", 2, 2)), stop("s", 6, 4))
    bad = structs.replace(
        job.placements[1], seats=(seat("h1", 6, 4), seat("h2", 12, 9)), id="bad", note="ask  Jo"
    )
    rows = rows_of(structs.replace(job, placements=(*job.placements, bad)))
    told = {row.placement: row for row in rows}
    assert told["gone"].setting == ("DOES NOT FIT: Piece nothing is not on the rack.",)
    assert told["gone"].holes == ("C3",)
    assert any(line.startswith("DOES NOT FIT: ") for line in told["bad"].setting)


@pytest.mark.parametrize(
    ("hole", "words"),
    [(Hole(0, 0), ("1 from left", "1 from front")), (Hole(1, 2), ("2 from left", "3 from front"))],
)
def test_a_hole_is_counted_from_the_nearest_edges(hole: Hole, words: tuple[str, ...]) -> None:
    [row] = rows_of(laid(pin("p", hole.col, hole.row)))
    assert row.count == words


@pytest.mark.expectation(109)
def test_notes_stand_in_the_row() -> None:
    job = laid(structs.replace(pin("p", 3, 3), note="mind  the\nrib", clamped_by_hand=True))
    [row] = rows_of(structs.replace(job, display=Display()))
    assert "Note: mind the rib" in row.setting
    assert EMPTY.placements == ()
