"""Edges, faces, holes and boxes picked on the sheet, without a window."""

import math

import pytest
from msgspec import structs

from gridjig.geometry.display import Polyline
from gridjig.geometry.part_outline import part_edge
from gridjig.model import Hole, Table
from gridjig.tools.core.pointer import KeyPress
from gridjig.tools.core.tool import ToolContext
from gridjig.tools.pick.angle_pick import EdgePick, HolesPick, PickableEdge, edges_of, typed_holes
from gridjig.units import ParseError
from tests.driver import Driver
from tests.workshop import EMPTY, TABLE, laid, pin, plate, stop

TURNED = structs.replace(plate("part", 300, 300, 200, 40), turn=30.0)
JOB = laid(TURNED, stop("s", 10, 10), pin("p", 2, 2))


def edge_tool(driver: Driver, **more: object) -> EdgePick:
    def make(context: ToolContext) -> EdgePick:
        return EdgePick(context, **more)  # type: ignore[arg-type]

    driver.tool(make)
    tool = driver.controller.tool
    assert isinstance(tool, EdgePick)
    return tool


def holes_tool(driver: Driver, boxed: bool = False) -> HolesPick:
    driver.tool(lambda context: HolesPick(context, boxed))
    tool = driver.controller.tool
    assert isinstance(tool, HolesPick)
    return tool


@pytest.mark.source("method", "plane trigonometry: a side of a rectangle turned by 30 degrees")
def test_an_edge_is_shown_before_it_is_taken_and_gives_its_direction() -> None:
    driver = Driver(JOB)
    tool = edge_tool(driver)
    along = (300 + 100 * math.cos(math.pi / 6), 300 + 100 * math.sin(math.pi / 6))
    driver.hover(along).expect_hint("edge of part", "30°")
    assert any(isinstance(s, Polyline) and s.role == "selected" for s in driver.overlay)
    driver.press(along)
    assert not tool.complete
    driver.release(along).expect_hint("Taken", "30°").expect_untouched(JOB)
    (edge,) = tool.picked
    assert edge.direction == pytest.approx(30.0)
    assert edge.length == pytest.approx(200.0)
    assert (edge.of, edge.side) == ("part", "right")
    assert driver.controller.tool is not tool


def test_the_outside_of_a_part_is_on_the_side_told_whichever_way_it_was_drawn() -> None:
    back = structs.replace(TURNED, corners=tuple(reversed(TURNED.corners)))
    for part, side in ((TURNED, "right"), (back, "left")):
        context = Driver(laid(part)).document
        assert {e.side for e in edges_of(context, parts_only=True)} == {side}


def test_two_faces_are_taken_one_after_the_other_and_given_back() -> None:
    driver = Driver(JOB)
    tool = edge_tool(driver, what="face", count=2)
    driver.click((600, 0)).expect_hint("the second face")
    assert len(tool.picked) == 1
    assert len([s for s in driver.overlay if isinstance(s, Polyline)]) == 1
    driver.key("backspace").expect_hint("first face")
    driver.click((600, 0)).click((1200, 500))
    assert tool.complete
    assert [e.direction for e in tool.picked] == [0.0, 90.0]
    assert {e.of for e in tool.picked} == {"the table"}


def test_faces_of_pieces_are_edges_too_but_not_where_only_parts_count() -> None:
    driver = Driver(JOB)
    every = {e.of for e in edges_of(driver.document)}
    assert any("fixed stop" in of for of in every)
    assert {e.of for e in edges_of(driver.document, parts_only=True)} == {"part"}


def test_nothing_there_is_said_and_a_release_without_a_press_is_nothing() -> None:
    driver = Driver(JOB)
    tool = edge_tool(driver)
    driver.release((700, 700))
    driver.click((700, 750)).expect_hint("no edge here")
    assert tool.picked == ()


@pytest.mark.expectation(6, 25, 61)
def test_edges_by_keys_alone() -> None:
    driver = Driver(JOB)
    tool = edge_tool(driver)
    driver.key("enter").key("x")
    assert not tool.picked
    driver.key("right").key("right").key("left").key("left")
    assert any(isinstance(s, Polyline) for s in driver.overlay)
    driver.key("right").key("enter")
    assert tool.complete
    empty = edge_tool(Driver(EMPTY), parts_only=True)
    outcome = empty.key(KeyPress("right"))
    assert "no edge to pick" in outcome.said


