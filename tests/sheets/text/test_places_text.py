"""The places found for the weldment in words, from the search itself."""

from msgspec import structs

from gridjig.edits import weldment
from gridjig.files.library.assets import rack_for
from gridjig.model import FaceOf, Hole, HoleMark
from gridjig.sheets.text.places_text import move_words, put_words, result_words, tried_words
from gridjig.solve.layout.places import WeldmentPlace, weldment_places
from gridjig.solve.layout.remainders import the_stop
from gridjig.units import MILLIMETRES, Display
from tests.solve.weldments import bar, frame, job_of
from tests.workshop import TABLE

JOB = structs.replace(job_of(*frame()), rack=rack_for(TABLE))
PUT = WeldmentPlace(0, False, (0, 0), 0, 0, 0, 0, 0, 0, 0, 0, 0, (0.0, 0.0))


def test_a_move_is_named_in_the_order_in_which_it_is_made() -> None:
    assert move_words(PUT, MILLIMETRES) == "As it lies"
    moved = structs.replace(PUT, flipped=True, turn=90.0, dx=25.4, dy=-50.8)
    assert move_words(moved, MILLIMETRES) == (
        "Turned over, turned 90°, 25.4 mm right, 50.8 mm forward"
    )
    assert move_words(structs.replace(PUT, dx=-25.4, dy=50.8), Display()) == '1" left, 2" back'


def test_the_result_says_only_what_there_is() -> None:
    assert result_words(PUT, MILLIMETRES) == "0 of 2 lines packed"
    assert result_words(structs.replace(PUT, left=(0.0,)), MILLIMETRES) == "0 of 1 line packed"
    full = structs.replace(PUT, packed=1, off=2, critical_off=1, blocked=3, over=200.0)
    assert put_words(full, MILLIMETRES) == (
        "As it lies: 1 of 2 lines packed, 1 within tolerance, 1 critical off the grid, 3 without a"
        " hole for a stop, 200 mm over the edge."
    )


def test_what_was_tried_and_found() -> None:
    job = structs.replace(JOB, parts=(bar("a", 111, 222, 400), bar("b", 131, 242, 210, 90)))
    found = weldment_places(job)
    assert tried_words(found) == (
        f"Tried {found.shifts} shifts in 8 orientations: all that bring one of the"
        f" {len(found.lines)} lines of faces onto the grid. Lines packed at the best place: 0;"
        f" as it lies now: {found.now.packed}."
    )
    assert "in 1 orientation:" in tried_words(weldment_places(job, turns=(0,), flips=False))


def test_where_nothing_is_better_it_says_so() -> None:
    stop = the_stop(JOB.rack)
    here = 200.0 + stop.face  # both long sides and both ends a whole number of pitches apart
    job = structs.replace(JOB, parts=(bar("a", here, here + 20, 450.0 - 2 * stop.face),))
    found = weldment_places(job, turns=(0,), flips=False)
    assert tried_words(found).endswith(
        f"No place needs less packing than as it lies now: {found.now.packed} packed."
    )


def test_critical_faces_across_the_grid_are_counted() -> None:
    parts = (*frame(), bar("slope", 250, 300, 100, 30))
    job = structs.replace(JOB, parts=parts, critical=(FaceOf("slope", 0),))
    assert tried_words(weldment_places(job)).endswith(
        "1 critical face lies across the grid: set by an angle, not by a shift."
    )
    both = structs.replace(job, critical=(FaceOf("slope", 0), FaceOf("slope", 2)))
    assert "2 critical faces lie across" in tried_words(weldment_places(both))


def test_places_of_a_search_say_how_the_weldment_is_moved() -> None:
    critical = structs.replace(weldment.move(JOB, 3, 4), critical=(FaceOf("front", 0),))
    found = weldment_places(critical, top=40)
    said = " ".join(put_words(put, critical.display) for put in found.found)
    assert "Turned over" in said
    assert "turned 90°" in said.lower()
    assert "critical off the grid" in put_words(found.now, critical.display)
    tolerant = structs.replace(JOB, parts=(bar("a", 125, 245, 400.5),))
    assert "1 within tolerance" in put_words(weldment_places(tolerant).now, tolerant.display)
    marks = tuple(HoleMark(Hole(c, r), "blocked") for c in range(8) for r in range(TABLE.rows))
    shut = structs.replace(JOB, table=structs.replace(TABLE, marks=marks))
    best = weldment_places(shut, turns=(0,), flips=False).found[0]
    assert " right" in put_words(best, shut.display)
