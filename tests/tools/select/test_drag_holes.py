import pytest

from gridjig.edits.table import mark_holes
from gridjig.geometry.display import Dimension
from gridjig.model import Hole
from gridjig.tools.select.drag_holes import move_name
from tests.driver import Driver
from tests.workshop import laid, pin, plate, stop

JOB = laid(stop("s", 3, 3), pin("p", 10, 10), plate("sheet", 500, 300, 200, 100))


@pytest.mark.expectation(36)
def test_a_drag_moves_from_hole_to_hole_as_one_named_step() -> None:
    d = Driver(JOB).drag("D4", "H8").expect_step("Move fixed stop to H8").expect_steps(1)
    assert d.hole("s") == Hole(7, 7)
    assert d.controller.said == "Fixed stop is now in H8."
    d.expect_selected("s").undo().expect(lambda it: it.job is JOB)


@pytest.mark.expectation(37)
def test_however_long_a_drag_is_it_is_one_step() -> None:
    d = Driver(JOB).press("D4")
    for column in "EFGHIJKL":
        d.move(f"{column}4")
    d.release("L4").expect_steps(1)


@pytest.mark.expectation(19, 20)
def test_ghost_distance_and_target_hole_are_shown_before_release() -> None:
    d = Driver(JOB).press("D4").move("G5")
    assert "ghost" in d.roles
    assert "G5" in d.words
    (dimension,) = [s for s in d.overlay if isinstance(s, Dimension)]
    assert dimension.text == "150 mm to the right, 50 mm to the back"
    d.expect_hint("Fixed stop to G5: 150 mm to the right, 50 mm to the back")
    d.key("escape").with_display(unit="inch fractions").press("D4").move("C4")
    d.expect_hint("left")
    assert d.placement("s", shown=True).seats[0].hole == Hole(2, 3)


@pytest.mark.expectation(33)
def test_what_is_shown_follows_the_drag() -> None:
    d = Driver(JOB).press("D4").move("G5")
    assert d.hole("s", shown=True) == Hole(6, 4)
    assert d.document.placed_pieces["s"].holes[0] == Hole(6, 4)


@pytest.mark.expectation(24)
@pytest.mark.parametrize(
    ("to", "says"), [("K11", "taken"), ("W4", "off the table"), ("F14", "blocked")]
)
def test_where_it_cannot_go_the_drop_is_refused_with_the_reason(to: str, says: str) -> None:
    job = mark_holes(JOB, {Hole(5, 13)}, "blocked")
    d = Driver(job).press("D4").move("E5").move(to).expect_hint(says, "Let go to put it back")
    assert "clash" in d.roles
    d.release().expect_hint(says, "put back").expect_untouched(job)


def test_coming_back_to_the_start_is_no_step() -> None:
    d = Driver(JOB).press("D4").move("H8").move("D4").expect(lambda it: it.shown is JOB)
    d.expect_hint("not moved").release().expect_untouched(JOB)


def test_what_is_selected_moves_together_by_whole_pitches() -> None:
    d = (
        Driver(JOB)
        .select("s", "p", "sheet")
        .drag("K11", "L13")
        .expect_step("Move 2 pieces and 1 part")
    )
    assert d.hole("s") == Hole(4, 5)
    assert d.hole("p") == Hole(11, 12)
    assert (d.outline("sheet").x, d.outline("sheet").y) == (550, 400)
    d = Driver(JOB).select("s", "sheet").press((510, 310)).move((558, 310))
    d.expect_hint("Sheet: 50 mm to the right")
    assert "ghost" in d.roles
    d.release().expect_step("Move 1 piece and 1 part")


def test_one_of_several_that_cannot_go_holds_all() -> None:
    d = Driver(JOB).select("s", "p").drag("D4", "A1").expect_steps(1)
    d = Driver(JOB).select("s", "p").drag("K11", "T11").expect_steps(1)
    d = Driver(JOB).select("s", "p").drag("K11", "W19").expect_steps(1)
    d = Driver(JOB).select("s", "p").drag("D4", "S4").expect_untouched(JOB)
    d.expect_hint("off the table")


def test_a_drag_of_what_is_not_selected_selects_it() -> None:
    Driver(JOB).select("p").drag("D4", "E4").expect_selected("s")


def test_an_outline_is_named_without_a_hole() -> None:
    assert move_name(JOB, "sheet", frozenset(["sheet"])) == "Move sheet"
