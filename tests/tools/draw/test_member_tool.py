import math

import pytest

from gridjig.edits.members import between
from gridjig.geometry.display import Dimension, Polyline
from gridjig.model import Display, Section
from gridjig.rack import Point
from gridjig.tools.draw.member_tool import MemberTool
from tests.driver import Driver
from tests.workshop import EMPTY, laid, stop

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
ANGLE = Section(name="50x30x5", kind="angle", width=50, height=30, wall=5)
BASE = between("base", "base", TUBE, (100, 100), (700, 100))


def drawing(job: object = EMPTY, section: Section = TUBE, **how: object) -> Driver:
    d = Driver(job)  # type: ignore[arg-type]
    return d.tool(lambda document: MemberTool(document, section, **how))  # type: ignore[arg-type]


def tool(d: Driver) -> MemberTool:
    assert isinstance(d.controller.tool, MemberTool)
    return d.controller.tool


def ends(d: Driver, thing_id: str) -> tuple[Point, Point]:
    one = d.member(thing_id)
    turn = math.radians(one.turn)
    far = (one.x + one.length * math.cos(turn), one.y + one.length * math.sin(turn))
    return (one.x, one.y), far


def test_a_member_by_two_clicks_and_the_next_from_its_end() -> None:
    d = drawing().hover("C3").expect_hint("start point at the hole C3", "S to change the side")
    d.click("C3").hover("F3").expect_hint("150 mm at 0°", "end point at the hole F3")
    d.click("F3").expect_step("Draw tube 1").expect_selected("member-1")
    d.expect_hint("150 mm at 0°", "next one starts at its end")
    d.click("F5").expect_step("Draw tube 2")
    assert ends(d, "member-1") == ((150, 150), (300, 150))
    assert ends(d, "member-2")[0] == (300, 150)
    assert d.member("member-2").turn == 90


def test_a_run_goes_on_when_what_was_drawn_changes_the_names_of_joints() -> None:
    """The document then keeps the joints' names, so that its job is not the one that was given."""
    left = between("left", "left", TUBE, (100, 125), (100, 700))
    right = between("right", "right", TUBE, (700, 125), (700, 700))
    top = between("top", "top", TUBE, (125, 600), (675, 600))
    d = drawing(laid(BASE, left, right, top)).type("500, 125").type("125, 500")
    assert d.job.welds
    d.expect_hint("next one starts at its end", "Click the end point")
    d.type("700, 500").key("escape").expect_hint("run of members is finished")
    assert len(d.job.parts) == 6


@pytest.mark.parametrize(
    ("section", "name"),
    [
        (TUBE, "tube 1"),
        (ANGLE, "angle 1"),
        (Section(name="40x5", kind="flat", width=40, height=5), "flat bar 1"),
        (Section(name="20", kind="round bar", width=20, height=20), "bar 1"),
    ],
)
def test_a_member_is_called_what_it_is_cut_from(section: Section, name: str) -> None:
    assert drawing(section=section).click("C3").click("F3").member("member-1").name == name


def test_each_kind_of_member_has_its_own_numbers() -> None:
    d = drawing().click("C3").click("F3").click("F6").key("escape")
    tool(d).take(ANGLE)
    d.click("C9").click("F9")
    assert [part.name for part in d.job.parts] == ["tube 1", "tube 2", "angle 1"]


def test_two_numbers_without_a_comma_are_told_to_have_one() -> None:
    d = drawing().type("300 100").expect_hint("put a comma between x and y: 300, 100")
    d.expect_untouched(EMPTY)


def test_the_angle_of_a_member_reads_as_in_its_form() -> None:
    d = drawing().click("C9").type("300 at -45").expect_hint("300 mm at −45°")
    assert d.member("member-1").turn == -45


def test_a_row_that_comes_back_to_its_first_point_is_closed() -> None:
    d = drawing(lies="left").click("C3")
    d.type("300 at 0").type("200 at 90").type("300 at 180").hover((151, 151))
    d.expect_hint("first point").click((151, 151)).expect_hint("run is closed")
    assert [p.corners for p in d.job.parts] == [
        ((0, -25), (long, -25), (long, 25), (0, 25)) for long in (300, 200, 300, 200)
    ]
    assert (d.member("member-1").x, d.member("member-1").y) == (150, 175)
    d.expect_hint("run is closed").key("escape").expect(
        lambda d: d.controller.tool.name == "select"
    )


def test_a_drag_draws_one_member() -> None:
    d = drawing().press("C3").move("D3").move("F3").release("F3").expect_step("Draw tube 1")
    assert ends(d, "member-1") == ((150, 150), (300, 150))


