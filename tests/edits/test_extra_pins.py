"""One more pin, where a further hole of a piece is over a free hole of the table."""

import pytest
from msgspec import structs

from gridjig.edits.extra_pins import further, pin_in, pull_last
from gridjig.edits.lookup import placement_of
from gridjig.edits.placements import set_pose
from gridjig.model import Hole, Job, Seat
from gridjig.rack import RoundHole
from gridjig.solve.placed.cache import PlacedPieces, holes_besides
from tests.workshop import BORE, EMPTY, PITCH, STOP, laid, pin, put, seat

SQUARE = structs.replace(
    STOP,
    id="square",
    mounts=(
        RoundHole("corner", (0, 0), BORE),
        RoundHole("along", (2 * PITCH, 0), BORE),
        RoundHole("across", (0, 2 * PITCH), BORE),
        RoundHole("odd", (0.5 * PITCH, 0), BORE),
    ),
)
RACK = structs.replace(EMPTY.rack, pieces=(*EMPTY.rack.pieces, SQUARE))
SHOP = structs.replace(EMPTY, rack=RACK)


def squared(*others: object, row: int = 5) -> Job:
    square = put("s", "square", seat("corner", 5, row), seat("along", 7, row))
    return laid(square, *others, job=SHOP)  # type: ignore[arg-type]


def spare(job: Job) -> tuple[Seat, ...]:
    placed_pieces = PlacedPieces().of(job)
    return further(job, placed_pieces["s"], holes_besides(placed_pieces, "s"))


def test_a_third_hole_over_a_free_one_can_be_pinned_too() -> None:
    job = squared()
    assert spare(job) == (Seat("across", Hole(5, 7)),)
    before = PlacedPieces().of(job)["s"]
    seats = placement_of(job, "s").seats
    pinned = pin_in(job, "s", seats, spare(job)[0])
    there = PlacedPieces().of(pinned)["s"]
    assert there.fault is None
    assert there.poses == before.poses
    assert there.holes == (Hole(5, 5), Hole(7, 5), Hole(5, 7))
    assert spare(pinned) == ()
    assert pull_last(pinned, "s", placement_of(pinned, "s").seats) == job
    with pytest.raises(ValueError, match="a piece needs 2 pins"):
        pull_last(job, "s", seats)


def test_none_is_offered_where_it_is_taken_off_the_table_or_between_holes() -> None:
    assert spare(squared(pin("p", 5, 7))) == ()
    assert spare(squared(row=EMPTY.table.rows - 1)) == ()
    faulty = laid(put("s", "square", seat("corner", 5, 5), seat("along", 8, 5)), job=SHOP)
    assert spare(faulty) == ()


def test_what_turns_on_one_pin_is_pinned_as_it_stands() -> None:
    one = laid(put("s", "square", seat("corner", 5, 5)), job=SHOP)
    assert {s.feature for s in spare(one)} == {"along", "across"}
    assert spare(set_pose(one, "s", turn=20.0)) == ()
