import pytest
from msgspec import structs

from gridjig.model import Hole
from gridjig.solve.placed.solver import solve_placement
from tests.driver import Driver
from tests.workshop import laid, pin, plate, put, seat, stop

JOB = laid(
    stop("s", 3, 3),
    pin("p", 10, 10),
    plate("bar", 500, 300),
    plate("rib", 700, 300),
    put("slider", "slider", seat("s", 8, 15), seat("s", 7, 15), slide=80.0),
    put("arm", "arm", seat("h", 15, 3), seat("a", 17, 3)),
    put("hinge", "hinge", seat("h1", 2, 9), seat("h2", 4, 9), leaf=90.0),
    put("clamp", "clamp", seat("p", 16, 15), reach=100.0),
)


@pytest.mark.expectation(25, 28)
def test_a_typed_address_moves_what_is_selected_there() -> None:
    d = Driver(JOB).select("s").type("h6").expect_step("Move fixed stop to H6")
    d.type("H6").expect_hint("already there").type("K11").expect_hint("taken").expect_steps(1)
    d.select("s", "p").type("H7").expect_step("Move 2 pieces")
    assert d.hole("p") == Hole(10, 11)
    d.select("s", "p").type("nowhere").expect_hint("type a hole such as")
    d.select("bar", "rib").type("B14").expect_step("Move 2 parts")
    assert [(o.x, o.y) for o in d.job.parts] == [(100, 700), (300, 700)]
    d.select().type("H6").expect_hint("Nothing is selected")


@pytest.mark.expectation(28)
@pytest.mark.parametrize(
    ("thing", "text", "step", "says"),
    [
        ("arm", "37.5", "Turn swing arm", "37.5°"),
        ("arm", "4 in 12", "Turn swing arm", "18.43°"),
        ("hinge", "45", "Open hinged arm", "45°"),
        ("slider", "60", "Slide adjustable stop", "face 60 mm from the hole"),
        ("slider", "2-3/8 in", "Slide adjustable stop", "face ≈60.3 mm from the hole"),
        ("clamp", "120mm", "Reach down clamp", "120 mm"),
        ("clamp", "90", "Turn down clamp", "90°"),
        ("clamp", '4"', "Reach down clamp", "101.6 mm"),
        ("clamp", '4-1/2"', "Reach down clamp", "114.3 mm"),
        ("clamp", "37 30'", "Turn down clamp", "37.5°"),
        ("hinge", "37 30'", "Open hinged arm", "37.5°"),
        ("bar", "-15", "Turn bar to −15°", "−15°"),
    ],
)
def test_a_typed_angle_or_length_goes_there(thing: str, text: str, step: str, says: str) -> None:
    Driver(JOB).select(thing).type(text).expect_step(step).expect_hint(says)


def test_what_is_turned_into_the_work_slides_out_of_its_way() -> None:
    """As far out as it is, its face would come to y = 530, into a bar that begins at 480."""
    slider = put("a", "slider", seat("s", 8, 8), seat("s", 8, 7), turn=-90.0, slide=0.0)
    d = Driver(laid(slider, plate("bar", 400, 480))).select("a").type("90°")
    d.expect_step("Turn adjustable stop")
    d.expect_hint("turned to 90°, clear of what was in its way", "face 20 mm from the hole")
    there = solve_placement(d.job.table, d.job.rack, d.placement("a"))
    assert there.turn == pytest.approx(90)
    assert there.faces[0].a[1] == pytest.approx(470)
    hemmed = Driver(laid(slider, plate("bar", 400, 480), plate("in", 400, 465, d=10))).select("a")
    hemmed.type("90°").expect_hint("overlap").expect_steps(0)


