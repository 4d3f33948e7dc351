import pytest
from msgspec import structs

from gridjig.model import Display, Hole
from gridjig.tools.core.arrow_keys import fine_step
from tests.driver import Driver
from tests.workshop import laid, pin, plate, put, seat, stop

JOB = laid(stop("s", 3, 3), pin("p", 10, 10), plate("bar", 500, 300))


@pytest.mark.expectation(25, 27)
def test_arrow_keys_move_by_a_hole_and_with_ctrl_by_five_and_say_so() -> None:
    d = Driver(JOB).select("s").key("right").expect_hint("Fixed stop at E4: 1 hole to the right")
    d.expect_step("Move fixed stop to E4")
    d.key("up", ctrl=True).expect_hint("5 holes to the back")
    assert d.hole("s") == Hole(4, 8)
    d.key("left").key("down")
    assert d.hole("s") == Hole(3, 7)


@pytest.mark.expectation(37)
def test_a_burst_of_arrows_on_the_same_part_is_one_step() -> None:
    d = Driver(JOB).select("s").key("right").key("right").key("up").expect_steps(1)
    d.select("p").key("right").expect_steps(2)
    d.select("s").key("left").expect_steps(3)
    d.undo().undo().undo().expect(lambda it: it.job is JOB)


@pytest.mark.expectation(24)
def test_where_it_cannot_go_it_stays_and_the_reason_is_said() -> None:
    d = Driver(JOB).select("s").key("down", ctrl=True).expect_hint("off the table")
    d.expect_untouched(JOB).select().key("left").expect_hint("Nothing is selected")
    Driver(JOB).select("s", "p").key("right", ctrl=True).key("right", ctrl=True).key(
        "right", ctrl=True
    ).expect_hint("off the table").expect_steps(1)


@pytest.mark.expectation(27)
def test_a_fine_step_of_an_outline_is_a_tick_of_the_unit() -> None:
    d = Driver(JOB).select("bar").key("right", shift=True).key("right", shift=True)
    d.expect_hint("Bar: 1 mm to the right").expect_steps(1)
    assert d.outline("bar").x == 502
    d.with_display(unit="inch fractions").key("up", shift=True)
    assert d.outline("bar").y == 300 + 25.4 / 16
    assert fine_step(Display(unit="inch decimals")) == pytest.approx(1.27)


@pytest.mark.expectation(27)
@pytest.mark.parametrize(
    ("thing", "key", "name", "says"),
    [
        (
            put("x", "slider", seat("s", 8, 8), seat("s", 7, 8), slide=80.0),
            "right",
            "Slide adjustable stop",
            "face 49 mm from the hole",
        ),
        (put("x", "clamp", seat("p", 8, 8), reach=100.0), "left", "Reach down clamp", "99 mm"),
        (
            put("x", "hinge", seat("h1", 8, 8), seat("h2", 10, 8), leaf=90.0),
            "up",
            "Open hinged arm",
            "opened to 90.5°",
        ),
        (put("x", "arm", seat("h", 8, 8), seat("a", 10, 8)), "up", "Turn swing arm", "0.5°"),
    ],
)
def test_a_fine_step_of_a_piece_is_what_gives_way(
    thing: object, key: str, name: str, says: str
) -> None:
    d = Driver(laid(thing)).select("x").key(key, shift=True)  # type: ignore[arg-type]
    d.expect_step(name).expect_hint(says)
    d.key(key, shift=True).expect_steps(1)


def test_a_pinned_piece_says_that_it_cannot_give_way() -> None:
    d = (
        Driver(JOB)
        .select("s")
        .key("up", shift=True)
        .expect_hint("pinned and has no fine adjustment")
    )
    d.select("s", "bar").key("up", shift=True).expect_hint("whole holes").expect_untouched(JOB)


def test_a_fine_step_into_something_is_refused() -> None:
    slider = put("x", "slider", seat("s", 8, 8), seat("s", 7, 8), slide=80.0)
    block = structs.replace(plate("block", 500.2, 430, 40, 40), z_high=50)
    d = Driver(laid(slider, block)).select("x")
    d.key("left", shift=True).expect_hint("overlap block").expect_steps(0)
