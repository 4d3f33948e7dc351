import pytest
from msgspec import structs

from gridjig.geometry.display import Polyline
from gridjig.model import Job
from gridjig.tools.select.select import SelectTool
from tests.driver import Driver
from tests.workshop import ARM, EMPTY, laid, pin, plate, put, seat, stop

JOB = laid(
    stop("s", 3, 3),
    pin("p", 10, 10),
    plate("sheet", 500, 500, 200, 200),
    plate("strip", 800, 100, 2, 300),
)


@pytest.mark.expectation(12)
def test_hover_shows_what_a_click_would_take() -> None:
    d = Driver(JOB).hover("D4").expect_hint("Click to select fixed stop at D4")
    assert "fixed stop at D4" in d.words
    assert "selected" in d.roles
    d.expect_selected().hover((10, 10))
    assert d.words == []


@pytest.mark.expectation(13)
def test_click_selects_adds_takes_off_and_clears() -> None:
    d = Driver(JOB).click("D4").expect_selected("s").expect_hint("Fixed stop at D4 is selected")
    d.click("K11", add=True).expect_selected("s", "p")
    d.click("D4", add=True).expect_selected("p")
    d.click((10, 10), add=True).expect_selected("p")
    d.click((10, 10)).expect_selected()


@pytest.mark.expectation(14)
def test_selecting_alters_nothing() -> None:
    d = Driver(JOB).click("D4").drag((5, 5), (900, 900)).key("a", ctrl=True).key("escape")
    d.expect_untouched(JOB)
    assert not d.document.modified


@pytest.mark.expectation(13)
def test_a_drag_on_empty_takes_what_lies_wholly_in_the_box() -> None:
    d = Driver(JOB).press((450, 450)).move((480, 480)).move((720, 720))
    assert any(isinstance(s, Polyline) for s in d.overlay)
    d.release().expect_selected("p", "sheet").expect_hint("2 selected")
    d.press((100, 100), add=True).move((200, 200)).release((300, 300))
    d.expect_selected("p", "sheet", "s")
    d.drag((10, 10), (30, 30)).expect_selected().expect_hint("Nothing is in the box")


@pytest.mark.expectation(17)
def test_repeated_clicks_go_through_what_lies_below_and_name_it() -> None:
    d = Driver(JOB).click("K11").expect_selected("p")
    d.expect_hint("Locating pin at K11 is selected, 1 of 2 here", "next is sheet")
    d.click("K11").expect_selected("sheet").expect_hint(
        "2 of 2 here", "next is locating pin at K11"
    )
    d.click("K11").expect_selected("p")
    d.click((690, 690)).click("K11").expect_selected("p")


@pytest.mark.expectation(17)
def test_a_key_goes_through_what_lies_below() -> None:
    d = Driver(JOB).hover("K11").expect_hint("B to step through the 2 here")
    d.key("b").expect_selected("p").key("b").expect_selected("sheet")
    d.hover((10, 10)).key("b").expect_hint("Nothing is under the pointer")
    Driver(JOB).key("b").expect_hint("Nothing is under")


@pytest.mark.expectation(18)
@pytest.mark.parametrize(("zoom", "start"), [(1.0, 1.0), (5.0, 1.0), (1.0, 5.0)])
def test_a_drag_starts_only_after_its_way_on_the_screen(zoom: float, start: float) -> None:
    d = Driver(JOB).zoom(zoom, drag_start=start)
    x, y = d.at("D4")
    far = zoom * start
    d.press((x, y)).move((x + 0.9 * far, y)).expect(lambda it: it.shown is JOB)
    assert "ghost" not in d.roles
    d.move((x + 1.1 * far, y))
    assert "ghost" in d.roles
    d.key("escape").release().expect_untouched(JOB)


@pytest.mark.expectation(11, 23)
def test_an_unsteady_click_selects() -> None:
    x, y = Driver(JOB).at("D4")
    Driver(JOB).press((x, y)).move((x + 0.4, y)).release((x + 0.4, y)).expect_selected("s")


@pytest.mark.expectation(16)
def test_a_thin_part_is_hit_beside_it() -> None:
    Driver(JOB).click((804, 250)).expect_selected("strip")
    Driver(JOB).zoom(1.0, grip=10).click((811, 250)).expect_selected("strip")
    Driver(JOB).click((811, 250)).expect_selected()


