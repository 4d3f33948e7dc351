"""Joints: their kinds, their stable ids, and the cost of finding them."""

import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits.copies import moved as moved_by
from gridjig.edits.parts import turned
from gridjig.geometry.part_outline import part_ring
from gridjig.model import EndCut, Part, Plate
from gridjig.solve.weldment.joints import Joint, joints, left_out
from tests.solve.weldments import bar, coped, frame
from tests.workshop import box


def block(name: str, x0: float, y0: float, x1: float, y1: float, *z: float) -> Plate:
    low, high = z or (0.0, 40.0)
    return Plate(id=name, name=name, corners=box(x0, y0, x1, y1), z_low=low, z_high=high)


def one(*parts: Part) -> Joint:
    (found,) = joints(parts)
    return found


def test_a_butted_frame_has_four_joints() -> None:
    found = joints(frame())
    assert [j.id for j in found] == ["front/left", "front/right", "back/left", "back/right"]
    assert {(j.kind, round(j.length, 6), j.gap) for j in found} == {("edge", 40, 0)}
    assert found[0].place == pytest.approx((120, 240))
    assert found[0].sides == ((2, 3),)


def test_the_same_parts_give_the_same_tuple() -> None:
    parts = frame()
    assert joints(parts) is joints(parts)
    assert joints(()) == joints(parts[:1]) == ()


@pytest.mark.source("library", "shapely 2", "areas of intersections")
@given(st.floats(-120, 120), st.floats(-120, 120))
def test_stacked_areas(x: float, y: float) -> None:
    lower, upper = block("a", 0, 0, 100, 60, 0, 10), block("b", x, y, x + 80, y + 80, 10, 20)
    common = shapely.Polygon(part_ring(lower)).intersection(shapely.Polygon(part_ring(upper)))
    least = (
        min(common.bounds[2] - common.bounds[0], common.bounds[3] - common.bounds[1])
        if (common.area)
        else 0
    )
    assume(abs(least - 1.0) > 0.01)  # of the width from which it is called a joint
    found = [j for j in joints((lower, upper)) if j.kind == "stacked"]
    assert len(found) == int(least > 1.0)
    if found:
        assert found[0].area == pytest.approx(common.area)
        assert found[0].place == pytest.approx((common.centroid.x, common.centroid.y))
        assert found[0].z_low == found[0].z_high == 10
        assert found[0].length == pytest.approx(common.length)


def test_heights_that_stay_apart_make_no_joint() -> None:
    assert joints((block("a", 0, 0, 50, 50, 0, 10), block("b", 0, 0, 50, 50, 13.3, 20))) == ()
    near = one(block("b", 0, 0, 50, 50, 13, 20), block("a", 0, 0, 50, 50, 0, 10))
    assert near.gap == pytest.approx(3)
    assert joints((block("a", 0, 0, 50, 50), block("b", 50, 0, 90, 50, 50, 60))) == ()


def test_parts_that_share_room_overlap() -> None:
    found = one(block("a", 0, 0, 50, 50), block("b", 40, 10, 90, 30, 20, 60))
    assert (found.kind, found.area, found.z_low, found.z_high) == ("overlap", 200, 20, 40)
    assert one(block("a", 0, 0, 50, 50), block("b", 49.96, 0, 90, 50)).kind == "edge"


def test_a_part_in_the_bay_of_another_may_touch_and_overlap() -> None:
    bay = ((0, 0), (100, 0), (100, 60), (60, 60), (60, 20), (40, 20), (40, 60), (0, 60))
    fork = Plate(id="f", name="f", corners=tuple((float(x), float(y)) for x, y in bay))
    assert one(fork, block("a", 41, 20, 59, 90)).kind == "edge"
    assert one(fork, block("a", 39, 20, 59, 90)).kind == "overlap"


def test_corners_that_meet_are_a_joint_without_length() -> None:
    found = one(block("a", 0, 0, 50, 50), block("b", 50, 50, 90, 90, 10, 70))
    assert (found.kind, found.length, found.place) == ("corner", 0, (50, 50))
    assert (found.z_low, found.z_high) == (10, 40)
    near = one(block("a", 0, 0, 50, 50), block("b", 52, 51, 90, 90))
    assert near.gap == pytest.approx(5**0.5)
    assert near.place == pytest.approx((51, 50.5))
    assert joints((block("a", 0, 0, 50, 50), block("b", 53, 53, 90, 90))) == ()


def test_a_square_end_at_a_slant_touches_with_its_corner() -> None:
    post = bar("post", 0, 20, 300)
    brace = bar("brace", 100, 40 + 20 * 0.5**0.5, 200, 45)
    assert one(post, brace).kind == "corner"