def test_what_is_turned_into_the_work_takes_its_other_pins() -> None:
    """By the hole before it its body stands in the bar even drawn back; by that behind it, not."""
    slider = put("a", "slider", seat("s", 8, 8), seat("s", 9, 8), turn=180.0, slide=0.0)
    d = Driver(laid(slider, plate("bar", 350, 475, w=200))).select("a").type("90°")
    d.expect_step("Turn adjustable stop").expect_hint("turned to 90°")
    there = solve_placement(d.job.table, d.job.rack, d.placement("a"))
    assert set(there.holes) == {Hole(8, 8), Hole(8, 7)}
    d.type("20").expect_hint("already set that way").expect(lambda d: "type 20°" not in d.hint)


def test_one_key_turns_a_stop_all_the_way_round_before_the_work() -> None:
    slider = put("a", "slider", seat("s", 8, 8), seat("s", 8, 7), turn=-90.0, slide=0.0)
    d = Driver(laid(slider, plate("bar", 350, 480, w=200))).select("a")
    turns = [
        round(solve_placement(d.job.table, d.job.rack, d.placement("a")).turn)
        for _ in range(8)
        if d.key("r")
    ]
    assert turns == [-45, 0, 45, 90, 135, 180, -135, -90]


@pytest.mark.expectation(30)
@pytest.mark.parametrize(
    ("thing", "text", "says"),
    [
        ("s", "37", "the nearest is 0°"),
        ("s", "0", "already set that way"),
        ("s", "5 mm", "does not slide"),
        ("slider", "300", "cannot be 300 mm from the hole"),
        ("slider", "300", "To turn it, type 300°."),
        ("clamp", "500mm", "reaches from 60 mm to 160 mm"),
        ("bar", "rubbish", ""),
        ("s", "rubbish", ""),
    ],
)
def test_what_cannot_be_had_is_answered_with_what_can(thing: str, text: str, says: str) -> None:
    Driver(JOB).select(thing).type(text).expect_untouched(JOB).expect_hint(says)


def test_an_angle_that_an_arm_cannot_take_goes_to_the_nearest_and_says_where_it_is_pinned() -> None:
    d = Driver(JOB).select("hinge").type("200").expect_step("Open hinged arm")
    d.expect_hint("200° is not possible here; the nearest is 180°.", "opened to 180°")
    assert d.placement("hinge").leaf == 180.0
    d = Driver(JOB).select("s").type("128").expect_step("Turn fixed stop")
    d.expect_hint("128° is not possible here; the nearest is 90°, pinned in D4 + D5.")
    assert [seat.hole for seat in d.placement("s").seats] == [Hole(3, 3), Hole(3, 4)]
    d.type("180").expect_hint("turned to 180°", "Now pinned in D4 + C4.")


def test_where_the_other_way_round_is_closer_it_asks() -> None:
    """The hole to the back is taken: 91° is not near to anything, −90° is the same line."""
    job = laid(pin("taken", 3, 4), job=JOB)
    d = Driver(job).select("s").type("91").expect_untouched(job)
    d.expect_hint(
        "91° is not possible here; the nearest is 180°, pinned in D4 + C4.",
        "The other way round, −90°, pinned in D4 + D3, is closer.",
        "Nothing was turned; type the one you mean.",
    )
    d.type("-90°").expect_step("Turn fixed stop").expect_hint("Now pinned in D4 + D3.")


def test_where_the_nearest_is_near_it_goes_there_and_tells_the_other_way_round() -> None:
    job = laid(put("bent", "arm", seat("h", 6, 6)), pin("taken", 8, 6))
    d = Driver(job).select("bent").type("25.5")
    d.expect_hint("the nearest is 30°, pinned in G7 + G9.", "The other way round, −154.5°, ")
    assert d.document.placed_pieces["bent"].turn == pytest.approx(30.0)


def test_what_is_in_the_way_is_said() -> None:
    block = structs.replace(plate("block", 930, 270, 40, 40), z_high=50)
    job = laid(block, job=JOB)
    Driver(job).select("arm").type("45").expect_untouched(job).expect_hint("overlap block")
