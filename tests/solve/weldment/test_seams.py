"""Seams of two outlines, against shapely's own common edges and plane angles."""

import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import affinity

from gridjig.solve.weldment.meeting import GAP
from gridjig.solve.weldment.seams import edges_of, seams
from tests.workshop import box

SIZE = st.floats(5, 300)


@pytest.mark.source("library", "shapely 2", "length of the line that two outlines have in common")
@given(SIZE, SIZE, SIZE, SIZE, st.floats(-200, 200))
def test_contact_lengths_are_those_of_the_common_line(
    w: float, h: float, u: float, v: float, along: float
) -> None:
    one, other = box(0, 0, w, h), box(along, h, along + u, h + v)
    common = shapely.Polygon(one).intersection(shapely.Polygon(other)).length
    assume(abs(common - 1.0) > 0.01)  # of the length from which two parts are said to meet
    found = seams(edges_of(one), edges_of(other))
    if common > 1.0:
        (seam,) = found
        assert seam.length == pytest.approx(common, abs=1e-6)
        assert seam.gap == 0
    else:
        assert not found


@pytest.mark.source("library", "shapely 2", "affinity.rotate")
@given(st.floats(-180, 180), st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
def test_turning_and_moving_both_changes_nothing(turn: float, x: float, y: float) -> None:
    one, other = box(0, 0, 200, 40), box(60, 40, 100, 240)
    (before,) = seams(edges_of(one), edges_of(other))

    def moved(ring: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
        shape = affinity.translate(affinity.rotate(shapely.Polygon(ring), turn, (0, 0)), x, y)
        return [(px, py) for px, py in shape.exterior.coords[:-1]]

    (after,) = seams(edges_of(moved(one)), edges_of(moved(other)))
    assert after.length == pytest.approx(before.length, abs=1e-6)
    assert after.angles == pytest.approx(before.angles, abs=1e-6)
    assert after.sides == before.sides


@pytest.mark.source("method", "plane geometry: angles of a bar that meets another at an angle")
@pytest.mark.parametrize("angle", [30, 45, 75, 90, 120, 150])
def test_a_bar_at_an_angle_leaves_it_on_one_side(angle: float) -> None:
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    leg = 20 / s
    bar = [(100, 40), (100 + leg, 40), (100 + leg + 200 * c, 40 + 200 * s)]
    bar.append((100 + 200 * c, 40 + 200 * s))
    (seam,) = seams(edges_of(box(0, 0, 300, 40)), edges_of(bar))
    assert seam.length == pytest.approx(leg)
    # Along the first outline, so from the right of the upper face to its left.
    assert seam.angles == pytest.approx((angle, 180 - angle))


def test_a_mitre_has_its_inner_and_its_outer_angle() -> None:
    flat = [(0, 0), (100, 0), (80, 20), (0, 20)]
    upright = [(100, 0), (100, 100), (80, 100), (80, 20)]
    (seam,) = seams(edges_of(flat), edges_of(upright))
    assert seam.whole
    assert seam.length == pytest.approx(math.hypot(20, 20))
    assert seam.angles == pytest.approx((270, 90))


def test_faces_in_line_leave_half_a_turn() -> None:
    (seam,) = seams(edges_of(box(0, 0, 50, 20)), edges_of(box(50, 0, 90, 20)))
    assert seam.angles == pytest.approx((180, 180))
    assert seam.whole


@pytest.mark.parametrize("gap", [0.0, 1.0, 3.1])
def test_a_root_gap_is_bridged_and_reported(gap: float) -> None:
    (seam,) = seams(edges_of(box(0, 0, 100, 20)), edges_of(box(10, 20 + gap, 60, 90)))
    assert seam.gap == pytest.approx(gap)
    assert seam.line[0][1] == pytest.approx(20 + gap / 2)


def test_past_the_gap_nothing_meets() -> None:
    assert not seams(edges_of(box(0, 0, 100, 20)), edges_of(box(10, 20 + GAP + 0.01, 60, 90)))
    assert seams(edges_of(box(0, 0, 100, 20)), edges_of(box(10, 25, 60, 90)), gap=5)


def test_faces_a_little_out_of_parallel_meet_as_far_as_the_gap_allows() -> None:
    slope = [(0, 20), (200, 24), (200, 100), (0, 100)]  # 1.15 degrees
    (seam,) = seams(edges_of(box(0, 0, 200, 20)), edges_of(slope))
    assert seam.length == pytest.approx(160, abs=0.5)
    assert seam.gap == pytest.approx(1.6, abs=0.01)
    assert seam.angles[0] == pytest.approx(1.146, abs=0.01)
    late = [(40, 20), (190, 24.5), (190, 100), (40, 100)]  # 1.72 degrees, from 40 on
    (seam,) = seams(edges_of(box(0, 0, 200, 20)), edges_of(late))
    assert seam.length == pytest.approx(3.2 / 4.5 * 150, abs=0.5)
    assert seam.gap == pytest.approx(1.6, abs=0.01)
    assert sorted(x for x, _ in seam.line) == pytest.approx([40, 40 + 3.2 / 4.5 * 150], abs=0.1)
    near = [(40, 24.5), (190, 20), (190, 100), (40, 100)]
    (seam,) = seams(edges_of(box(0, 0, 200, 20)), edges_of(near))
    assert sorted(x for x, _ in seam.line) == pytest.approx([190 - 3.2 / 4.5 * 150, 190], abs=0.1)
    assert seam.gap == pytest.approx(1.6, abs=0.01)
    steep = [(0, 20), (200, 29), (200, 100), (0, 100)]  # 2.6 degrees
    assert not seams(edges_of(box(0, 0, 200, 20)), edges_of(steep))


def test_a_seam_goes_round_a_corner() -> None:
    notched = [(0, 0), (100, 0), (100, 60), (50, 60), (50, 20), (0, 20)]
    (seam,) = seams(edges_of(notched), edges_of(box(0, 20, 50, 60)))
    assert seam.length == pytest.approx(90)
    assert len(seam.line) == 3
    assert seam.sides == ((3, 1), (4, 0))
    (back,) = seams(edges_of(box(0, 20, 50, 60)), edges_of(notched))
    assert back.length == pytest.approx(90)
    assert back.sides == ((0, 4), (1, 3))


def test_a_seam_goes_on_past_the_first_corner_of_the_outline() -> None:
    ring = [(50, 20), (50, 60), (0, 60), (0, 20)]  # begins in the corner of the notch
    notched = [(0, 0), (100, 0), (100, 60), (50, 60), (50, 20), (0, 20)]
    (seam,) = seams(edges_of(ring), edges_of(notched))
    assert seam.length == pytest.approx(90)
    assert seam.line[0] == pytest.approx((0, 20))


def test_two_feet_of_one_part_make_two_seams() -> None:
    fork = [(0, 20), (20, 20), (20, 60), (80, 60), (80, 20), (100, 20), (100, 90), (0, 90)]
    found = seams(edges_of(box(-10, 0, 110, 20)), edges_of(fork))
    assert [seam.length for seam in found] == pytest.approx([20, 20])


def test_corners_alone_make_no_seam() -> None:
    assert not seams(edges_of(box(0, 0, 50, 20)), edges_of(box(50, 20, 90, 60)))
    assert not edges_of([(1, 1), (1, 1)])


def cog(teeth: int, radius: float, x: float) -> list[tuple[float, float]]:
    every = [(radius + 8 * (k % 4 in (1, 2)), math.pi * k / (2 * teeth)) for k in range(4 * teeth)]
    return [(x + r * math.cos(turn), r * math.sin(turn)) for r, turn in every]


@pytest.mark.source("method", "the search over all pairs of edges")
@given(st.integers(3, 12), st.integers(3, 12), st.floats(-20, 20))
def test_edges_narrowed_down_by_their_boxes_make_the_same_seams(a: int, b: int, x: float) -> None:
    """Outlines of thousands of corners took hours pair by pair."""
    one, other = edges_of(cog(a, 100, 0)), edges_of(cog(b, 100, 210 + x))
    boxed, whole = edges_of(box(0, 0, 50, 50)), edges_of(box(50 + x / 5, -10, 90, 30))
    for first, second in ((one, other), (boxed, whole), (one, boxed)):
        found = []
        for few in (0, 10**9):
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr("gridjig.solve.weldment.seams._FEW", few)
                found.append(seams(first, second))
        assert found[0] == found[1]


def test_many_corners_side_by_side_are_one_seam() -> None:
    line = [float(y) for y in range(8001)]
    left = [(-9.0, 8000.0), (-9.0, 0.0), *((0.0, y) for y in line)]
    right = [(9.0, 0.0), (9.0, 8000.0), *((0.0, y) for y in reversed(line))]
    (seam,) = seams(edges_of(left), edges_of(right))
    assert seam.length == pytest.approx(8000)
    assert len(seam.sides) == 8000