def test_an_outside_corner_of_two_plates_at_two_heights() -> None:
    found = one(block("floor", 0, 0, 100, 100, 0, 6), block("wall", 100, 0, 106, 100, 6, 80))
    assert (found.kind, found.length) == ("corner", 100)
    assert found.z_low == found.z_high == 6


def test_a_coped_pipe_meets_the_side_of_the_round() -> None:
    found = one(*coped(76.1, 300))
    assert found.kind == "edge"
    assert found.length == pytest.approx(60.3)
    assert found.place == pytest.approx((400, 76.1 / 2))
    slanting = one(*coped(76.1, 300, 20))
    assert slanting.kind == "edge"
    assert slanting.length == pytest.approx(60.3 / math.cos(math.radians(20)))
    assert sorted(slanting.angles) == pytest.approx([70, 110])
    assert slanting.sides == ((2, 3),)  # the first bit of the saddle


def test_a_clockwise_outline_is_as_good() -> None:
    plain, other = block("a", 0, 0, 50, 50), block("b", 50, 10, 90, 40)
    back = structs.replace(plain, corners=plain.corners[::-1])
    found = one(back, other)
    assert found.length == 30
    a, b = (part_ring(back)[k % 4] for k in (found.sides[0][0], found.sides[0][0] + 1))
    assert {a[0], b[0]} == {50}


def test_joints_of_one_pair_are_counted_along_the_first_part() -> None:
    fork = ((0, 0), (20, 0), (20, 40), (80, 40), (80, 0), (100, 0), (100, 70), (0, 70))
    legs = Plate(id="b", name="b", corners=tuple((float(x), float(y + 20)) for x, y in fork))
    rail = block("a", -10, 0, 110, 20)
    found = joints((legs, rail))
    assert [j.id for j in found] == ["a/b", "a/b/1"]
    assert [(j.a, j.b, j.nth) for j in found] == [("b", "a", 0), ("b", "a", 1)]
    assert [j.place[0] for j in found] == pytest.approx([10, 90])


@given(st.floats(-180, 180), st.floats(-3000, 3000), st.floats(-3000, 3000))
def test_ids_and_sizes_are_kept_when_all_parts_move(turn: float, x: float, y: float) -> None:
    parts: tuple[Part, ...] = (
        *frame(),
        bar("brace", 200, 360, 100, 0, 10),
        block("lid", 110, 210, 490, 490, 40, 46),
        bar("slope", 300, 240, 80, 90, start=EndCut("mitre", 12)),
    )
    moved = [moved_by(turned(p, turn, (0, 0)), x, y) for p in parts]
    before, after = joints(parts), joints(moved)
    assert [(j.id, j.kind, j.sides) for j in after] == [(j.id, j.kind, j.sides) for j in before]
    for old, new in zip(before, after, strict=True):
        assert new.length == pytest.approx(old.length, abs=1e-5)
        assert new.area == pytest.approx(old.area, abs=1e-4)
        assert new.angles == pytest.approx(old.angles, abs=1e-5)


def test_moving_one_of_sixty_members_finds_only_its_own_joints_anew() -> None:
    ladder = [bar("a", 0, 20, 4000), bar("b", 0, 620, 4000)]
    ladder += [bar(f"m{k}", 40 + k * 65, 40, 560, 90) for k in range(58)]
    before = joints(tuple(ladder))
    assert len(before) == 116
    ladder[30] = structs.replace(ladder[30], x=ladder[30].x + 1e-3)
    kept = set(map(id, before)) & set(map(id, joints(tuple(ladder))))
    assert len(kept) == 114


def test_too_many_duplicate_parts_are_not_all_compared_and_left_out_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """10,000 plates in one place have 50 million pairs."""
    parts = tuple(block(f"p{n}", 0, 0, 50, 50) for n in range(5))  # ten pairs
    monkeypatch.setattr("gridjig.solve.weldment.joints.MOST_PAIRS", 10)
    assert len(joints(parts)) == 10
    assert not left_out(parts)
    again = (*parts[:4], block("p9", 0, 0, 50, 50))
    monkeypatch.setattr("gridjig.solve.weldment.joints.MOST_PAIRS", 9)
    assert [joint.id for joint in joints(again)] == [joint.id for joint in joints(again)][:9]
    assert len(joints(again)) == 9
    assert left_out(again)


@pytest.mark.source("method", "the same search without asking in parts")
def test_neighbours_queried_in_chunks_are_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    parts = tuple(block(f"p{n}", n * 30.0, 0, n * 30.0 + 50, 50) for n in range(9))
    whole = joints(parts)
    monkeypatch.setattr("gridjig.solve.weldment.joints._AT_ONCE", 2)
    assert joints((*parts,)) == whole
    assert len(whole) >= 8
