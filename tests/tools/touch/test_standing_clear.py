"""What a piece may do in its own holes: stand clear of what is in its way, and look for a face."""

import math

import pytest
from msgspec import structs

from gridjig.model import Hole, Job, Placement
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.touch.bring import Touched, brought, faces_before, touched
from gridjig.tools.touch.free import clear_of, free_values
from gridjig.tools.touch.ground import Ground, ground
from tests.contact.poses import FULL, lay, turned
from tests.workshop import TABLE, pin, plate, put, seat

X, Y = TABLE.at(Hole(11, 9))
OFF = put("s", "turning", seat("h", 99, 99))
"""A stop in a hole that the table has not."""


def before(job: Job, moving: Placement | None = None) -> Ground:
    return ground(job, PlacedPieces().of(job), moving)


@pytest.mark.parametrize(
    ("thing", "free"),
    [
        (turned("s", 11, 9, 30.0), {"turn"}),
        (put("s", "clamp", seat("p", 11, 9), reach=100.0), {"turn", "reach"}),
        (put("s", "hinge", seat("h1", 11, 9), seat("h2", 13, 9)), {"leaf"}),
        (put("s", "stop", seat("h1", 11, 9), seat("h2", 12, 9)), set()),
    ],
    ids=["one pin", "clamp", "hinge", "two pins"],
)
def test_what_the_pins_leave_free(thing: Placement, free: set[str]) -> None:
    there = PlacedPieces().of(lay(thing, rack=FULL))["s"]
    assert there.fault is None
    assert free_values(there) == free


@pytest.mark.source("method", "the conflict relation, asked again where it is said to stand clear")
def test_a_stop_turns_out_of_the_way_if_it_may() -> None:
    """Its body reaches 12 mm in front of its pin and 30 mm behind it; the block is 20 mm away."""
    job = lay(plate("w", X - 100.0, Y + 20.0, 200.0, 100.0), rack=FULL)
    stop = turned("s", 11, 9, 180.0)
    at = before(job)
    assert at.in_the_way(stop) is not None
    clear = clear_of(at, stop)
    assert clear is not None
    assert (clear.seats, clear.slide) == (stop.seats, stop.slide)
    assert at.in_the_way(clear) is None
    assert clear_of(at, stop, turning=False) is None


def test_where_its_very_pin_is_covered_no_turn_helps() -> None:
    at = before(lay(plate("w", X - 100.0, Y - 50.0, 200.0, 100.0), rack=FULL))
    assert clear_of(at, turned("s", 11, 9, 0.0)) is None
    assert clear_of(at, OFF) is None


def test_what_cannot_stand_touches_nothing_and_says_why() -> None:
    job = lay(plate("w", X - 100.0, Y + 12.0, 200.0, 100.0), turned("t", 11, 9, 0.0), rack=FULL)
    at = before(job)
    assert touched(job, at.stood(job.placements[0])).what == "touching"
    assert touched(job, at.stood(OFF)) == Touched("alone")
    made = brought(at, OFF, [], math.inf)
    assert "off the table" in made.why
    unknown = structs.replace(OFF, piece="nobody")
    assert faces_before(at, at.stood(unknown), Touched("alone"), 500.0) == []
    assert brought(at, unknown, [], math.inf).why.endswith(".")


def test_a_riser_has_nothing_to_bring_to_a_face() -> None:
    job = lay(plate("w", X - 100.0, Y + 30.0, 200.0, 100.0), rack=FULL)
    at, riser = before(job), put("r", "riser", seat("p", 11, 9))
    faces = faces_before(at, at.stood(riser), Touched("alone"), 500.0)
    assert [face.part for face in faces[:1]] == ["w"]
    assert faces[0].distance((X, Y)) == pytest.approx(30.0)  # it looks out from its middle
    made = brought(at, riser, faces, math.inf)
    assert made.placement is riser
    assert made.why == "riser has no face, round or tip that could touch the work."


def test_packing_of_the_piece_that_is_set_again_is_free_for_it() -> None:
    moving = structs.replace(turned("s", 11, 9, 0.0), packing=("s5", "s2"), lift=("riser",))
    job = lay(moving, structs.replace(turned("t", 14, 9, 0.0), packing=("s5",)), pin("p", 2, 2),
              rack=FULL)  # fmt: skip
    assert [before(job).used[piece] for piece in ("s5", "s2", "riser")] == [2, 1, 1]
    again = before(job, moving)
    assert [again.used[piece] for piece in ("s5", "s2", "riser")] == [1, 0, 0]
    assert again.without == {"s"}
