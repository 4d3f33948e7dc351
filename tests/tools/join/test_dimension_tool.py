import pytest

from gridjig.edits.members import between
from gridjig.edits.parts import set_place
from gridjig.geometry.display import Dimension
from gridjig.model import Job, Section
from gridjig.tools.join.dimension_tool import DimensionTool
from tests.driver import Driver
from tests.workshop import EMPTY, laid, plate

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
A = between("a", "left", TUBE, (100, 100), (100, 500))
B = between("b", "right", TUBE, (400, 100), (400, 500))
C = between("c", "top", TUBE, (100, 600), (400, 600))
D = between("d", "slant", TUBE, (600, 100), (800, 300))
JOB = laid(A, B, C, D, plate("sheet", 600, 400))


def measuring(job: Job = JOB) -> Driver:
    return Driver(job).tool(DimensionTool)


def texts(d: Driver) -> list[str]:
    return [s.text for s in d.overlay if isinstance(s, Dimension)]


def test_two_faces_are_measured_and_a_typed_distance_moves_the_second() -> None:
    d = measuring().hover((126, 300)).expect_hint("measure from, face of left").click((126, 300))
    d.expect_hint("From the face of left").hover((374, 290)).expect_hint("250 mm", "face of right")
    assert texts(d) == ["250 mm"]
    d.click((374, 290)).expect_hint("250 mm from", "move right").type("300")
    d.expect_step("Set the distance of right to 300 mm").expect_hint("moved: 300 mm")
    assert d.member("b").x == 450
    d.type("300").expect_hint("300 mm already").type("12 in")
    assert d.member("b").x == pytest.approx(454.8)
    d.hover((900, 50))
    assert texts(d) == ["304.8 mm"]
    d.undo()
    assert texts(d) == ["300 mm"]


def test_what_is_selected_with_the_second_part_moves_with_it() -> None:
    d = measuring().select("b", "c").click((126, 300)).click((374, 290)).type("300")
    assert (d.member("b").x, d.member("c").x) == (450, 150)


def test_the_ends_of_one_member_set_its_length() -> None:
    d = measuring().click((101, 100)).click((101, 500)).expect_hint("400 mm").type("450")
    d.expect_hint("resized: 450 mm")
    assert d.member("a").length == 450


@pytest.mark.expectation(24, 30, 85)
def test_what_cannot_be_is_said_and_changes_nothing() -> None:
    d = measuring().click((126, 300)).hover((700, 165)).expect_hint("not parallel")
    assert texts(d) == []
    d.click((700, 165)).expect_hint("not parallel").click((900, 50)).expect_hint("no face here")
    d.click((374, 290)).type("frogs").type("-4").expect_hint("cannot be less than 0")
    d.expect_untouched(JOB)
    d = measuring().click((75, 300)).click((126, 300)).type("60").expect_hint("its section")


def test_inside_a_part_its_nearest_face_is_taken_and_a_third_click_starts_anew() -> None:
    d = measuring().click((112, 300)).click((390, 290)).expect_hint("250 mm")
    d.click((200, 620)).expect_hint("From the face of top").key("backspace").key("backspace")
    d.key("backspace").expect_hint("Click the face")


@pytest.mark.expectation(25, 61)
def test_keys_step_through_parts_and_sides() -> None:
    d = measuring().key("enter").key("right").key("up").key("up").key("enter")
    d.expect_hint("From the face of left").key("right").key("enter").type("300")
    d.key("left").key("down").key("escape").expect_hint("Click the face to measure from")
    d.key("escape").expect(lambda d: d.controller.tool.name == "select")
    d = measuring().type("left").type("right").expect_hint("from the").type("275")
    assert d.document.can_undo
    measuring(EMPTY).key("up").expect_hint("no parts yet")


def test_an_undo_that_takes_a_face_away_starts_anew() -> None:
    d = Driver(laid(A))
    d.document.do(JOB, "Draw the others")
    d.tool(DimensionTool).click((126, 300)).click((374, 290)).undo()
    assert texts(d) == []
    d.hover((126, 300)).expect_hint("measure from").release().type("300").expect_hint(
        "No part of the weldment is called"
    )
    d.key("right")


def test_an_undo_that_takes_the_aimed_face_away_leaves_the_first_one() -> None:
    d = Driver(laid(A))
    d.document.do(JOB, "Draw the others")
    d.tool(DimensionTool).click((126, 300)).hover((374, 290)).undo()
    assert texts(d) == []
    d.key("enter").key("left").key("enter").expect_hint("choose another face")


def test_faces_that_are_parallel_no_more_have_no_distance() -> None:
    d = measuring().click((126, 300)).click((374, 290))
    d.document.do(set_place(JOB, "b", turn=80.0), "Turn right")
    d.hover((900, 50)).expect_hint("not parallel")
    assert texts(d) == []
