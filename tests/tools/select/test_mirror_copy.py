"""Mirrored copies of pieces: hole for hole, or not at all and why."""

import pytest
from msgspec import structs

from gridjig.edits.setup_mirror import mirror_pieces
from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Hole, Job, Placement
from gridjig.solve.weldment.faces import Axis
from gridjig.tools.core.tool import Commit, Nothing
from gridjig.tools.select.mirror_copy import mirror_copy
from tests.driver import Driver
from tests.edits.test_setup_mirror import PLACED, mirrored, works
from tests.workshop import ARM, EMPTY, RACK, TABLE, handed, laid, pin, plate, put, seat

INCHES = ready_tables()["48x48-3/4"]
SHOP = structs.replace(EMPTY, table=INCHES, rack=rack_for(INCHES))
MIDDLE = INCHES.first_x + (INCHES.columns - 1) * INCHES.pitch_x / 2  # in y as well


def done(job: Job, axis: Axis, *ids: str) -> Commit:
    outcome = mirror_copy(job, Driver(job).document.placed_pieces, frozenset(ids), axis)
    assert isinstance(outcome, Commit), outcome
    assert outcome.job is not None
    return outcome


def refused(job: Job, axis: Axis, *ids: str) -> str:
    outcome = mirror_copy(job, Driver(job).document.placed_pieces, frozenset(ids), axis)
    assert isinstance(outcome, Nothing), outcome
    return outcome.said


@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("placement", PLACED, ids=lambda p: p.id)
@pytest.mark.source("method", "the solver of placements, built apart from what is tested")
def test_a_copy_does_in_the_mirror_what_the_piece_does(placement: Placement, axis: Axis) -> None:
    job = laid(placement, job=SHOP)
    line = MIDDLE + (101.6 if axis == "x" else -101.6)
    made = mirror_pieces(job, {placement.id}, axis, line)
    assert made.job.placements[0] is job.placements[0]
    (copy,) = made.made
    placed_pieces = Driver(made.job).document.placed_pieces
    assert placed_pieces[copy].fault is None
    there = works(placed_pieces[placement.id], lambda p: mirrored(p, axis, line))
    for now, wanted in zip(works(placed_pieces[copy], lambda p: p), there, strict=True):
        assert now == pytest.approx(wanted, abs=0.05)


def test_copies_are_one_step_selected_and_told() -> None:
    job = laid(pin("a", 2, 2), pin("s", 4, 4), plate("o", 500, 300, 100, 60))
    done_ = done(job, "x", "a", "s", "o")
    assert done_.name == "Mirror a copy of 2 pieces"
    assert done_.selection == frozenset(["a-1", "s-1"])
    line = 550.0
    assert "2 pieces mirrored about the weldment's middle" in done_.said
    seats = {p.id: p.seats[0].hole for p in done_.job.placements}
    assert TABLE.at(seats["a-1"])[0] == 2 * line - TABLE.at(seats["a"])[0]
    assert seats["a-1"].row == seats["a"].row
    assert done_.job.parts == job.parts


def test_a_line_off_the_middle_is_said() -> None:
    job = laid(pin("a", 2, 2), plate("o", 500, 300, 110, 60))
    assert "about the hole line 5 mm left of the weldment's middle" in done(job, "x", "a").said
    job = laid(pin("a", 2, 2), plate("o", 300, 500, 60, 90))
    assert "about the hole line 5 mm behind the weldment's middle" in done(job, "y", "a").said


def test_without_a_weldment_it_goes_about_the_table_s_middle() -> None:
    made = done(laid(pin("a", 0, 0)), "y", "a")
    assert "about the table's middle" in made.said
    assert made.job.placements[1].seats[0].hole == Hole(0, TABLE.rows - 1)


def test_what_stands_on_the_line_stays_single() -> None:
    x = TABLE.at(Hole(10, 2))[0]
    job = laid(pin("a", 2, 2), pin("b", 10, 2), plate("o", x - 50, 300, 100, 60))
    made = done(job, "x", "a", "b")
    assert made.selection == frozenset(["a-1"])
    assert "1 on the line was not copied" in made.said
    assert "nothing to mirror" in refused(job, "x", "b")


def test_half_a_mirrored_set_up_is_not_made() -> None:
    beyond = laid(pin("a", 12, 2), pin("s", 4, 4), plate("o", 150, 300, 100, 60))
    assert refused(beyond, "x", "s", "a").endswith("left edge. Nothing was copied.")
    taken = laid(pin("a", 2, 2), pin("b", TABLE.columns - 3, 2))
    assert refused(taken, "x", "a").startswith("The mirrored copy does not fit:")


def test_a_piece_with_a_hand_gives_way_to_its_twin_and_without_one_is_refused() -> None:
    left, right = handed(ARM)
    placed = put("a", "left", seat("h", 4, 4), turn=25.0)
    both = laid(placed, job=structs.replace(EMPTY, rack=RACK.with_piece(left).with_piece(right)))
    made = done(both, "y", "a")
    assert made.job.placements[1].piece == "right"
    assert "1 was swapped for the opposite hand" in made.said
    alone = laid(placed, job=structs.replace(EMPTY, rack=RACK.with_piece(left)))
    assert "the rack has none of the opposite hand" in refused(alone, "y", "a")


def test_parts_alone_and_nothing_at_all() -> None:
    job = laid(plate("o", 500, 300))
    assert "mirrors pieces only" in refused(job, "x", "o")
    assert "Nothing is selected" in refused(job, "x")
