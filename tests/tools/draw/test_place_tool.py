import pytest
from msgspec import structs

from gridjig.edits.table import mark_holes
from gridjig.geometry.display import Polyline, TextLabel
from gridjig.model import Hole, Job
from gridjig.tools.core.controller import ToolMaker
from gridjig.tools.draw.place_tool import PlaceTool
from tests.driver import Driver
from tests.trials.layout import empty, inches, load, with_members
from tests.workshop import EMPTY, laid, pin, plate, stop


def placing(piece: str) -> ToolMaker:
    return lambda document: PlaceTool(document, piece)


def driver(piece: str, job: Job = EMPTY) -> Driver:
    return Driver(job).tool(placing(piece))


def holes(d: Driver, thing_id: str) -> list[Hole]:
    return [s.hole for s in d.placement(thing_id).seats]


def test_a_ghost_shows_hole_and_angle_before_the_click() -> None:
    d = driver("stop").hover("H6").expect_hint("put fixed stop in H6 at 0°", "6 left")
    assert "H6 + I6" in d.words
    ghost = [y for s in d.overlay if isinstance(s, Polyline) for _, y in s.points]
    above, below = (s for s in d.overlay if isinstance(s, TextLabel))
    assert above.at[1] >= max(ghost)  # the words do not hide the ghost
    assert below.at[1] <= min(ghost)
    assert "0°" in d.words
    assert "ghost" in d.roles
    d.expect_untouched(EMPTY)


@pytest.mark.expectation(11, 23)
def test_a_click_places_on_release_and_more_can_follow() -> None:
    d = driver("stop").hover("H6").press("H6").expect_untouched(EMPTY)
    d.release("H6").expect_step("Place fixed stop in H6").expect_selected("fixed-stop-1")
    assert holes(d, "fixed-stop-1") == [Hole(7, 5), Hole(8, 5)]
    d.expect_hint("5 left on the rack")
    assert d.overlay == ()
    d.click("C3").expect_step("Place fixed stop in C3").expect_steps(2)
    d.key("escape")
    assert d.controller.tool.name == "select"


@pytest.mark.expectation(26)
def test_a_piece_dragged_from_the_rack_list_is_placed_where_it_is_dropped() -> None:
    d = driver("pin").hover("B2").hover("C3").release("H6")
    d.expect_step("Place locating pin in H6")


@pytest.mark.expectation(25, 26, 61)
def test_a_piece_is_placed_by_keys_alone() -> None:
    d = driver("pin").hover("H6").key("right").key("up").key("up", ctrl=True).key("enter")
    d.expect_step("Place locating pin in I12")
    d.key("left").key("space").expect_step("Place locating pin in H12")
    for _ in range(9):
        d.key("left", ctrl=True).key("down", ctrl=True)
    d.key("enter").expect_step("Place locating pin in A1")


@pytest.mark.expectation(25)
def test_a_piece_is_placed_by_a_typed_address_and_turned_by_a_typed_angle() -> None:
    d = driver("stop").type("90").expect_hint("nearest angle here is 90°")
    d.type("c4").expect_step("Place fixed stop in C4")
    assert holes(d, "fixed-stop-1") == [Hole(2, 3), Hole(2, 4)]
    d.type("Z99").expect_steps(1).expect_hint("columns run from A to W")


def test_a_typed_angle_where_nothing_stands_says_why() -> None:
    d = driver("stop", laid(pin("p", 7, 5))).hover("H6").type("90")
    d.expect_hint("not fit at H6", "taken")


def test_r_turns_before_placing_and_f_flips() -> None:
    d = driver("stop").hover("H6").key("r").expect_hint("at 90°").key("r", shift=True)
    d.expect_hint("at 0°").key("f").click("H6")
    assert d.placement("fixed-stop-1").flipped
    d.tool(placing("pin")).hover("B2").key("f").expect_hint("cannot be used turned over")
    d.key("r").expect_hint("at 15°")