@pytest.mark.expectation(25, 28, 29)
@pytest.mark.parametrize(
    ("text", "length", "turn"),
    [
        ("24", 609.6, 0.0),
        ("24 at 37.5", 609.6, 37.5),
        ("24 at 37.5°", 609.6, 37.5),
        ("24 at 4:12", 609.6, math.degrees(math.atan2(4, 12))),
        ("450mm at -90", 450.0, -90.0),
        ("1' 6-1/2\" at 180", 18.5 * 25.4, 180.0),
    ],
)
def test_typed_lengths_and_angles(text: str, length: float, turn: float) -> None:
    d = drawing().with_display(unit="inch fractions").type("C3").hover("F3").type(text)
    assert d.member("member-1").length == pytest.approx(length)
    assert d.member("member-1").turn == pytest.approx(turn)


def test_a_typed_angle_is_held_until_the_end_is_given() -> None:
    d = drawing().click("C3").type("4:12").expect_hint("Angle locked at ≈18.43°").click((400, 300))
    assert d.member("member-1").turn == pytest.approx(math.degrees(math.atan2(4, 12)))
    assert d.member("member-1").length == pytest.approx(285.0)
    d.type("at 90").key("backspace").hover("H6")
    assert "held" not in d.hint
    d.key("backspace").expect_hint("Click the start point")


def test_points_are_typed_as_holes_or_as_x_and_y() -> None:
    d = drawing().type("100, 50").type("C3").key("escape").expect_hint("run of members is finished")
    d.type("C3").key("escape").expect_hint("The start point is dropped; nothing was drawn")
    d.type("at 90").key("escape").expect_hint("The angle is no longer locked")
    assert ends(d, "member-1")[0] == (100, 50)
    d.type("250").expect_hint("Give the start first")
    assert len(d.job.parts) == 1
    d.type("C5").type("250").expect_step("Draw tube 2")


def test_the_side_of_the_line_and_the_way_up_are_changed_by_keys() -> None:
    d = drawing(section=ANGLE).click("C3").key("s").expect_hint("left of line").click("F3")
    assert (d.member("member-1").y, d.member("member-1").width) == (175, 50)
    d.key("r").expect_hint("turned to 90").key("f").expect_hint("opposite hand").key("s").click(
        "I3"
    )
    second = d.member("member-2")
    assert (second.way_up, second.mirrored, second.width, second.y) == (90, True, 30, 135)
    d.key("f").expect_hint("as listed").key("r", shift=True).expect_hint("turned to 0")
    d.key("s").expect_hint("centred")
    drawing().key("f").expect_hint("no left or right")


def test_the_height_of_the_next_ones_is_typed() -> None:
    d = drawing().type("z 12").expect_hint("12 mm above").click("C3").click("F3")
    assert d.member("member-1").z_low == 12


@pytest.mark.expectation(20)
def test_it_catches_on_ends_middles_faces_and_corners_of_other_members() -> None:
    d = drawing(laid(BASE))
    for at, what in (
        ((701, 101), "end of base"),
        ((401, 101), "middle of base"),
        ((401, 126), "middle of the face of base"),
        ((101, 124), "corner of base"),
        ((331, 124), "face of base"),
    ):
        assert what in d.hover(at).hint
    assert "face of base" in d.words
    d.click((331, 124))
    start = tool(d)
    assert start.overlay()


def test_a_locked_direction_ends_at_the_face_it_meets() -> None:
    d = drawing(laid(BASE)).click((300, 400)).hover((302, 127)).expect_hint("face of base")
    d.click((302, 127))
    assert ends(d, "member-1")[1] == (300, 125)
    d = drawing(laid(BASE)).type("333, 444").type("at 300").hover((516, 127)).key("enter")
    (x, y) = ends(d, "member-1")[1]
    assert y == pytest.approx(125)
    assert x == pytest.approx(333 + (444 - 125) / math.tan(math.radians(60)))


def test_a_held_angle_comes_level_with_a_point() -> None:
    d = drawing(laid(BASE)).type("500, 127").type("at 0").hover((701, 126))
    d.expect_hint("the end point level with the corner of base").key("enter")
    assert ends(d, "member-1")[1] == (700, 127)


def test_near_a_quarter_turn_the_direction_is_caught_and_the_length_is_whole() -> None:
    d = drawing().type("101, 101").hover((323.4, 102)).expect_hint("222 mm at 0°").key("space")
    assert d.member("member-1").length == 222
    d = drawing().type("101, 101").move((323.4, 102.5), free=True)
    assert "222 mm" not in d.hint
    d = drawing().type("101, 101").hover((323.4, 160)).key("enter")
    assert d.member("member-1").length == 230


