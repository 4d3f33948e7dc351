import pytest

from gridjig.model import Hole, HoleMark, MarkedState
from gridjig.tools.core.controller import ToolMaker
from gridjig.tools.pick.hole_tool import HoleTool
from tests.driver import Driver
from tests.workshop import EMPTY


def marking(state: MarkedState, size: float = 0.0) -> ToolMaker:
    return lambda document: HoleTool(document, state, size)


def driver(state: MarkedState = "blocked", size: float = 0.0) -> Driver:
    return Driver(EMPTY).tool(marking(state, size))


def marks(d: Driver) -> set[tuple[Hole, str]]:
    return {(m.hole, m.state) for m in d.job.table.marks}


def test_a_click_marks_a_hole_and_another_frees_it() -> None:
    d = driver().click("C4")
    d.expect_step("Mark C4 blocked")
    assert marks(d) == {(Hole(2, 3), "blocked")}
    d.expect_hint("C4 marked blocked.").hover("C4").expect_hint(
        "Click or press Enter to clear the mark of C4"
    )
    d.click("C4").expect_step("Clear the mark of C4")
    assert marks(d) == set()


def test_another_state_takes_the_place_of_the_first() -> None:
    d = driver().click("C4").tool(marking("oversize", 17.5)).click("C4")
    assert d.job.table.marks == (HoleMark(Hole(2, 3), "oversize", 17.5),)


@pytest.mark.expectation(22, 23)
def test_a_box_marks_many_on_release_and_escape_marks_none() -> None:
    d = driver().press("B2").move("D3")
    assert len(d.shown.table.marks) == 6
    assert d.job.table.marks == ()
    d.expect_hint("6 holes", "Let go to mark them blocked")
    d.key("escape").release().expect_untouched(EMPTY)
    d.drag("B2", "D3").expect_step("Mark 6 holes blocked")
    d.drag("B2", "C2").expect_steps(1).expect_hint("2 holes are already blocked")


def test_free_takes_marks_off() -> None:
    d = driver().drag("B2", "D3").tool(marking("free")).drag("B2", "C3")
    assert {h for h, _ in marks(d)} == {Hole(3, 1), Hole(3, 2)}
    d.click("B2").expect_hint("B2 has no mark")


@pytest.mark.expectation(25)
def test_holes_are_marked_by_keys_alone() -> None:
    d = driver("damaged").hover("A1").key("right").key("up").key("enter")
    assert marks(d) == {(Hole(1, 1), "damaged")}
    d.key("left").key("left").key("left").key("space")
    assert (Hole(0, 1), "damaged") in marks(d)
    assert "A2" in d.words
    d.key("escape").expect(lambda it: it.controller.tool.name == "select")


def test_a_typed_pattern_marks_all_it_means() -> None:
    d = driver().type("every 5th column from C")
    assert {h.col for h, _ in marks(d)} == {2, 7, 12, 17, 22}
    d.type("nonsense here").expect_steps(1).expect_hint("every 5th column")


def test_an_unsteady_click_is_a_click() -> None:
    d = driver().press("C4")
    x, y = d.at("C4", 0.5)
    d.move((x, y)).release((x, y)).expect_step("Mark C4 blocked")


def test_nothing_else_happens() -> None:
    d = driver().release("C4").key("q").expect_untouched(EMPTY)
    d.press("B2").move("D3")
    assert len(d.overlay) > 6
    d.tool(marking("reserved")).expect_untouched(EMPTY)


@pytest.mark.parametrize(
    ("state", "size"), [("shallow", 0.0), ("shallow", 99.0), ("oversize", 3.0)]
)
def test_a_size_that_no_hole_of_the_table_can_have_marks_nothing(
    state: MarkedState, size: float
) -> None:
    d = driver(state, size).click("C4").expect_hint("hole must be", "out of range")
    d.drag("B2", "D3").expect_hint("out of range").expect_untouched(EMPTY)
    assert d.controller.tool.name == "hole"
