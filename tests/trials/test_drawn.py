"""Trial weldments drawn as a person draws them: typed into the member tool, joined by clicks."""

import math
from collections.abc import Sequence

import pytest

from gridjig.edits.members import Hold
from gridjig.edits.parts import set_heights
from gridjig.geometry.part_mass import mass
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Member
from gridjig.rack import Point
from gridjig.tools.draw.member_tool import MemberTool
from gridjig.tools.draw.plate_tool import PlateTool
from gridjig.tools.join.dimension_tool import DimensionTool
from gridjig.tools.join.join_kinds import JoinKind
from gridjig.tools.join.join_tool import JoinTool
from gridjig.tools.select.select import SelectTool
from gridjig.units import POUND
from tests.driver import Driver
from tests.trials.keyed import TUBE_1_5, TUBE_2, TUBE_2_THICK, section
from tests.trials.layout import INCH, empty, inches, load

RECKONED = pytest.mark.source("method", "trial weldments, reckoned by hand apart from the program")


def frame(trial: str, stock: str, wide: float, deep: float) -> Driver:
    """Four members round a frame from the trial's origin, the first at the front."""
    data = load(trial)
    x, y = data["origin"]
    d = Driver(empty(data)).tool(lambda document: MemberTool(document, section(stock), "left"))
    d.type(f"{x}, {y}").type(f"{wide} at 0").type(f"{deep} at 90").type(f"{wide} at 180")
    return d.type(f"{deep} at 270").expect_hint("run is closed")


def joined(d: Driver, kind: JoinKind, *pairs: tuple[str, str]) -> Driver:
    d.tool(lambda document: JoinTool(document, kind))
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
    d.expect_steps(8).expect_step("Butt tube 4 against tube 3")


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
    assert d.member("member-2").x == pytest.approx(before.parts[1].x)


# -- the trials with slopes and heights ------------------------------------------------------------


class Sketching:
    """A trial drawn with the tools: points in inches from its origin, parts clicked where they
    lie.
    """

    def __init__(self, trial: str) -> None:
        data = load(trial)
        self.trial, self.origin = trial, data["origin"]
        self.d = Driver(empty(data))
        self.ids: dict[str, str] = {}

    def _words(self, p: Point) -> str:
        return f"{p[0] + self.origin[0]}, {p[1] + self.origin[1]}"

    def _at(self, p: Point) -> Point:
        return ((p[0] + self.origin[0]) * INCH, (p[1] + self.origin[1]) * INCH)

    def bar(
        self,
        name: str,
        stock: str,
        a: Point,
        to: str | Point,
        lies: Hold = "left",
        z: str = "0",
        turned: bool = False,
    ) -> None:
        """A member from a point to another or as far as is typed, at that height."""
        self.d.tool(lambda document: MemberTool(document, section(stock), lies))
        if turned:
            self.d.key("r")
        self.d.type(f"z {z}").type(self._words(a))
        self.d.type(to if isinstance(to, str) else self._words(to))
        self._named(name)

    def plate(self, name: str, corners: Sequence[Point], z: tuple[float, float]) -> None:
        self.d.tool(lambda document: PlateTool(document, "polygon")).type(
            "; ".join(self._words(p) for p in corners)
        )
        (made,) = self.d.document.selection
        self.d.document.do(set_heights(self.d.job, made, z[0] * INCH, z[1] * INCH), "Set height")
        self._named(name)

    def _named(self, name: str) -> None:
        (made,) = self.d.document.selection
        self.ids[name] = made

    def trim(self, name: str, near: Point, to: str, there: Point) -> None:
        """Trim by two clicks: near the end that moves, then on what it is to reach."""
        self.d.tool(lambda document: JoinTool(document, "trim"))
        self.d.click(self._at(near)).click(self._at(there))
        self.d.expect_hint("ends at")

    def drop(self, name: str) -> None:
        """Take away what was drawn only to cut to."""
        self.d.tool(SelectTool).select(self.ids.pop(name)).key("delete")

    def same(self) -> None:
        """Every part is as reckoned."""
        assert len(self.ids) == len(self.d.job.parts)
        for wanted in load(self.trial)["members"]:
            part = next(p for p in self.d.job.parts if p.id == self.ids[wanted["id"]])
            found = [inches(p) for p in part_ring(part)]
            assert len(found) == len(wanted["plan"])
            for x, y in wanted["plan"]:
                place = (x + self.origin[0], y + self.origin[1])
                assert min(math.dist(place, p) for p in found) < 1e-3, wanted["id"]
            assert (part.z_low / INCH, part.z_high / INCH) == pytest.approx(tuple(wanted["z"]))
            assert mass(part) / POUND == pytest.approx(wanted["mass"], abs=1e-3)
            if isinstance(part, Member):
                assert part.long_point / INCH == pytest.approx(wanted["cut_length"], abs=1e-3)


