from collections.abc import Callable

import pytest

from gridjig.edits.members import between
from gridjig.model import EndCut, Job, Section
from gridjig.tools.join.notch_tool import NotchTool
from tests.driver import Driver
from tests.workshop import EMPTY, laid, plate

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
A = between("a", "rail", TUBE, (100, 100), (500, 100))
JOB = laid(A, plate("sheet", 600, 300))


def notching(job: Job = JOB) -> Driver:
    return Driver(job).tool(NotchTool)


def test_a_corner_is_clicked_and_the_bite_is_typed() -> None:
    d = notching().hover((480, 110)).expect_hint("member near the corner to notch (rail)")
    d.click((480, 110)).expect_hint("Notch rail", "40 x 20")
    assert "corner to notch" in d.words
    d.type("40 x 20").expect_step("Notch rail").expect_hint("notch of 40 mm x 20 mm")
    assert d.member("a").end == EndCut("notch", 0, 0, 40, 20, "left")


def test_the_bite_is_shown_and_taken_by_a_second_click() -> None:
    d = notching().click((110, 90)).hover((130.2, 91)).expect_hint("30 mm x 16 mm")
    assert d.member("a", shown=True).start == EndCut("notch", 0, 0, 30, 16, "right")
    assert d.job is JOB
    d.click((130.2, 91)).expect_step("Notch rail")


@pytest.mark.expectation(30, 85)
def test_what_cannot_be_is_said_and_changes_nothing() -> None:
    d = notching().click((110, 90))
    for text, says in (("40", "as 2 x 1"), ("40 x 60", "wider"), ("500 x 20", "longer")):
        d.type(text).expect_hint(says)
    d.type("0 x 5").expect_hint("starts at this corner").type("frogs x 2")
    d.hover((130, 300)).expect_hint("wider").click((90, 60)).expect_hint("starts at this corner")
    d.expect_untouched(JOB)
    notching().click((620, 310)).expect_hint("is a plate")


@pytest.mark.expectation(25, 61)
def test_keys_go_round_the_corners() -> None:
    d = notching().key("right").key("enter").key("right").key("right").type("30 x 10")
    assert d.member("a").end == EndCut("notch", 0, 0, 30, 10, "left")
    d = notching().type("rail").key("left").type("30 x 10")
    assert d.member("a").start.side == "left"
    d.key("escape").expect(lambda d: d.controller.tool.name == "select")


@pytest.mark.expectation(22)
def test_escape_drops_the_corner() -> None:
    d = notching().click((110, 90)).hover((130, 91)).key("escape").expect_untouched(JOB)
    d.expect_hint("near the corner").release((900, 20))
    d.press((900, 20)).release((900, 20)).expect_hint("no part of the weldment")


def test_an_undo_that_takes_the_member_away_starts_anew() -> None:
    acts: tuple[Callable[[Driver], object], ...] = (
        lambda d: d.hover((130, 91)),
        lambda d: d.type("30 x 10"),
        lambda d: d.overlay,
        lambda d: d.press((130, 91)).release((130, 91)),
        lambda d: d.key("enter"),
    )
    for act in acts:
        d = Driver(EMPTY)
        d.document.do(JOB, "Draw rail")
        d.tool(NotchTool).click((110, 90)).undo()
        act(d)
        d.hover((130, 91))
        assert d.job is EMPTY
        assert d.overlay == ()


def test_enter_takes_the_bite_at_the_pointer() -> None:
    d = notching().click((110, 90)).hover((130, 91)).key("enter").expect_step("Notch rail")
    assert d.member("a").start == EndCut("notch", 0, 0, 30, 16, "right")
