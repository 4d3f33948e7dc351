import pytest
from msgspec import structs

from gridjig.edits.rack import remove_piece
from gridjig.model import Hole, Job
from gridjig.rack import RoundHole, Shank
from tests.driver import Driver
from tests.workshop import BORE, EMPTY, RACK, TABLE, laid, pin, plate, put, seat, stop

JOB = laid(stop("s", 3, 3), pin("p", 10, 10), plate("bar", 500, 300))


@pytest.mark.expectation(40)
def test_deleting_asks_nothing_and_offers_undo() -> None:
    d = Driver(JOB).select("s", "bar").key("delete").expect_step("Delete 1 piece and 1 part")
    d.expect_hint("Ctrl+Z undoes it").undo().expect(lambda it: it.job is JOB)
    d.expect_selected("s", "bar").select().key("backspace").expect_hint("Nothing is selected")


def test_r_turns_through_the_poses_that_exist() -> None:
    d = Driver(JOB).select("s")
    turns = []
    for _ in range(4):
        d.key("r")
        turns.append(d.document.placed_pieces["s"].turn)
    assert turns == [90, 180, -90, 0]
    d.key("r", shift=True).expect_step("Turn fixed stop").expect_hint("turned to −90°")


def test_poses_that_are_in_the_way_are_passed_over() -> None:
    block = structs.replace(plate("block", 180, 230, 40, 40), z_high=50)
    d = Driver(laid(block, job=JOB)).select("s").key("r").expect_hint("180°")
    walled = laid(
        block,
        structs.replace(plate("b", 110, 180, 40, 40), z_high=50),
        structs.replace(plate("c", 180, 110, 40, 40), z_high=50),
        job=JOB,
    )
    d = Driver(walled).select("s").key("r").expect_hint("No other position is free", "overlap")
    d.expect_untouched(walled)
    lone = laid(stop("s", 3, 3), pin("a", 3, 4), pin("b", 2, 3), pin("c", 3, 2))
    Driver(lone).select("s").key("r").expect_hint(
        "cannot be turned in these holes"
    ).expect_untouched(lone)


def test_r_turns_an_outline_a_quarter_about_its_middle_and_four_are_nothing() -> None:
    d = Driver(JOB).select("bar").key("r").expect_step("Turn bar to 90°")
    d.key("r").key("r", shift=True).key("r").key("r").key("r")
    bar = d.outline("bar")
    assert (bar.x, bar.y, bar.turn) == pytest.approx((500, 300, 0))
    d.select("bar", "s").key("r").expect_hint("one thing at a time")
    d.select().key("r").expect_hint("Nothing is selected")


def test_f_turns_over_in_the_same_holes() -> None:
    d = Driver(JOB).select("s").key("f").expect_step("Turn over fixed stop")
    assert d.placement("s").flipped
    assert d.placement("s").seats == JOB.placements[0].seats
    assert d.document.placed_pieces["s"].faces[0].normal == pytest.approx((0, 1))


def test_f_finds_other_holes_where_the_same_do_not_do() -> None:
    job = laid(put("a", "arm", seat("h", 8, 8), seat("a", 10, 8), turn=20.0))
    d = Driver(job).select("a").key("f")
    assert d.placement("a").flipped
    assert d.document.placed_pieces["a"].turn == pytest.approx(20)


def test_what_cannot_be_turned_over_says_so() -> None:
    d = Driver(JOB).select("p").key("f").expect_hint("cannot be used turned over")
    d.select("bar").key("f").expect_hint("not turned over one by one").select().key("f")
    d.expect_hint("Nothing is selected").expect_untouched(JOB)
    block = structs.replace(plate("block", 200, 150, 20, 20), z_high=50)
    tight = laid(put("k", "skew", seat("h1", 3, 3), seat("h2", 4, 3)), block, job=SKEWED)
    Driver(tight).select("k").key("f").expect_hint("overlap block").expect_untouched(tight)


SKEW = structs.replace(
    RACK.piece("stop"),
    id="skew",
    solids=(
        structs.replace(
            RACK.piece("stop").solids[0], outline=((-20, -5), (70, -5), (70, 60), (-20, 60))
        ),
    ),
)
SKEWED: Job = structs.replace(EMPTY, rack=RACK.with_piece(SKEW))


def test_copies_go_where_there_is_room_and_are_selected() -> None:
    d = Driver(JOB).select("p").key("d", ctrl=True).expect_step("Copy locating pin")
    d.expect_selected("p-1").expect_hint("Locating pin at L11 pasted")
    d.key("d", ctrl=True)
    assert d.hole("p-2") == Hole(12, 10)
    d.select("s", "p", "bar").key("d", ctrl=True).expect_step("Copy 2 pieces and 1 part")
    d.select().key("d", ctrl=True).expect_hint("Nothing has been copied")


def test_a_copy_that_finds_no_room_says_so() -> None:
    small = structs.replace(TABLE, columns=2, rows=1)
    full = laid(pin("a", 0, 0), pin("b", 1, 0), job=structs.replace(EMPTY, table=small))
    Driver(full).select("a").key("d", ctrl=True).expect_hint("no room").expect_untouched(full)


def test_a_copy_of_a_piece_that_left_the_rack_says_so() -> None:
    d = Driver(JOB).select("p").key("x", ctrl=True)
    d.document.do(remove_piece(d.job, "pin"), "Take pin off the rack")
    d.key("v", ctrl=True).expect_hint("no longer has the piece pin")


def test_a_part_that_finds_no_hole_turned_over_stays() -> None:
    lopsided = structs.replace(
        RACK.piece("stop"),
        id="odd",
        mounts=(
            RoundHole("h1", (0, 0), BORE),
            RoundHole("h2", (40, 30), BORE),
            Shank("p", (0, 30), 12),
        ),
    )
    job = structs.replace(EMPTY, rack=RACK.with_piece(lopsided))
    odd = laid(put("o", "odd", seat("h1", 3, 3), seat("h2", 4, 3)), job=job)
    Driver(odd).select("o").key("f").expect_untouched(odd)
