"""Where typed places are counted from, and when a row of members or an outline ends."""

import pytest
from msgspec import structs

from gridjig.edits import weldment
from gridjig.edits.parts import rename_part
from gridjig.geometry.display import TextLabel
from gridjig.model import Display
from gridjig.tools.core.pointer import KeyPress
from gridjig.tools.draw.member_tool import MemberTool
from gridjig.tools.draw.plate_tool import PlateTool
from tests.driver import Driver
from tests.stock import SQUARE
from tests.workshop import EMPTY, laid, plate


def members(job: object = EMPTY) -> Driver:
    return Driver(job).tool(lambda document: MemberTool(document, SQUARE))  # type: ignore[arg-type]


def plates(job: object = EMPTY, shape: str = "rectangle") -> Driver:
    return Driver(job).tool(lambda document: PlateTool(document, shape))  # type: ignore[arg-type]


SOME = laid(plate("p", 333, 222))


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("origin corner", (333.0, 222.0)),
        ("from corner", (333.0, 222.0)),
        ("origin C4", (150.0, 200.0)),
        ("origin 300, 200", (300.0, 200.0)),
        ("Origin = 1 in, 2 in", (25.4, 50.8)),
    ],
)
def test_an_origin_is_set_as_one_step(text: str, wanted: tuple[float, float]) -> None:
    for d in (members(SOME), plates(SOME)):
        d.type(text).expect_step("Set where places are typed from")
        assert d.job.origin == pytest.approx(wanted)
        assert "0, 0" in [s.text for s in d.overlay if isinstance(s, TextLabel)]
        d.type("origin table")
        assert d.job.origin is None
        assert "0, 0" not in [s.text for s in d.overlay if isinstance(s, TextLabel)]
        d.undo()
        assert d.job.origin == pytest.approx(wanted)


def test_without_a_weldment_there_is_no_corner_of_it() -> None:
    d = members().type("origin corner").expect_hint("has no corner yet")
    assert d.job is EMPTY
    d.type("origin somewhere").expect_hint("origin C4")


def test_members_and_plates_are_typed_from_the_origin() -> None:
    d = members(SOME).type("origin corner").type("10, 20").type("110, 20")
    made = d.member("member-1")
    assert (made.x, made.y, made.length) == pytest.approx((343.0, 242.0, 100.0))
    d = plates(SOME).type("origin corner").type("10, 20").type("30 x 40")
    assert (d.outline("plate-1").x, d.outline("plate-1").y) == (343.0, 242.0)
    d.type("C3").click("F5")
    assert (d.outline("plate-2").x, d.outline("plate-2").y) == (150.0, 150.0)  # a hole stays


def test_setting_the_origin_does_not_end_the_row() -> None:
    d = members(SOME).type("C3").type("origin corner").type("0, 0")
    assert d.member("member-1").x == 150.0


def test_the_origin_goes_with_the_weldment() -> None:
    job = members(SOME).type("origin corner").job
    assert weldment.move(job, 10.0, -5.0).origin == (343.0, 217.0)
    assert weldment.turn(job, 90.0, (333.0, 200.0)).origin == pytest.approx((311.0, 200.0))
    assert weldment.mirror(job, (400.0, 0.0), (400.0, 1.0)).origin == pytest.approx((467.0, 222.0))
    assert weldment.flip(job, (400.0, 0.0), (400.0, 1.0)).origin == pytest.approx((467.0, 222.0))
    assert weldment.move(SOME, 10.0, 0.0).origin is None


# -- what ends a row -----------------------------------------------------------------------------


def test_undo_ends_the_row_so_that_nothing_starts_at_a_vanished_corner() -> None:
    d = members().click("C3").click("F3").undo()
    assert d.job is EMPTY
    d.type("600, 300").expect_hint("end")  # a start, not the end of a member
    assert d.job.parts == ()
    d.type("700, 300")
    assert d.member("member-1").x == 600.0


def test_a_change_by_a_form_ends_the_row() -> None:
    d = members(SOME).click("C3")
    d.document.do(rename_part(d.job, "p", "Rib"), "Name it")
    d.type("600, 300")
    assert len(d.job.parts) == 1
    assert tool_in(d).in_progress


def tool_in(d: Driver) -> MemberTool:
    tool = d.controller.tool
    assert isinstance(tool, MemberTool)
    return tool


def test_the_row_goes_on_after_its_own_members() -> None:
    d = members().click("C3").click("F3").click("F6")
    assert len(d.job.parts) == 2


def test_enter_in_the_type_row_ends_a_row_and_an_outline() -> None:
    d = members().click("C3").click("F3")
    assert tool_in(d).in_progress
    d.controller.finish()
    assert not tool_in(d).in_progress
    d.expect_hint("run of members is finished")
    d = plates(shape="polygon").type("0, 0").type("100, 0")
    assert not d.controller.tool.in_progress
    d.controller.finish()
    assert d.job is EMPTY
    d.type("100, 100")
    assert d.controller.tool.in_progress
    d.controller.finish()
    assert d.outline("plate-1").corners == ((0, 0), (100, 0), (100, 100))
    d.controller.key(KeyPress("escape"))
    assert d.controller.tool.name == "select"


# -- plates --------------------------------------------------------------------------------------


def test_plates_keep_their_own_last_thickness() -> None:
    d = plates().type("C3").type("100 x 50")
    assert d.outline("plate-1").z_high == 10.0
    d.type("t 6").expect_hint("6 mm thick").type("z 44").expect_hint("44 mm above")
    d.type("C9").type("100 x 50")
    made = d.outline("plate-2")
    assert (made.z_low, made.z_high) == (44.0, 50.0)
    again = plates(d.job)
    again.type("J9").type("100 x 50")
    assert (again.outline("plate-3").z_low, again.outline("plate-3").z_high) == (44.0, 50.0)
    inches = plates(structs.replace(EMPTY, display=Display())).type("C3").type("4 x 2")
    assert inches.outline("plate-1").z_high == pytest.approx(9.525)


def test_a_thickness_of_nothing_is_refused() -> None:
    d = plates().type("t 0").expect_hint("thicker than 0").type("thick x").expect_hint("length")
    d.type("C3").type("100 x 50")
    assert d.outline("plate-1").z_high == 10.0