@pytest.mark.expectation(24)
@pytest.mark.parametrize(
    ("job", "says"),
    [
        (laid(pin("p", 7, 5)), "taken"),
        (mark_holes(EMPTY, {Hole(7, 5)}, "blocked"), "H6 is blocked"),
        (laid(plate("bar", 380, 280, 100, 60)), "overlap"),
    ],
)
def test_where_it_cannot_stand_the_reason_is_shown_and_a_click_does_nothing(
    job: Job, says: str
) -> None:
    d = driver("stop", job).hover("H6").expect_hint("not fit at H6", says)
    assert any(says in w for w in d.words)
    assert "clash" in d.roles
    d.click("H6").expect_untouched(job).expect_hint(says)
    d.key("enter").expect_untouched(job)


def test_the_rack_being_short_is_said_but_does_not_stop_it() -> None:
    rack = EMPTY.rack.with_piece(structs.replace(EMPTY.rack.piece("pin"), owned=1))
    d = driver("pin", structs.replace(EMPTY, rack=rack)).click("B2")
    d.expect_hint("None left on the rack").click("F6").expect_hint("short by 1")


def test_what_stands_in_no_hole_says_where_it_belongs() -> None:
    d = driver("shim").hover("H6").expect_hint("has no pin of its own")
    d.click("H6").key("r").key("f").expect_untouched(EMPTY)


def test_a_piece_that_the_rack_has_not_is_said() -> None:
    d = driver("gold").hover("H6").expect_hint("no piece gold")
    d.click("H6").key("r").key("f").expect_untouched(EMPTY)
    assert d.words


def test_the_keyboard_begins_at_what_is_selected() -> None:
    job = laid(stop("s", 3, 3))
    d = Driver(job).select("s").tool(placing("pin"))
    tool = d.controller.tool
    assert isinstance(tool, PlaceTool)
    assert tool.hole == Hole(3, 3)
    d.key("q").expect_untouched(job)


def test_turning_about_a_hole_with_one_way_round_says_so() -> None:
    trial = load("T02")
    d = driver("stop-fixed", with_members(empty(trial), trial)).hover("D6").key("r")
    d.expect_hint("only one way")


def test_leaving_drops_the_ghost() -> None:
    d = driver("stop").hover("H6").tool(placing("pin")).expect_untouched(EMPTY)
    d.expect_hint("locating pin")


def test_beside_the_table_nothing_is_put_down() -> None:
    d = driver("pin").hover("A1").hover((-80, 50)).expect_hint("Move over the table")
    assert d.overlay == ()
    d.click((-80, 50)).expect_hint("Move over the table").expect_untouched(EMPTY)
    d.key("right").expect_hint("put locating pin in B1")
    d.hover((-80, 50)).type("C4").expect_step("Place locating pin in C4")


@pytest.mark.expectation(24)
@pytest.mark.source(
    "method", "trial weldment, reckoned by hand: the far stop's pins, its face 1-1/2 in out"
)
def test_a_stop_that_would_overlap_takes_its_other_pins_or_slides_back() -> None:
    trial = load("T01")
    d = Driver(with_members(empty(trial), trial)).tool(placing("stop-adjustable"))
    d.hover("H19").type("180").click("H19").expect_step("Place Adjustable stop in H19")
    assert [hole.row for hole in holes(d, "adjustable-stop-1")] == [18, 19]
    (face,) = d.document.placed_pieces["adjustable-stop-1"].faces
    assert inches(face.a)[1] == pytest.approx(35.5)
    d.hover("P18").type("180").expect_hint("It does not fit at P18. It would overlap B top")
    d.hover("F14").type("-90").click("F14").expect_step("Place Adjustable stop in F14")
    (face,) = d.document.placed_pieces["adjustable-stop-2"].faces
    assert inches(face.a)[0] == pytest.approx(11.5)  # half an inch out, as far back as it goes
