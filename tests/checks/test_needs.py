from msgspec import structs

from gridjig.checks.needs import Need, left_of, needs, pins_in, short_by
from gridjig.rack import Rack
from tests.workshop import EMPTY, PIN, RACK, STOP, laid, pin, put, seat, stop


def test_each_pinned_hole_takes_a_locking_pin_and_a_shank_takes_none() -> None:
    job = laid(stop("a", 1, 1), stop("b", 5, 1), pin("c", 9, 9))
    assert needs(job) == {
        "pin": Need(1, ("c",)),
        "stop": Need(2, ("a", "b")),
        "bolt": Need(4, ("a", "b")),
    }
    assert list(needs(job)) == ["pin", "stop", "bolt"]


def test_a_slot_takes_a_pin_for_each_hole() -> None:
    slider = put("s", "slider", seat("s", 1, 1), seat("s", 2, 1))
    assert needs(laid(slider))["bolt"] == Need(2, ("s",))


def test_risers_and_shims_count_as_often_as_they_are_stacked() -> None:
    raised = structs.replace(stop("a", 1, 1), lift=("riser", "shim", "shim"), packing=("shim",))
    assert needs(laid(raised))["shim"] == Need(3, ("a",))
    assert needs(laid(raised))["riser"] == Need(1, ("a",))


def test_an_empty_job_needs_nothing() -> None:
    assert needs(EMPTY) == {}


def test_a_piece_that_is_not_on_the_rack_is_needed_all_the_same() -> None:
    job = structs.replace(laid(stop("a", 1, 1)), rack=Rack(name="Bare"))
    assert needs(job) == {"stop": Need(1, ("a",))}
    assert short_by(None, needs(job)["stop"]) == 1


def test_the_first_pin_that_the_rack_knows_is_taken() -> None:
    choosy = structs.replace(STOP, takes=("golden", "bolt"))
    found = RACK.locking_pin(choosy)
    assert found is not None
    assert found.id == "bolt"
    assert RACK.locking_pin(PIN) is None


def test_shortage() -> None:
    job = laid(*(stop(f"s{i}", 3 * i, 1) for i in range(7)))
    need = needs(job)
    assert short_by(STOP, need["stop"]) == 1
    assert left_of(STOP, need["stop"]) == -1
    assert left_of(STOP, None) == STOP.owned
    assert short_by(RACK.piece("bolt"), need["bolt"]) == 2
    assert pins_in(STOP, job.placements[0]) == 2


def test_a_piece_on_its_own_shank_takes_no_pin_whatever_it_could_take() -> None:
    able = RACK.with_piece(structs.replace(PIN, takes=("bolt",)))
    assert "bolt" not in needs(structs.replace(laid(pin("a", 1, 1)), rack=able))
