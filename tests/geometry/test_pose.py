"""Poses against complex numbers: turning is multiplying, mirroring is conjugating."""

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.geometry import Pose, unit, wrap

angles = st.floats(-1000, 1000)
lengths = st.floats(-1000, 1000)
points = st.tuples(lengths, lengths)
poses = st.builds(Pose, lengths, lengths, angles, st.booleans())


def test_quarter_turns_are_exact() -> None:
    assert [unit(90.0 * k) for k in range(-4, 5)] == [
        (1.0, 0.0),
        (0.0, 1.0),
        (-1.0, 0.0),
        (0.0, -1.0),
    ] * 2 + [(1.0, 0.0)]
    assert Pose(1, 2, 90).point((3, 4)) == (-3.0, 5.0)


@pytest.mark.source("library", "Python 3.11 cmath", "rect")
@given(angles)
def test_unit(a: float) -> None:
    assert complex(*unit(a)) == pytest.approx(cmath.rect(1, math.radians(a)), abs=1e-12)


@pytest.mark.source("library", "Python 3.11 math", "remainder")
@given(angles)
def test_wrap(a: float) -> None:
    turned = wrap(a)
    assert -180 < turned <= 180
    assert abs(math.remainder(turned - a, 360)) < 1e-9
    assert wrap(-180.0) == wrap(540.0) == 180.0


@pytest.mark.source("method", "complex numbers: z -> p + e^(i a) z, mirrored z -> conj z")
@given(poses, points)
def test_points(pose: Pose, p: tuple[float, float]) -> None:
    z = complex(*p)
    z = z.conjugate() if pose.flipped else z
    there = complex(pose.x, pose.y) + cmath.rect(1, math.radians(pose.turn)) * z
    assert pose.point(p) == pytest.approx((there.real, there.imag), abs=1e-8)
    assert pose.back(pose.point(p)) == pytest.approx(p, abs=1e-8)


@given(poses, st.lists(points, min_size=3, max_size=6))
def test_many_points_are_single_ones_and_keep_their_sense(
    pose: Pose, ps: list[tuple[float, float]]
) -> None:
    order = list(reversed(ps)) if pose.flipped else ps
    many = pose.points(tuple(ps))
    assert len(many) == len(ps)
    for mine, p in zip(many, order, strict=True):
        assert mine == pytest.approx(pose.point(p), abs=1e-9)


@pytest.mark.source("method", "complex numbers: the argument of the image of a direction")
@given(poses, angles)
def test_directions(pose: Pose, a: float) -> None:
    x0, y0 = pose.point((0, 0))
    x1, y1 = pose.point(unit(a))
    there = math.degrees(math.atan2(y1 - y0, x1 - x0))
    assert abs(math.remainder(pose.direction(a) - there, 360)) < 1e-6
