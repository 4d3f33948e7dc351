import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec import structs
from shapely import LineString
from shapely import Point as Spot

from gridjig.edits.members import between
from gridjig.model import EndCut, Member, Section
from gridjig.tools.aim.sides import PartSide, PartSides, marks_of
from tests.workshop import EMPTY, laid, plate

TUBE = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3, radius=6, toe=3)
PIPE = Section(name="60.3x3.6", kind="round tube", width=60.3, height=60.3, wall=3.6)
A = between("a", "rail", TUBE, (100, 100), (500, 100))


def whats(member: Member) -> list[str]:
    return [side.what for side in marks_of(member).sides]


def test_each_side_of_a_member_has_its_word() -> None:
    assert whats(A) == ["face of rail", "end of rail", "face of rail", "end of rail"]
    cut = structs.replace(A, start=EndCut("mitre", 45), end=EndCut("notch", 0, 0, 30, 10))
    assert whats(cut) == [
        "face of rail",
        *["notch of rail"] * 3,
        "face of rail",
        "mitre line of rail",
    ]


def test_facets_of_a_saddle_are_not_aimed_at() -> None:
    coped = structs.replace(between("r", "", PIPE, (0, 0), (300, 0)), end=EndCut("cope", 0, 80))
    assert whats(coped) == ["face of member", "face of member", "end of member"]
    assert len([p for p, what in marks_of(coped).points if what == "corner of member"]) == 4


def test_a_plate_has_sides_and_corners() -> None:
    marks = marks_of(plate("sheet", 0, 0))
    assert {side.what for side in marks.sides} == {"side of sheet"}
    assert {what for _, what in marks.points} == {
        "corner of sheet",
        "middle of the side of sheet",
    }


def test_marks_are_kept_while_the_part_is_the_same() -> None:
    sides = PartSides()
    job = laid(A, plate("sheet", 600, 300))
    first = sides.of(job)["a"]
    assert sides.of(job)["a"] is first
    assert sides.of(laid(structs.replace(A, x=0.0)))["a"] is not first
    assert sides.near(EMPTY, (0, 0), 10) is None
    assert sides.near(job, (300, 90), 3) is None


places = st.floats(-500, 500).map(lambda v: round(v, 2))
points = st.tuples(places, places)


@pytest.mark.source("library", "shapely 2.2", "distance and intersection")
@given(a=points, b=points, p=points, turn=st.floats(0, 360))
def test_distance_and_crossing_of_a_side(
    a: tuple[float, float], b: tuple[float, float], p: tuple[float, float], turn: float
) -> None:
    assume(math.dist(a, b) >= 1)
    side, line = PartSide("x", 0, a, b, "side"), LineString([a, b])
    assert abs(side.away(p) - line.distance(Spot(p))) < 1e-6
    along = (math.cos(math.radians(turn)), math.sin(math.radians(turn)))
    far = side.crossed(p, along)
    ray = LineString(
        [
            (p[0] - 5e3 * along[0], p[1] - 5e3 * along[1]),
            (p[0] + 5e3 * along[0], p[1] + 5e3 * along[1]),
        ]
    )
    if far is not None:
        place = (p[0] + far * along[0], p[1] + far * along[1])
        assert line.distance(Spot(place)) < 1e-3
    elif line.crosses(ray):
        assert min(ray.distance(Spot(a)), ray.distance(Spot(b))) < 1e-3