@pytest.mark.expectation(22)
def test_escape_during_a_drag_puts_everything_back() -> None:
    d = Driver(JOB).press("D4").move("H8").expect(lambda it: it.shown is not JOB)
    d.key("r").expect_hint("Esc puts everything back")
    d.key("escape").expect_hint("put back").expect_untouched(JOB)
    d.move("J9").release("J9").expect_untouched(JOB)
    d = Driver(JOB).press((10, 10)).move((400, 400)).key("escape").release()
    d.expect_untouched(JOB).expect_selected()


def test_escape_without_a_drag_clears_the_selection() -> None:
    Driver(JOB).select("s").key("escape").expect_selected()


def test_another_tool_taking_over_puts_everything_back() -> None:
    d = Driver(JOB).press("D4").move("H8")
    d.controller.home()
    d.expect_untouched(JOB)


@pytest.mark.expectation(93)
def test_the_hint_says_what_the_next_click_or_key_does() -> None:
    d = Driver(JOB).expect_hint("Click something to select it")
    d.hover("D4").expect_hint("Click to select")
    d.select("s").hover("D4").expect_hint("is selected. Drag to move it")
    d.hover((10, 10)).expect_hint("Arrow keys to move by one hole")
    d.press("D4").move("H8").expect_hint("Let go")
    d.key("escape").select("s", "p").hover((10, 10)).expect_hint("2 pieces selected. Arrow keys")


@pytest.mark.expectation(93)
def test_the_hint_names_only_keys_that_do_something() -> None:
    d = (
        Driver(JOB)
        .select("s")
        .hover((10, 10))
        .expect_hint("R to turn, F to turn over, Del to delete")
    )
    for chosen in (("p",), ("strip",)):
        d.select(*chosen).hover((10, 10)).expect_hint("R to turn, Del to delete")
        assert "F to turn over" not in d.hint
    d.select("s", "p").hover((10, 10)).expect_hint("by one hole, Del to delete")


@pytest.mark.expectation(64)
def test_standard_keys_do_the_standard_thing() -> None:
    d = Driver(JOB).key("a", ctrl=True).expect_selected("s", "p", "sheet", "strip")
    d.select("p").key("c", ctrl=True).expect_untouched(JOB).expect_hint("Ctrl+V pastes it")
    d.key("v", ctrl=True).expect_step("Copy locating pin").expect_selected("p-1")
    d.key("x", ctrl=True).expect_step("Cut locating pin")
    d.key("v", ctrl=True).expect_step("Copy locating pin")
    d.key("d", ctrl=True).expect_steps(4)
    d.key("delete").expect_step("Delete locating pin").expect_selected()
    d.select().key("c", ctrl=True).expect_hint("Nothing is selected to copy")
    d.key("k", ctrl=True).key("k").key("enter").expect_steps(5).expect_hint("Press Tab for")


def test_what_was_copied_outlives_a_change_of_tool() -> None:
    d = Driver(JOB).select("p").key("c", ctrl=True)
    d.tool(SelectTool)
    d.key("v", ctrl=True).expect_step("Copy locating pin")


def test_a_handle_is_taken_before_what_lies_below() -> None:
    arm = put("a", ARM.id, seat("h", 5, 5), seat("a", 7, 5))
    under = structs.replace(plate("under", 100, 100, 900, 800), z_low=-6, z_high=0)
    job: Job = laid(arm, under)
    d = Driver(job).select("a")
    assert d.overlay
    end = (d.at("F6")[0] + 230, d.at("F6")[1])
    d.drag(end, (end[0], end[1] + 60)).expect_step("Turn swing arm")
    assert d.outline("under") is job.parts[0]


def test_a_hovered_part_that_is_gone_is_not_drawn() -> None:
    d = Driver(JOB).hover("D4")
    d.document.do(EMPTY, "Clear")
    assert d.words == []
    assert d.controller.tool.hint().startswith("Nothing is on the table yet")


def test_a_drag_over_which_the_job_changes_is_dropped() -> None:
    d = Driver(JOB).select("s").key("right").press("E4").move("H8").undo()
    d.move("H9").expect_hint("job changed during the drag").expect_untouched(JOB)
    d.release("H9").expect_untouched(JOB)
    d = Driver(JOB).select("s").key("right").press("E4").move("H8").undo()
    d.release("H9").expect_hint("job changed during the drag").expect_untouched(JOB)


def test_a_press_whose_release_was_lost_puts_back_and_begins_anew() -> None:
    d = Driver(JOB).press("D4").move("H8").press("K11").expect(lambda it: it.shown is JOB)
    d.release("K11").expect_selected("p").expect_untouched(JOB)