def test_it_catches_on_locating_faces_of_pieces() -> None:
    d = drawing(laid(stop("s", 4, 4)))
    y = d.document.placed_pieces["s"].faces[0].a[1]
    d.hover((235, y - 1)).expect_hint("face of fixed stop at")


def test_mitre_lines_are_caught_by_name() -> None:
    corner = between("up", "up", TUBE, (100, 100), (100, 500))
    from gridjig.edits.joining import mitre

    d = drawing(mitre(laid(BASE, corner), "base", "up")).hover((92, 91))
    assert "mitre line of" in d.hint


def test_arrow_keys_and_enter_draw_without_a_pointer() -> None:
    d = drawing().key("enter").key("right").key("right").key("enter").expect_step("Draw tube 1")
    assert d.member("member-1").length == 100
    d.key("x").key("escape").key("escape").expect(lambda d: d.controller.tool.name == "select")


@pytest.mark.expectation(19, 33)
def test_a_ghost_shows_length_and_angle() -> None:
    d = drawing().click("C3").hover("F5")
    assert any(isinstance(s, Polyline) and s.closed for s in d.overlay)
    texts = [s.text for s in d.overlay if isinstance(s, Dimension)]
    assert texts == ["≈180.3 mm at ≈33.69°"]


@pytest.mark.expectation(22)
def test_leaving_drops_what_is_begun() -> None:
    job = EMPTY
    d = drawing(job).click("C3").hover("F5")
    d.controller.home()
    d.expect_untouched(job)


@pytest.mark.expectation(30, 85)
@pytest.mark.parametrize("text", ["frogs", "0", "-24", "24 < frogs", "z frogs", "1, frogs", "24 <"])
def test_a_misread_text_says_what_is_accepted(text: str) -> None:
    d = drawing().click("C3").type(text)
    assert not d.document.can_undo
    assert d.hint.endswith((".", ")")) or "type" in d.hint


def test_the_same_point_twice_is_refused() -> None:
    d = drawing().click("C3").click("C3").expect_hint("two different points")
    assert not d.document.can_undo
    d.expect_hint("two different points")


def test_another_section_is_taken_and_inches_come_in_fractions() -> None:
    d = drawing().with_display(unit="inch fractions", denominator=16)
    tool(d).take(ANGLE)
    d.type("10, 10").hover((354.0, 254.4)).expect_hint("3-15/16").expect_hint("24 at 37.5")
    assert Display().unit == "inch fractions"


def test_a_release_without_a_press_is_nothing() -> None:
    d = drawing().release("C3").move("D3").press("C3").move((150.1, 150))
    d.release("C3").expect_hint("Click the end point")


def test_a_direction_square_to_the_side_it_starts_on_is_caught() -> None:
    slant = between("s", "slant", TUBE, (200, 200), (600, 430))
    d = drawing(laid(slant))
    face = slant.mill_edges[1]
    from gridjig.geometry.part_outline import part_edge

    a, b = part_edge(slant, face)
    start = (a[0] + 0.3 * (b[0] - a[0]), a[1] + 0.3 * (b[1] - a[1]))
    square = slant.turn + 90.0
    c, s = math.cos(math.radians(square)), math.sin(math.radians(square))
    d.click(start).hover((start[0] + 120 * c + 1.2, start[1] + 120 * s + 0.5))
    d.expect_hint("square to the face of slant").key("enter")
    assert d.member("member-1").turn == pytest.approx(square)
    assert d.member("member-1").length == pytest.approx(120)


def test_away_from_every_direction_the_nearest_side_is_caught() -> None:
    d = drawing(laid(BASE)).type("111, 401").hover((331, 123.4)).expect_hint("face of base")
    d.key("enter")
    assert ends(d, "member-1")[1] == pytest.approx((331, 125))
    d = drawing(laid(BASE)).type("333, 444").type("at 300").move((515.5, 128.5), free=True)
    assert "face" not in d.hint


def test_a_held_angle_with_nothing_near_gives_a_whole_length() -> None:
    d = drawing().type("101, 101").type("at 0").hover((323.4, 333)).key("enter")
    assert d.member("member-1").length == 222
    d = drawing().type("120, 120").hover((120, 120)).expect_hint("No length yet")
    assert len([s for s in d.overlay if isinstance(s, Polyline)]) == 0


def test_a_free_start_lies_in_whole_steps_beyond_the_table_too() -> None:
    d = drawing().click((-70.3, 222.6)).hover((-70.3, 380)).key("enter")
    assert ends(d, "member-1")[0] == (-70, 223)


def test_a_point_as_good_as_the_start_has_no_ghost() -> None:
    d = drawing().type("120, 120").move((120.0000001, 120), free=True)
    assert not any(isinstance(s, Dimension) for s in d.overlay)
    d.key("enter").expect_hint("two different points")
