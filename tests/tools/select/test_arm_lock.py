from msgspec import structs

from gridjig.edits.table import mark_holes
from gridjig.model import Hole, Job, Table
from gridjig.rack import StraightSlot
from tests.driver import Driver
from tests.workshop import BORE, EMPTY, RACK, laid, pin, plate, put, seat

ARM = structs.replace(
    RACK.piece("hinge"),
    id="lockarm",
    name="arm",
    mounts=(*RACK.piece("hinge").mounts, StraightSlot("lock", (60, 0), (190, 0), BORE, body=1)),
)
SHOP: Job = structs.replace(EMPTY, rack=RACK.with_piece(ARM))
JOB = laid(
    put("k", "lockarm", seat("h1", 8, 8), seat("h2", 10, 8), leaf=60.0), pin("p", 2, 2), job=SHOP
)


def lock_hole(d: Driver) -> Hole | None:
    return d.document.placed_pieces["k"].leaf_hole


def test_an_arm_is_locked_in_the_nearest_hole_and_let_go_again() -> None:
    d = Driver(JOB).select("k").key("l")
    hole = lock_hole(d)
    assert hole == Hole(10, 10), "63.43°, atan2(100, 50), is nearest to 60°"
    d.expect_step("Lock arm in K11").expect_hint("locked by a pin in K11, at ≈63.43°")
    assert d.document.placed_pieces["k"].off == ()
    d.key("l").expect_step("Unlock arm").expect_hint("now set by its scale, at ≈63.43°")
    assert lock_hole(d) is None
    d.undo().undo().expect(lambda it: it.job is JOB)


def test_holes_that_are_taken_blocked_or_in_the_way_are_left_out() -> None:
    d = Driver(laid(pin("q", 10, 10), job=JOB)).select("k").key("l")
    assert lock_hole(d) not in (None, Hole(10, 10))
    blocked = mark_holes(JOB, {Hole(10, 10)}, "blocked")
    assert lock_hole(Driver(blocked).select("k").key("l")) not in (None, Hole(10, 10))
    block = structs.replace(plate("block", 570, 600, 60, 30), z_low=20, z_high=40)
    d = Driver(laid(block, job=JOB)).select("k").key("l")
    assert lock_hole(d) not in (None, Hole(10, 10))


def test_where_no_lock_is_free_the_reason_is_said() -> None:
    table: Table = structs.replace(EMPTY.table, rows=9)
    low = structs.replace(JOB, table=table)
    narrow = structs.replace(low, table=structs.replace(table, columns=11))
    every = {Hole(c, r) for c in range(11) for r in range(9)} - {Hole(8, 8), Hole(10, 8)}
    shut = mark_holes(narrow, every, "blocked")
    Driver(shut).select("k").key("l").expect_hint("no hole of this table").expect_untouched(shut)
    wall = structs.replace(plate("wall", 200, 520, 700, 300), z_low=20, z_high=40)
    walled = laid(wall, job=structs.replace(JOB, table=structs.replace(EMPTY.table, rows=19)))
    walled = mark_holes(
        walled, {Hole(c, 8) for c in range(23)} - {Hole(8, 8), Hole(10, 8)}, "blocked"
    )
    Driver(walled).select("k").key("l").expect_hint("overlap wall").expect_untouched(walled)


def test_what_has_no_arm_says_so() -> None:
    d = Driver(JOB).select("p").key("l").expect_hint("has no arm that opens")
    d.select().key("l").expect_hint("select one first").select("p", "k").key("l")
    d.expect_hint("select one first").expect_untouched(JOB)
    off = laid(put("x", "lockarm", seat("h1", 1, 1), seat("h2", 9, 9)), job=SHOP)
    Driver(off).select("x").key("l").expect_hint("apart").expect_untouched(off)
