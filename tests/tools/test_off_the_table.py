"""A piece whose table was made smaller than its place: shown, selected, moved, deleted, found."""

import pytest
from msgspec import structs

from gridjig.checks.findings import findings
from gridjig.edits.table import replace_table
from gridjig.model import Hole, Job
from gridjig.model.labels import OFF, address
from gridjig.sheets.text.placed_text import place_words
from gridjig.solve.placed.cache import PlacedPieces
from tests.driver import Driver
from tests.workshop import EMPTY, TABLE, laid, pin, put, seat, stop

SMALL = structs.replace(TABLE, width=600, depth=600, columns=10, rows=10)


def adrift() -> Job:
    """Two pieces of one title off the table, and one on it."""
    full = laid(pin("far", 20, 15), pin("away", 18, 15), stop("near", 3, 3))
    return replace_table(full, SMALL)


@pytest.mark.parametrize("hole", [Hole(-1, 0), Hole(0, 10), Hole(10, 9), Hole(2000, -1000)])
def test_every_hole_can_be_asked_for_its_address(hole: Hole) -> None:
    assert address(SMALL, hole) == OFF
    assert address(SMALL, Hole(9, 9)) == "J10"


def test_pieces_of_one_title_off_the_table_are_findings() -> None:
    """The whole check once gave nothing as soon as two of them shared a title."""
    job = adrift()
    found = {finding.id: finding for finding in findings(job, PlacedPieces().of(job))}
    assert found["fault/far"].what.startswith("locating pin, off the table does not fit there.")
    assert "past its right edge" in found["fault/far"].what
    assert found["fault/away"].ids == ("away",)
    assert place_words(job.table, job.placements[0]) == OFF


@pytest.mark.parametrize("which", ["far", "away"])
def test_a_piece_off_the_table_is_selected_moved_and_deleted(which: str) -> None:
    job = adrift()
    placement = job.find(which)
    assert placement is not None
    there = job.table.at(placement.seats[0].hole)  # type: ignore[union-attr]
    driver = Driver(job).press(there).release(there)
    assert driver.document.selection == {which}
    driver.drag(there, "C8")
    moved = driver.job.find(which)
    assert moved is not None
    assert address(SMALL, moved.seats[0].hole) == "C8"  # type: ignore[union-attr]
    driver.document.undo()
    driver.key("delete")
    assert driver.job.find(which) is None


def test_a_piece_off_the_table_is_brought_back_by_the_keys() -> None:
    driver = Driver(replace_table(laid(pin("far", 10, 5)), SMALL))
    driver.document.select({"far"})
    driver.key("left")
    (there,) = driver.job.placements
    assert there.seats[0].hole == Hole(9, 5)


def test_a_stop_half_off_the_table_tells_both_its_holes() -> None:
    job = replace_table(laid(put("s", "slider", seat("s", 9, 3), seat("s", 10, 3))), SMALL)
    assert place_words(job.table, job.placements[0]) == f"J4 + {OFF}"
    assert EMPTY.table.has(Hole(10, 3))