@RECKONED
def test_the_bracket_with_its_brace_is_drawn_and_trimmed_by_clicks() -> None:
    s = Sketching("T04")
    s.bar("U upright", TUBE_2_THICK, (0, 0), "18 at 90", "right")
    s.bar("H arm", TUBE_2_THICK, (2, 0), "16 at 0")
    s.bar("K brace", TUBE_1_5, (2, 12), (12, 2), "centre", z="1/4")
    s.trim("K brace", (3, 11), "U upright", (1, 5))
    s.trim("K brace", (11, 3), "H arm", (5, 1))
    s.same()


@RECKONED
def test_the_strut_at_its_angle_is_typed_and_trimmed_at_its_foot() -> None:
    s = Sketching("T06")
    s.bar("B base", TUBE_2, (0, 0), "28 at 0")
    s.bar("S strut", TUBE_1_5, (6, 2), "20 at 37.5", "centre", z="1/4")
    s.trim("S strut", (8, 3.5), "B base", (20, 1))
    plan = next(m["plan"] for m in load("T06")["members"] if m["id"].startswith("E "))
    s.plate("E end plate 3x.25", plan, (0.0, 3.0))
    s.same()


@RECKONED
def test_the_tapered_end_is_drawn_by_its_outer_edges_and_cut_level() -> None:
    s = Sketching("T08")
    s.bar("LL leg", TUBE_1_5, (0, 0), (10, 36), "right")
    s.bar("RL leg", TUBE_1_5, (30, 0), (20, 36))
    s.bar("TB top bar", TUBE_1_5, (8, 36), "14 at 0")
    s.bar("floor", TUBE_1_5, (-2, 0), "34 at 0", "right")
    for leg, x, way in (("LL leg", 0.8, 1), ("RL leg", 29.2, -1)):
        s.trim(leg, (x + way * 0.56, 2), "floor", (15, -0.75))
        s.trim(leg, (x + way * 9.4, 34), "TB top bar", (15, 36.75))
    s.drop("floor")
    for name, y in (("SL spreader low", 9), ("SU spreader up", 24)):
        s.bar(name, TUBE_1_5, (2, y), "26 at 0")
        slope = y / 3.6
        s.trim(name, (12, y + 0.75), "LL leg", (0.8 + slope * 0.5, y / 2))
        s.trim(name, (27, y + 0.75), "RL leg", (29.2 - slope * 0.5, y / 2))
    s.same()


@RECKONED
def test_the_machine_base_is_drawn_at_its_three_heights() -> None:
    s = Sketching("T10")
    for n, y in ((1, 0), (2, 22)):
        s.bar(f"R{n} rail", "4x2x1/8", (0, y), "40 at 0", z="3/8", turned=True)
    for name, stock, x, z in (
        ("X1 cross", TUBE_2, 0.0, "2-3/8"),
        ("X2 cross", TUBE_2, 38.0, "2-3/8"),
        ("F strap", "3x1/4", 18.5, "4-1/8"),
    ):
        s.bar(name, stock, (x, 2), "20 at 90", "right", z)
    for n, (x, y) in enumerate(((-1, -1), (37, -1), (-1, 21), (37, 21)), start=1):
        corners = [(x, y), (x + 4, y), (x + 4, y + 4), (x, y + 4)]
        s.plate(f"P{n} foot plate", corners, (0.0, 0.375))
    s.same()
