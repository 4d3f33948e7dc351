"""How deep pins go into the table, and what is said of holes that are too shallow for them."""

import pytest
from msgspec import structs

from gridjig.checks.findings import Finding, findings
from gridjig.checks.pin_depth import pin_depth
from gridjig.model import Hole, HoleMark, Job
from gridjig.rack import Piece, Solid
from gridjig.solve.placed.cache import PlacedPieces
from tests.workshop import EMPTY, LOCK, PIN, RACK, RISER, STOP, TABLE, disc, laid, pin, stop

LONG = structs.replace(PIN, pin_length=25.0)
SHOWN = structs.replace(LOCK, solids=(Solid(disc(8), -18.0, 20.0),))
"""A locking pin of which the outline alone tells how far it goes down."""


def with_rack(*pieces: Piece) -> Job:
    rack = RACK
    for one in pieces:
        rack = rack.with_piece(one)
    return structs.replace(EMPTY, rack=rack)


def shallow(mm: float, *pieces: Piece) -> Job:
    marks = (HoleMark(Hole(3, 3), "shallow", mm),)
    return structs.replace(with_rack(*pieces), table=structs.replace(TABLE, marks=marks))


def found(job: Job) -> tuple[Finding, ...]:
    return tuple(one for one in findings(job, PlacedPieces().of(job)) if one.kind == "hole")


@pytest.mark.source("method", "arithmetic: the length less what it stands on")
def test_a_pin_goes_in_by_its_length_less_the_risers_below_it() -> None:
    rack = with_rack(LONG, structs.replace(RISER, thickness=10.0)).rack
    on_table = pin("a", 3, 3)
    assert pin_depth(rack, LONG, on_table, "p") == 25.0
    assert pin_depth(rack, LONG, structs.replace(on_table, lift=("riser",)), "p") == 15.0
    high = structs.replace(on_table, lift=("riser",) * 3)
    assert pin_depth(rack, LONG, high, "p") == 0.0


def test_a_riser_with_a_pin_of_its_own_goes_in_too() -> None:
    riser = structs.replace(RISER, thickness=40.0, pin_length=12.0)
    rack = with_rack(LONG, riser).rack
    raised = structs.replace(pin("a", 3, 3), lift=("riser", "riser"))
    assert pin_depth(rack, LONG, raised, "p") == 12.0


def test_a_hole_of_a_piece_goes_by_its_locking_pin_and_a_leaf_too() -> None:
    rack = with_rack(SHOWN).rack
    assert pin_depth(rack, STOP, stop("s", 2, 3), "h1") == 18.0
    assert pin_depth(rack, STOP, stop("s", 2, 3), None) == 18.0
    bare = structs.replace(STOP, takes=())
    assert pin_depth(rack, bare, stop("s", 2, 3), "h1") == 0.0


def test_a_pin_that_is_too_long_does_not_seat() -> None:
    (one,) = found(laid(pin("a", 3, 3), job=shallow(10.0, LONG)))
    assert (one.level, one.ids, one.where) == ("stop", ("a",), TABLE.at(Hole(3, 3)))
    assert one.what == (
        "locating pin does not seat in D4: the hole is 10 mm deep and its pin goes in 25 mm, so it"
        " stands up by 15 mm."
    )
    assert one.do == "Use a shorter pin or another hole."
    assert (one.value, one.limit, one.unit) == (25.0, 10.0, "mm")
    assert "pin length of the rack" in one.source


def test_a_pin_that_is_short_enough_is_well() -> None:
    assert found(laid(pin("a", 3, 3), job=shallow(25.0, LONG))) == ()
    assert found(laid(stop("s", 2, 3), job=shallow(18.0, SHOWN))) == ()


def test_where_the_length_is_not_known_it_is_asked_for() -> None:
    (one,) = found(laid(pin("a", 3, 3), job=shallow(10.0)))
    assert one.level == "look"
    assert "only 10 mm deep; the length of its pin is not known" in one.what
    assert one.do.startswith("Measure the pin and enter its length on the rack")
    assert (one.value, one.limit) == (None, 10.0)
