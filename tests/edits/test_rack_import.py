"""Importing a rack line by line; inch and metric kinds beside each other."""

import pytest
from msgspec import structs

from gridjig.edits.rack_import import compare, imported
from gridjig.files.library.assets import ready_tables, starter_racks
from gridjig.model import Job
from gridjig.rack import Rack
from tests.workshop import EMPTY, PIN, RACK, STOP, laid, pin, stop

RACKS = starter_racks()
INCH, METRIC = RACKS["inch-5-8"], RACKS["metric-16"]
SHOP = Job(name="Shop", table=ready_tables()["48x48-5/8"], rack=INCH)


def every(job: Job, other: Rack, replace: bool = False) -> Job:
    compared = compare(job.rack, other, replace)
    return imported(job, compared, {line.key for line in compared.lines})


def test_each_line_says_what_it_does_and_is_taken_or_left() -> None:
    more = structs.replace(STOP, owned=9)
    new = structs.replace(PIN, id="pin-2", bin="Z1")
    other = Rack(name="Other", walk=("A2", "Z1", "Z2"), pieces=(more, RACK.piece("shim"), new))
    compared = compare(RACK, other)
    assert [(line.key, line.does) for line in compared.lines] == [
        ("piece stop", "changed"), ("piece pin-2", "added"),
    ]  # fmt: skip
    assert compared.same == 1
    both = imported(EMPTY, compared, {"piece stop", "piece pin-2"}).rack
    assert (both.piece("stop").owned, both.pieces[-1], both.name) == (9, new, RACK.name)
    assert both.walk == (*RACK.walk, "Z1")  # nothing came that hangs in Z2
    one = imported(EMPTY, compared, {"piece stop"}).rack
    assert one.pieces == tuple(more if p is STOP else p for p in RACK.pieces)
    assert one.walk == RACK.walk
    assert imported(EMPTY, compared, ()) is EMPTY


def test_metric_pieces_come_in_beside_the_inch_ones() -> None:
    compared = compare(INCH, METRIC)
    assert not [line for line in compared.lines if line.does == "changed"]
    shared = [p for p in METRIC.pieces if INCH.find(p.id)]
    assert len(shared) >= 15
    rack = every(SHOP, METRIC).rack
    assert rack.pieces[: len(INCH.pieces)] == INCH.pieces
    assert len(rack.pieces) == len(INCH.pieces) + len(METRIC.pieces)
    stop = rack.piece("stop-fixed-metric")
    assert stop.solids == METRIC.piece("stop-fixed").solids
    pin = rack.locking_pin(stop)
    assert pin is not None
    assert pin.pin_diameter == METRIC.piece("lock-pin").pin_diameter
    assert rack.locking_pin(rack.piece("stop-fixed")) is INCH.piece("lock-pin")


def test_a_metric_stop_without_its_pin_is_not_pinned_with_an_inch_pin() -> None:
    compared = compare(INCH, METRIC)
    rack = imported(SHOP, compared, {"piece stop-fixed-metric"}).rack
    assert rack.find("stop-fixed-metric") is not None
    assert rack.locking_pin(rack.piece("stop-fixed-metric")) is None


def test_the_same_rack_again_changes_only_what_changed() -> None:
    both = every(SHOP, METRIC)
    assert compare(both.rack, METRIC).lines == ()
    stop = structs.replace(METRIC.piece("stop-fixed"), owned=77)
    [line] = compare(both.rack, METRIC.with_piece(stop)).lines
    assert (line.key, line.does) == ("piece stop-fixed-metric", "changed")
    again = every(both, METRIC.with_piece(stop)).rack
    assert again.piece("stop-fixed-metric").owned == 77
    assert again.piece("stop-fixed") == INCH.piece("stop-fixed")


def test_which_sizes_were_typed_is_no_difference_but_comes_with_one() -> None:
    typed = structs.replace(STOP, typed=("length.0",))
    other = Rack(name="Other", pieces=(typed,))
    job = structs.replace(EMPTY, rack=Rack(name="Ours", pieces=(STOP,)))
    assert compare(job.rack, other).lines == ()
    assert compare(job.rack, other).same == 1
    more = structs.replace(other, pieces=(structs.replace(typed, owned=STOP.owned + 1),))
    compared = compare(job.rack, more)
    assert [line.does for line in compared.lines] == ["changed"]
    assert imported(job, compared, compared.usual(job)).rack.pieces == more.pieces


def test_a_mixed_rack_finds_its_own_pieces_in_the_other_shop() -> None:
    both = every(SHOP, METRIC).rack
    compared = compare(METRIC, both)
    assert compared.same == len(METRIC.pieces)
    assert {line.does for line in compared.lines} == {"added"}
    assert len(compared.lines) == len(INCH.pieces)


def test_pieces_for_other_holes_come_in_beside_each_other_too() -> None:
    rack = every(SHOP, RACKS["inch-3-4"]).rack
    assert rack.piece("stop-fixed") == INCH.piece("stop-fixed")
    assert rack.piece("stop-fixed-inch").solids == RACKS["inch-3-4"].piece("stop-fixed").solids
    third = every(structs.replace(SHOP, rack=rack), METRIC).rack
    assert third.find("stop-fixed-metric") is not None
    assert len({p.id for p in third.pieces}) == len(third.pieces)


# -- replacing -------------------------------------------------------------------------------------


def test_a_rack_that_is_replaced_is_the_other_one_in_its_order() -> None:
    few = Rack(name="Few", walk=("A2",), pieces=(RACK.piece("shim"), STOP))
    assert every(EMPTY, few, replace=True).rack == few
    compared = compare(RACK, few, replace=True)
    kept = compared.usual(EMPTY) - {"name", "piece pin"}
    left = imported(EMPTY, compared, kept).rack
    assert left.name == RACK.name
    assert [p.id for p in left.pieces] == ["shim", "stop", "pin"]


def test_what_is_on_the_table_stays_unless_asked_for_and_then_it_is_refused() -> None:
    job = laid(pin("a", 2, 2), stop("c", 6, 6))
    few = structs.replace(RACK, pieces=(RACK.piece("bolt"), STOP))
    compared = compare(job.rack, few, replace=True)
    usual = compared.usual(job)
    assert "piece pin" not in usual
    assert {p.id for p in imported(job, compared, usual).rack.pieces} == {"bolt", "stop", "pin"}
    with pytest.raises(ValueError, match="locating pin is on the table, but would no longer be"):
        imported(job, compared, usual | {"piece pin"})


def test_a_placed_inch_piece_never_becomes_a_metric_one() -> None:
    job = laid(pin("a", 2, 2))
    foreign = structs.replace(PIN, size="2 in body")
    compared = compare(job.rack, structs.replace(RACK, pieces=(foreign,)), replace=True)
    after = imported(job, compared, compared.usual(job)).rack
    assert after.piece("pin") == PIN
    assert after.piece("pin-inch").size == "2 in body"
