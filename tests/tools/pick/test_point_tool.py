"""Marking points that matter: by click, by keys, by typed places; and clearing them."""

import pytest
from msgspec import structs

from gridjig.edits.selection import shift
from gridjig.geometry.display import Symbol
from gridjig.model import ChosenPoint
from gridjig.model.plate_holes import CutOut, Drilled
from gridjig.tools.pick.point_tool import PointTool, markable
from tests.driver import Driver
from tests.workshop import EMPTY, laid, pin, plate

BASE = structs.replace(
    plate("base", 300, 200, 200, 100),
    holes=(Drilled((50.0, 50.0), 18.0), CutOut(((120.0, 20.0), (160.0, 20.0), (140.0, 60.0)))),
)
JOB = laid(BASE, structs.replace(plate("lid", 450, 200, 100, 100), z_low=6.0, z_high=12.0))


def driver() -> Driver:
    return Driver(JOB).tool(PointTool)


def points(d: Driver) -> tuple[ChosenPoint, ...]:
    return d.job.accuracy.points


def test_corners_and_drilled_holes_have_names() -> None:
    names = [one.what for one in markable(JOB)]
    assert names[:5] == [
        "corner 1 of base", "corner 2 of base", "corner 3 of base", "corner 4 of base",
        "hole 1 of base",
    ]  # fmt: skip
    assert len(names) == 9


def test_a_click_on_a_hole_marks_its_centre_and_another_clears_it() -> None:
    d = driver().hover((352.0, 248.0))
    d.expect_hint("Click or press Enter to mark hole 1 of base")
    d.click((352.0, 248.0)).expect_step("Mark a point that matters")
    assert points(d) == (ChosenPoint("base", 50.0, 50.0, "hole 1 of base"),)
    d.expect_hint("Hole 1 of base is marked").hover((352.0, 248.0))
    d.expect_hint("to clear hole 1 of base")
    d.click((352.0, 248.0)).expect_step("Clear a point that matters")
    assert points(d) == ()


def test_any_place_on_a_part_is_marked_on_the_uppermost() -> None:
    d = driver().click((470.0, 240.0))
    assert points(d) == (ChosenPoint("lid", 20.0, 40.0, "point 20 mm, 40 mm of lid"),)


@pytest.mark.parametrize("where", [(900.0, 600.0), (440.0, 230.0)])
def test_where_there_is_no_steel_nothing_is_marked(where: tuple[float, float]) -> None:
    """Beside the parts, and in a cut-out of the plate."""
    d = driver().click(where)
    d.expect_hint("There is no part here").expect_untouched(JOB)


def test_keys_step_through_the_named_points() -> None:
    d = driver().key("right").key("enter")
    assert points(d) == (ChosenPoint("base", 0.0, 0.0, "corner 1 of base"),)
    d.key("left").key("space")
    assert [one.name for one in points(d)] == ["corner 1 of base", "corner 4 of lid"]
    d.key("escape")
    assert not isinstance(d.controller.tool, PointTool)


def test_a_place_is_typed_from_the_origin() -> None:
    d = driver().type("310, 220")
    assert points(d) == (ChosenPoint("base", 10.0, 20.0, "point 10 mm, 20 mm of base"),)
    moved = Driver(structs.replace(JOB, origin=(300.0, 200.0))).tool(PointTool).type("10, 20")
    assert moved.job.accuracy.points == points(d)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("310", "type two lengths, such as 300, 200"),
        ("x, 3", "x"),
        ("900, 700", "There is no part at 900, 700; nothing was marked."),
    ],
)
def test_what_cannot_be_typed_is_said(text: str, said: str) -> None:
    driver().type(text).expect_hint(said).expect_untouched(JOB)


def test_the_point_goes_with_its_part() -> None:
    d = driver().click((352.0, 248.0))
    moved = shift(d.job, frozenset(["base"]), 2, 1)
    assert moved.accuracy == d.job.accuracy


def test_the_ring_is_gone_with_the_part_it_was_on_and_off_the_plan() -> None:
    d = driver().hover((300.0, 200.0))
    assert Symbol((300.0, 200.0), "ring", "selected") in d.controller.tool.overlay()
    d.document.do(structs.replace(JOB, parts=JOB.parts[1:]), "Delete base")
    d.controller.tool.follow()
    assert d.controller.tool.overlay() == ()
    d = driver().hover((300.0, 200.0))
    d.controller.away()
    assert d.controller.tool.overlay() == ()
    assert d.controller.tool.hint().startswith("Click a corner, a hole or a place on a part")


def test_without_a_part_it_says_so() -> None:
    d = Driver(laid(pin("a", 3, 3), job=EMPTY)).tool(PointTool).key("right").key("enter")
    d.expect_hint("There is no part to mark a point of.").release().expect_steps(0)