def test_escape_drops_an_edge_and_a_typed_angle_stands_for_one() -> None:
    driver = Driver(JOB)
    tool = edge_tool(driver, count=2)
    driver.click((600, 0)).key("escape").expect_hint("Nothing was picked")
    assert tool.picked == ()
    typed = edge_tool(driver)
    driver.type("what").expect_hint("what")
    assert not typed.complete
    driver.type("4:12")
    assert typed.complete
    assert typed.picked[0].direction == pytest.approx(math.degrees(math.atan2(4, 12)))


def test_an_edge_of_a_part_says_which_side_it_is() -> None:
    context = Driver(JOB).document
    parts = {part.id: part for part in context.job.parts}
    for edge in edges_of(context, parts_only=True):
        assert edge.face is not None
        assert part_edge(parts[edge.face.part], edge.face.side) == (edge.a, edge.b)
    assert any(edge.face is None for edge in edges_of(context))


def test_a_line_back_along_x_has_the_direction_0() -> None:
    assert PickableEdge((0.0, 0.0), (-5.0, 0.0), "it").direction == 0.0
    assert PickableEdge((0.0, 0.0), (10.0, 0.0), "it").away(15.0, 0.0) == pytest.approx(5.0)


def test_two_holes_by_clicks() -> None:
    driver = Driver(JOB)
    tool = holes_tool(driver)
    driver.release("C3")
    driver.click("C3").expect_hint("second hole")
    driver.click("C3").expect_hint("already")
    assert any(isinstance(s, Polyline) for s in driver.overlay)
    driver.click("G6").expect_hint("C3 and G6").expect_untouched(JOB)
    assert tool.picked == (Hole(2, 2), Hole(6, 5))


@pytest.mark.expectation(6, 25, 61)
def test_two_holes_by_keys() -> None:
    driver = Driver(JOB)
    tool = holes_tool(driver)
    middle = Hole(TABLE.columns // 2, TABLE.rows // 2)
    driver.key("x").key("enter").key("right").key("up").key("enter")
    assert tool.picked == (middle, Hole(middle.col + 1, middle.row + 1))
    again = holes_tool(driver)
    for _ in range(40):
        driver.key("left")
    driver.key("enter").key("backspace").key("enter").key("escape").expect_hint("Nothing")
    assert again.picked == ()


def test_two_holes_typed_and_what_is_no_hole() -> None:
    driver = Driver(JOB)
    tool = holes_tool(driver)
    driver.type("ZZ99").expect_hint("ZZ99")
    driver.type("C3 to G6")
    assert tool.picked == (Hole(2, 2), Hole(6, 5))


@pytest.mark.parametrize("text", ["C3 G6", "C3, G6", "C3+G6", "c3 to g6", "C3 and G6", "C3;G6"])
def test_typed_holes(text: str) -> None:
    assert typed_holes(TABLE, text) == (Hole(2, 2), Hole(6, 5))


def test_typed_holes_that_are_none() -> None:
    table: Table = TABLE
    assert typed_holes(table, "C 3") == (Hole(2, 2),)
    with pytest.raises(ParseError):
        typed_holes(table, "C3 G6 H7")


@pytest.mark.expectation(6, 18, 22)
def test_a_box_by_dragging_by_clicks_and_dropped() -> None:
    driver = Driver(JOB)
    tool = holes_tool(driver, boxed=True)
    driver.expect_hint("drag a box")
    driver.drag("C3", "G6")
    assert tool.picked == (Hole(2, 2), Hole(6, 5))
    tool = holes_tool(driver, boxed=True)
    driver.click("G6").expect_hint("second corner")
    assert any(isinstance(s, Polyline) and s.closed for s in driver.overlay)
    driver.click("C3")
    assert tool.picked == (Hole(6, 5), Hole(2, 2))
    tool = holes_tool(driver, boxed=True)
    driver.press("C3").move("F5").key("escape")
    assert tool.picked == ()
