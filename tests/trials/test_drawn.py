"""Trial weldments drawn as a person draws them: typed into the member tool, joined by clicks."""

import math

import pytest

from gridjig.geometry.parts import part_ring
from gridjig.model import Member
from gridjig.tools.dimension import DimensionTool
from gridjig.tools.join import JoinTool
from gridjig.tools.joins import JoinKind
from gridjig.tools.member import MemberTool
from tests.driver import Driver
from tests.trials.keyed import TUBE_1_5, TUBE_2, section
from tests.trials.layout import INCH, empty, inches, load

RECKONED = pytest.mark.source("trial weldments, reckoned by hand apart from the program")


def frame(trial: str, stock: str, wide: float, deep: float) -> Driver:
    """Four members round a frame from the trial's origin, the first at the front."""
    data = load(trial)
    x, y = data["origin"]
    d = Driver(empty(data)).tool(lambda desk: MemberTool(desk, section(stock), "left"))
    d.type(f"{x}, {y}").type(f"{wide} < 0").type(f"{deep} < 90").type(f"{wide} < 180")
    return d.type(f"{deep} < 270").expect_hint("row is closed")


def joined(d: Driver, kind: JoinKind, *pairs: tuple[str, str]) -> Driver:
    d.tool(lambda desk: JoinTool(desk, kind))
    for one, other in pairs:
        for number in (one, other):
            member = d.member(f"member-{number}")
            middle = member.length / 2.0
            turn = math.radians(member.turn)
            d.click((member.x + middle * math.cos(turn), member.y + middle * math.sin(turn)))
    return d


def same_as_reckoned(d: Driver, trial: str, names: dict[str, str]) -> None:
    data = load(trial)
    ox, oy = data["origin"]
    for wanted in data["members"]:
        member = d.member(f"member-{names[wanted['id'][0]]}")
        assert isinstance(member, Member)
        found = [inches(p) for p in part_ring(member)]
        assert len(found) == len(wanted["plan"])
        for px, py in wanted["plan"]:
            assert min(math.dist((px + ox, py + oy), p) for p in found) < 1e-6, wanted["id"]
        assert member.long_point / INCH == pytest.approx(wanted["cut_length"])


@RECKONED
def test_the_butted_frame_is_drawn_and_butted_by_clicks() -> None:
    d = frame("T01", TUBE_2, 24, 24)
    joined(d, "butt", ("1", "2"), ("1", "4"), ("3", "2"), ("3", "4"))
    same_as_reckoned(d, "T01", {"A": "1", "D": "2", "B": "3", "C": "4"})
    d.expect_steps(8).expect_step("Butt member 4 against member 3")


@RECKONED
def test_the_mitred_frame_is_drawn_and_mitred_by_clicks() -> None:
    d = frame("T02", TUBE_1_5, 36, 23)
    joined(d, "mitre", ("1", "2"), ("2", "3"), ("3", "4"), ("4", "1"))
    same_as_reckoned(d, "T02", {"A": "1", "D": "2", "B": "3", "C": "4"})


@RECKONED
def test_a_driving_dimension_makes_the_frame_another_size_and_back() -> None:
    d = frame("T01", TUBE_2, 24, 24)
    before = d.job
    x, y = (v * INCH for v in load("T01")["origin"])
    d.tool(DimensionTool).select()
    d.click((x, y + 200)).click((x + 24 * INCH, y + 220)).expect_hint('24" from').type("20")
    assert d.member("member-2").x == pytest.approx(x + 19 * INCH)
    d.type("24")
    assert d.member("member-2").x == pytest.approx(before.outlines[1].x)
