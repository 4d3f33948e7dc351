"""Plan shapes of members against formulas, cylinders met in space, and areas by a library."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from shapely import LineString, Polygon

from gridjig.model import EndCut, Member, Section
from gridjig.model.endcut import CutSide
from tests.stock import ANGLE, CHANNEL, EVERY, FLAT, OBLONG, ROUND, SQUARE, bar

ANGLES = st.floats(-60, 60).map(lambda v: round(v, 3))


def mitres(start: float, end: float) -> dict[str, Any]:
    return {"start": EndCut("mitre", start), "end": EndCut("mitre", end)}


@pytest.mark.source(
    "library", "shapely 2.1", "polygon area, and length of lines cut from the polygon"
)
@given(ANGLES, ANGLES, st.floats(-24, 24))
def test_the_plan_of_a_mitred_bar(start: float, end: float, across: float) -> None:
    made = bar(**mitres(start, end))
    plan = Polygon(made.corners)
    assert plan.exterior.is_ccw
    assert plan.is_valid
    assert plan.area == pytest.approx(made.width * made.length)
    cut = plan.intersection(LineString([(-999, across), (1999, across)]))
    assert cut.length == pytest.approx(made.line(across))
    assert made.edges == pytest.approx((made.line(25), made.line(-25)))
    assert (made.long_point, made.short_point) == (max(made.edges), min(made.edges))


@pytest.mark.source(
    "method", "plane geometry reckoned apart: mitre w/cos a; LP - SP = 2 w tan a, three decimals"
)
@pytest.mark.parametrize(("angle", "longer"), [(45, 3.0), (30, 1.7321)])
def test_long_point_less_short_point(angle: float, longer: float) -> None:
    section = structs.replace(SQUARE, width=1.5, height=1.5, wall=0.125, radius=0, toe=0)
    made = bar(section, 36, **mitres(angle, angle))
    assert made.long_point - made.short_point == pytest.approx(longer, abs=5e-5)
    a, b = made.corners[1], made.corners[2]
    assert math.dist(a, b) == pytest.approx(1.5 / math.cos(math.radians(angle)))


def test_positive_angles_leave_the_long_point_on_the_left() -> None:
    made = bar(**mitres(45, 45))
    assert made.edges == pytest.approx((550, 450))
    assert bar(**mitres(-45, -45)).edges == pytest.approx((450, 550))
    parallel = bar(**mitres(30, -30))
    assert parallel.long_point == pytest.approx(parallel.short_point)


@pytest.mark.parametrize("section", EVERY, ids=lambda s: s.name)
def test_way_up_turns_width_and_height(section: Section) -> None:
    made = bar(section)
    for way in (0, 180):
        turned = structs.replace(made, way_up=way)
        assert (turned.width, turned.depth) == (made.section.width, made.section.height)
    for way in (90, 270):
        turned = structs.replace(made, way_up=way)
        assert (turned.width, turned.depth) == (made.section.height, made.section.width)
        assert turned.z_high == turned.z_low + made.section.width


def test_a_measured_bar_is_as_wide_as_measured_whichever_way_up() -> None:
    made = bar(OBLONG, measured=(59.5, 0))
    assert (made.width, made.depth) == (59.5, 40)
    upright = structs.replace(made, way_up=90)
    assert (upright.width, upright.depth) == (40, 59.5)


# -- copes ---------------------------------------------------------------------------------------


def reaches(made: Member) -> list[float]:
    """How far the coped end runs beyond the nominal, over its saddle."""
    return [x - made.length for x, _ in made.corners[1 : made.mill_edges[1] + 1]]


@pytest.mark.source(
    "published",
    "a tube-notch calculator page",
    "equal 1.5 in tubes at 90 degrees: 0.75 in; the rest by arithmetic",
)
@pytest.mark.parametrize(
    ("r", "header", "between", "amplitude"),
    [
        (0.75, 0.75, 90, 0.7500),
        (0.75, 0.75, 60, 1.2990),
        (0.75, 0.75, 45, 1.8107),
        (21.2, 30.15, 90, 8.7121),
        (21.2, 30.15, 45, 42.400),
    ],
)
def test_amplitude_of_a_saddle(r: float, header: float, between: float, amplitude: float) -> None:
    """z(p) = r cos p / tan T + sqrt(R2 - r2 sin2 p) / sin T, T between the centre lines."""
    tube = structs.replace(ROUND, width=2 * r, height=2 * r, wall=r / 10)
    made = bar(tube, 40 * r, end=EndCut("cope", 90.0 - between, 2 * header))
    saddle = reaches(made)
    assert max(saddle) - min(saddle) == pytest.approx(amplitude, abs=1e-4 * max(1, amplitude))


def met_in_space(r: float, header: float, angle: float, p: float) -> tuple[float, float]:
    """Where a fibre of the branch meets the header, by solving for the cylinder: (across, along).

    The header's axis lies in the plane of the branch's, its near side crossing the branch's axis
    at 0; the fibre comes from minus infinity.
    """
    a = math.radians(angle)
    across, rise = r * math.cos(p), r * math.sin(p)
    axis = np.array([math.sin(a), math.cos(a), 0.0])  # along the side of a mitre of that angle
    centre = np.array([header / math.cos(a), 0.0, 0.0])
    normal = np.eye(3) - np.outer(axis, axis)
    start = normal @ (np.array([0.0, across, rise]) - centre)
    step = normal @ np.array([1.0, 0.0, 0.0])
    roots = np.roots([step @ step, 2 * start @ step, start @ start - header * header])
    return across, float(min(roots.real))


@pytest.mark.source("library", "numpy 2.4", "roots of the cylinder met by each fibre in space")
@given(st.floats(5, 40), st.floats(1.01, 3), st.floats(-50, 50), st.floats(0.05, math.pi - 0.05))
def test_every_fibre_of_a_coped_tube_ends_on_the_header(
    r: float, ratio: float, angle: float, p: float
) -> None:
    tube = structs.replace(ROUND, width=2 * r, height=2 * r, wall=r / 10)
    made = bar(tube, 600, end=EndCut("cope", angle, 2 * r * ratio))
    across, along = met_in_space(r, r * ratio, angle, p)
    assert made.line(across) - made.length == pytest.approx(along, abs=1e-6 * r * 10)


def test_long_point_of_a_coped_tube_is_its_longest_line() -> None:
    made = bar(ROUND, start=EndCut("cope", 20, 60.3), end=EndCut("cope", 35, 88.9))
    half = made.width / 2
    lines = [made.line(half * k / 5000) for k in range(-5000, 5001)]
    assert made.long_point == pytest.approx(max(lines), abs=1e-6)
    assert made.short_point == pytest.approx(min(lines), abs=1e-9)
    assert Polygon(made.corners).is_valid
    assert Polygon(made.corners).exterior.is_ccw


def test_equal_tubes_square_on_meet_to_the_middle() -> None:
    made = bar(ROUND, end=EndCut("cope", 0, 48.3))
    assert made.long_point == pytest.approx(made.length + 48.3 / 2)
    assert made.short_point == pytest.approx(made.length)


def test_a_square_tube_coped_to_a_round_one_keeps_a_straight_end_in_plan() -> None:
    made = bar(SQUARE, end=EndCut("cope", 0, 100))
    lower = 50 - math.sqrt(50**2 - 25**2)
    assert made.edges == pytest.approx((500 + lower, 500 + lower))
    assert len(made.corners) == 4


# -- notches -------------------------------------------------------------------------------------


@pytest.mark.source("library", "shapely 2.1", "difference of boxes")
@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("end", ["start", "end"])
def test_a_notch_takes_a_box_out_of_the_plan(side: CutSide, end: str) -> None:
    cut = EndCut("notch", along=30, across=20, side=side)
    ends: dict[str, Any] = {end: cut}
    made = bar(**ends)
    x0 = 0 if end == "start" else 470
    y0 = 5 if side == "left" else -25
    whole = Polygon([(0, -25), (500, -25), (500, 25), (0, 25)])
    bite = Polygon([(x0, y0), (x0 + 30, y0), (x0 + 30, y0 + 20), (x0, y0 + 20)])
    plan = Polygon(made.corners)
    assert plan.exterior.is_ccw
    assert plan.symmetric_difference(whole.difference(bite)).area < 1e-6
    assert (made.long_point, made.short_point) == pytest.approx((500, 470))


def test_mill_edges_are_the_two_long_faces() -> None:
    for made in (
        bar(),
        bar(ROUND, end=EndCut("cope", 10, 60.3)),
        bar(start=EndCut("notch", along=30, across=20, side="right")),
        bar(end=EndCut("notch", along=30, across=20)),
    ):
        ring = made.corners
        for k, across in zip(made.mill_edges, (-made.width / 2, made.width / 2), strict=True):
            a, b = ring[k], ring[(k + 1) % len(ring)]
            assert a[1] == b[1] == pytest.approx(across)


# -- hands ---------------------------------------------------------------------------------------


SIDES: tuple[CutSide, ...] = ("left", "right")


def any_bar() -> st.SearchStrategy[Member]:
    cuts = st.one_of(
        ANGLES.map(lambda a: EndCut("mitre", a)),
        st.just(EndCut()),
        st.sampled_from(SIDES).map(lambda s: EndCut("notch", 0.0, 0.0, 30.0, 4.0, s)),
    )
    return st.builds(
        bar,
        st.sampled_from(EVERY),
        st.floats(300, 900),
        start=cuts,
        end=cuts,
        way_up=st.sampled_from([0, 90, 180, 270]),
    )


@given(any_bar())
def test_opposite_hand_twice_and_turned_over_twice_are_the_same_again(made: Member) -> None:
    assert made.opposite_hand.opposite_hand == made
    assert made.turned_over.turned_over == made


@pytest.mark.source("library", "shapely 2.1", "the plan mirrored point by point")
@given(any_bar())
def test_the_opposite_hand_has_the_mirrored_plan(made: Member) -> None:
    mirrored = Polygon([(x, -y) for x, y in made.corners])
    for other in (made.opposite_hand, made.turned_over):
        assert Polygon(other.corners).symmetric_difference(mirrored).area < 1e-6


def test_only_what_has_a_hand_is_marked_as_mirrored() -> None:
    assert not bar(SQUARE).opposite_hand.mirrored
    assert bar(ANGLE).opposite_hand.mirrored
    assert bar(CHANNEL).turned_over.mirrored is False
    assert bar(CHANNEL).turned_over.way_up == 180


# -- what is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cut", "says"),
    [
        ({"kind": "mitre", "angle": 86}, "the angle is 86°; it must be from −85° to 85°"),
        ({"kind": "square", "angle": 5}, "square cut has an angle of 0"),
        ({"kind": "notch", "angle": 5, "along": 5, "across": 5}, "notch cut has an angle of 0"),
        ({"kind": "cope"}, "diameter of the tube"),
        ({"kind": "mitre", "angle": 5, "around": 20}, "has no cope"),
        ({"kind": "notch", "along": 5}, "a length along the member and a width across"),
        ({"kind": "mitre", "along": 5}, "has no notch"),
        ({"kind": "mitre", "angle": math.nan}, "finite"),
    ],
)
def test_cuts_that_make_no_sense_are_refused(cut: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        EndCut(**cut)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"length": 0}, "the length is 0 mm; it must be from 0.001 mm"),
        ({"measured": (-1, 0)}, "measured size"),
        ({"x": math.inf}, "finite"),
        ({"end": EndCut("cope", 0, 40)}, "taller than the tube"),
        ({"end": EndCut("notch", along=5, across=50)}, "wider than the member"),
        ({"length": 40, **mitres(45, 45)}, "too short"),
        ({"length": 30, "end": EndCut("notch", along=30, across=5)}, "too short"),
    ],
)
def test_members_that_cannot_be_cut_are_refused(more: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        bar(**more)


def test_flat_lies_flat_at_way_up_0() -> None:
    assert (bar(FLAT).width, bar(FLAT).depth) == (50, 6)


def test_a_measured_size_is_none_or_at_least_a_micrometre() -> None:
    assert structs.replace(bar(), measured=(0, 0.001)).measured == (0, 0.001)
    with pytest.raises(ValueError, match="or 0 to use the listed size"):
        structs.replace(bar(), measured=(0, 0.000_999))
