import pytest

from gridjig.geometry.display import Circle, Polyline
from gridjig.model import Display
from gridjig.tools.draw.plate_tool import PlateTool
from tests.driver import Driver
from tests.workshop import EMPTY, laid, plate

INCH = 25.4


def rectangle(job: object = EMPTY) -> Driver:
    return Driver(job).tool(PlateTool)  # type: ignore[arg-type]


def polygon() -> Driver:
    return Driver(EMPTY).tool(lambda document: PlateTool(document, "polygon"))


def test_a_rectangle_by_two_clicks() -> None:
    d = rectangle().hover("C3").expect_hint("first corner at the hole C3")
    d.click("C3").expect_hint("far corner").hover("F5").expect_hint("150 mm x 100 mm")
    d.click("F5").expect_step("Draw plate 1").expect_selected("plate-1")
    assert d.controller.said == "Plate 1 is drawn."
    made = d.outline("plate-1")
    assert (made.x, made.y) == (150, 150)
    assert made.corners[2] == (150, 100)


def test_a_rectangle_by_a_drag() -> None:
    d = rectangle().press("F5").move("D4")
    assert any(isinstance(s, Polyline) and s.closed for s in d.overlay)
    d.release("C3")
    x, y = d.at("J9", 0.5)
    d.press("J9").move((x, y)).release((x, y)).expect_hint("far corner")
    d.key("escape")
    assert d.outline("plate-1").corners[2] == (150, 100)


@pytest.mark.expectation(20, 21)
def test_points_catch_on_holes_within_the_grip_unless_a_key_is_held() -> None:
    d = rectangle()
    x, y = d.at("C3", 2.0, 1.0)
    d.click((x, y)).click("F5")
    assert d.outline("plate-1").x == 150
    d = rectangle().press((x, y), free=True).release((x, y), free=True).click("F5")
    assert d.outline("plate-1").x == 152
    d = rectangle().zoom(0.5)
    d.click((x, y)).click("F5")
    assert d.outline("plate-1").x == 152
    d = rectangle().zoom(0.5, grip=6)
    d.click((x, y)).click("F5")
    assert d.outline("plate-1").x == 150


def test_points_catch_on_corners_of_other_outlines() -> None:
    d = rectangle(laid(plate("bar", 333, 222))).hover((334, 223))
    d.expect_hint("corner of bar")
    d.click((334, 223)).click("M9")
    assert (d.outline("plate-1").x, d.outline("plate-1").y) == (333, 222)


@pytest.mark.expectation(25, 28, 29)
def test_a_rectangle_by_typed_sizes() -> None:
    d = rectangle().with_display(unit="inch fractions")
    d.type("C3").type("24 x 5-3/8").expect_step("Draw plate 1")
    assert d.outline("plate-1").corners[2] == (609.6, 136.525)
    d.hover("C9").type("450mm x 2").expect_step("Draw plate 2")
    assert d.outline("plate-2").corners[2] == (450, 2 * INCH)
    assert d.outline("plate-2").y == 450


@pytest.mark.expectation(25, 28)
def test_a_rectangle_by_typed_corners() -> None:
    d = rectangle().with_display(unit="inch fractions").hover("C3")
    d.expect_hint("11-1/2, 11-1/2")
    d.type("11-1/2, 11.5").type("24 x 2").expect_step("Draw plate 1")
    made = d.outline("plate-1")
    assert (made.x, made.y) == (292.1, 292.1)
    assert made.corners[2] == pytest.approx((609.6, 50.8))
    d.type("1, 2").type("3, 5").expect_step("Draw plate 2")
    assert d.outline("plate-2").corners[2] == pytest.approx((50.8, 76.2))


@pytest.mark.expectation(28)
@pytest.mark.parametrize("text", ["24x2", "24X2", "24 by 2", '24"x2"', "24inx50.8mm", "24×2"])
def test_a_size_is_typed_with_spaces_or_without(text: str) -> None:
    d = rectangle().with_display(unit="inch fractions").type("11.5, 11.5").type(text)
    d.expect_step("Draw plate 1")
    assert d.outline("plate-1").corners[2] == pytest.approx((24 * INCH, 2 * INCH))


def test_a_size_without_a_first_corner_says_where_it_began() -> None:
    d = rectangle().hover("C9").type("24 x 2").expect_step("Draw plate 1")
    d.expect_hint("Started at the hole C9; Ctrl+Z undoes it.")
    d = rectangle().type("C3").type("24 x 2").expect_step("Draw plate 1")
    d.expect(lambda d: "Begun" not in d.hint)


def test_all_corners_may_be_typed_where_a_rectangle_was_begun() -> None:
    d = rectangle().click("C3").type("0, 0; 600, 0; 500, 50; 0, 50").expect_step("Draw plate 1")
    assert d.outline("plate-1").corners == ((0, 0), (600, 0), (500, 50), (0, 50))
    d.click("C9").type("0, 0; 40, 40; 40, 0; 0, 50").expect_hint("sides cross").expect_steps(1)
    d.click("F12").expect_step("Draw plate 2")
    assert d.outline("plate-2").corners[2] == (150, 150)


@pytest.mark.expectation(30)
@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            "24",
            "a point such as 300, 300, a hole, or t 10 for the thickness",
        ),
        ("24 x", ""),
        ("-24 x 2", "greater than 0"),
        ("24 x 2; 3 x 4", "greater than 0"),
        ("4 frogs x 2", ""),
    ],
)
def test_a_wrong_size_is_answered_with_what_is_accepted(text: str, says: str) -> None:
    d = rectangle().type(text).expect_untouched(EMPTY)
    d.expect_hint(says)


def test_a_rectangle_without_width_is_refused_and_its_first_corner_stays() -> None:
    d = rectangle().click("C3").click("C5").expect_untouched(EMPTY)
    d.expect_hint("A rectangle needs a width")
    d.click("D5").expect_step("Draw plate 1")


def test_a_polygon_by_clicks_closes_on_its_first_corner() -> None:
    d = polygon().expect_hint("first corner").click("C3").expect_hint("corner 2")
    d.click("G3").click("G6").expect_hint("to close it").hover("C6")
    assert any(isinstance(s, Polyline) and not s.closed for s in d.overlay)
    d.click("C3").expect_step("Draw plate 1")
    made = d.outline("plate-1")
    assert (made.x, made.y) == (150, 150)
    assert made.corners == ((0, 0), (200, 0), (200, 150))


def test_a_polygon_by_keys_alone() -> None:
    d = polygon().hover("C3").key("enter").key("right").key("right").key("enter")
    d.key("up").key("space").key("backspace").key("up").key("space").key("enter")
    d.expect_step("Draw plate 1")
    assert d.outline("plate-1").corners == ((0, 0), (100, 0), (100, 100))


def test_a_polygon_by_typed_corners() -> None:
    polygon().hover("C3").expect_hint("0, 0; 600, 0; 600, 50.")
    polygon().with_display(unit="inch decimals").hover("C3").expect_hint("0, 0; 24, 0; 24, 2.")
    d = polygon().type("0, 0; 600, 0; 600, 50; 0, 50").expect_step("Draw plate 1")
    assert d.outline("plate-1").corners == ((0, 0), (600, 0), (600, 50), (0, 50))
    d.type("0 by 100").type("10, 100").type("10, 120").key("enter").expect_steps(2)
    d.type("0,0; 4,4; 4,0; 0,5").expect_steps(2).expect_hint("sides cross")


def test_the_same_point_twice_is_no_corner() -> None:
    polygon().click("C3").click("C3").expect_hint("same point again").expect_untouched(EMPTY)


@pytest.mark.expectation(22)
def test_escape_drops_what_is_drawn_and_then_leaves() -> None:
    d = polygon().click("C3").click("D3").key("escape").expect_hint("cancelled")
    assert d.controller.tool.name == "plate"
    d.key("escape").expect_untouched(EMPTY)
    assert d.controller.tool.name == "select"


def test_the_next_outline_has_the_heights_of_the_last() -> None:
    d = rectangle(laid(plate("bar", 333, 222))).click("C3").click("E9")
    assert (d.outline("plate-1").z_low, d.outline("plate-1").z_high) == (0, 6)


def test_nothing_else_happens() -> None:
    d = rectangle().release("C4").key("q").key("backspace").expect_untouched(EMPTY)
    d.hover("A1").key("left").key("down")
    assert "A1" in d.words
    assert any(isinstance(s, Circle) and s.radius > 8 for s in d.overlay)  # round the whole hole
    d.click("C3").tool(PlateTool).expect_hint("first corner").expect_untouched(EMPTY)
    assert d.job.display == Display(unit="millimetres")
