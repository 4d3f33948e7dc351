"""Rank, the motion left and how errors grow, against determinants, arithmetic and brute force."""

import math
import random

import numpy as np
import pytest
import scipy.linalg  # type: ignore[import-untyped]
from hypothesis import assume, given
from hypothesis import strategies as st

from gridjig.proof.statics.rank import free_motion, growth, misfit, rank_of
from gridjig.proof.statics.rows import BodyFrame, Push, Twist, frame_of
from tests.proof.statics.shapes import (
    BLOCK,
    DOWN,
    LEFT,
    PINS,
    PLAIN,
    RECTANGLE,
    RIGHT,
    SQUARE,
    UP,
    at_random,
)


@pytest.mark.source("method", "the 3 x 3 matrix of a rectangle on three pins, inverted by hand")
def test_rows_of_a_rectangle_on_three_pins() -> None:
    rows = PLAIN.rows(PINS)
    assert np.linalg.det(rows) == pytest.approx(200.0)
    inverse = [[-0.25, 0.25, 1.0], [1.25, -0.25, 0.0], [-0.005, 0.005, 0.0]]
    assert np.allclose(rows @ inverse, np.eye(3))


@pytest.mark.source("method", "radius of gyration of a rectangle, sqrt((w^2 + h^2) / 12)")
def test_the_singular_values_are_scaled_by_the_radius_of_gyration() -> None:
    assert BLOCK.radius == pytest.approx(104.083300, abs=1e-6)
    assert rank_of(BLOCK.rows(PINS)).values == pytest.approx(
        (1.503351, 1.414214, 0.903803), abs=1e-6
    )


@pytest.mark.source("method", "arithmetic: three parallel pushes hold a height and an angle")
def test_three_pins_on_one_edge_leave_a_slide() -> None:
    rank = rank_of(BLOCK.rows([Push((x, 0.0), UP) for x in (50.0, 150.0, 250.0)]))
    assert rank.held == 2
    free = free_motion(rank, BLOCK)
    assert free is not None
    assert (free.kind, free.direction) == ("slide", (1.0, 0.0))


@pytest.mark.source("method", "the four lines of a square's middles meet in its centre")
def test_a_square_on_its_four_middles_turns_about_its_centre() -> None:
    pushes = [Push((50, 0), UP), Push((50, 100), DOWN), Push((0, 50), RIGHT), Push((100, 50), LEFT)]
    frame = frame_of(SQUARE)
    rank = rank_of(frame.rows(pushes))
    assert rank.held == 2
    free = free_motion(rank, frame)
    assert free is not None
    assert free.kind == "turn"
    assert free.centre == pytest.approx((50.0, 50.0))


@pytest.mark.parametrize(("count", "held"), [(0, 0), (1, 1), (2, 2), (3, 3)])
def test_each_of_three_pins_holds_one_freedom(count: int, held: int) -> None:
    rank = rank_of(BLOCK.rows(PINS[:count]))
    assert rank.held == held
    free = free_motion(rank, BLOCK)
    assert (free.kind if free is not None else None) == {0: "free", 1: "free", 2: "slide", 3: None}[
        held
    ]


def meeting(a: Push, b: Push) -> tuple[float, float]:
    """Where the lines of two pushes meet."""
    (ax, ay), (ux, uy) = a
    (bx, by), (vx, vy) = b
    t = ((bx - ax) * vy - (by - ay) * vx) / (ux * vy - uy * vx)
    return (ax + t * ux, ay + t * uy)


@pytest.mark.source(
    "method",
    "|det| = sine between two pushes times the distance of the third line from their meeting",
)
@given(st.integers(0, 10**6))
def test_the_determinant_is_the_distance_from_where_the_lines_meet(seed: int) -> None:
    a, b, c = at_random(random.Random(seed), 3)
    sine = a.way[0] * b.way[1] - a.way[1] * b.way[0]
    assume(abs(sine) > 0.05)
    x, y = meeting(a, b)
    away = (x - c.at[0]) * c.way[1] - (y - c.at[1]) * c.way[0]
    assert abs(np.linalg.det(PLAIN.rows([a, b, c]))) == pytest.approx(abs(sine * away), abs=1e-6)


@pytest.mark.source("library", "scipy 1.17", "null_space of the same rows")
@given(st.integers(0, 10**6), st.integers(1, 7))
def test_the_motions_left_are_the_null_space(seed: int, count: int) -> None:
    rng = random.Random(seed)
    pushes = at_random(rng, count)
    if rng.random() < 0.5:  # let all lines meet in one point
        x, y = rng.uniform(-50, 50), rng.uniform(-50, 50)
        pushes = [
            Push((x + 80 * p.way[0], y + 80 * p.way[1]), (-p.way[0], -p.way[1])) for p in pushes
        ]
    rows = BodyFrame((0.0, 0.0), 60.0).rows(pushes)
    rank = rank_of(rows)
    assume(min((v for v in rank.values if v > 1e-9), default=1.0) > 0.01)
    assert rank.held == 3 - scipy.linalg.null_space(rows, rcond=1e-9).shape[1]
    assert len(rank.left) == 3 - rank.held
    assert np.abs(rows @ rank.left.T).max(initial=0.0) < 1e-9


@pytest.mark.source("method", "brute force: the body moved along the motion left, gaps measured")
@given(st.integers(0, 10**6))
def test_the_motion_left_of_two_contacts_opens_no_gap(seed: int) -> None:
    rng = random.Random(seed)
    pushes = at_random(rng, 2)
    frame = BodyFrame((rng.uniform(-30, 30), rng.uniform(-30, 30)), 60.0)
    free = free_motion(rank_of(frame.rows(pushes)), frame)
    assert free is not None
    if free.kind == "free":
        return
    if free.kind == "slide":
        assert free.direction is not None
        twist = Twist(*free.direction, 0.0)
    else:
        assert free.centre is not None
        twist = Twist(free.centre[1], -free.centre[0], 1.0)
    size = max(math.hypot(*twist.at((100.0, 100.0))), 1.0)
    for push in pushes:
        x, y = twist.at(push.at)
        assert abs(x * push.way[0] + y * push.way[1]) < 1e-3 * size


@pytest.mark.source("method", "two pins L apart: an error grows as 1 + 2 x / L beyond them")
def test_errors_grow_beyond_the_base() -> None:
    """One pin 1 mm high and the other 1 mm low, 200 apart: 100 mm further on it is 2 mm."""
    rows = BLOCK.rows([Push((0.0, 0.0), UP), Push((200.0, 0.0), UP), Push((0.0, 0.0), RIGHT)])
    found = growth(rows, BLOCK, RECTANGLE)
    assert found.far == (300.0, 200.0)
    # 2 mm up there, and 1 mm along plus 200 mm times the turn of 2/200.
    assert found.times == pytest.approx(math.hypot(2.0, 3.0), rel=0.02)


@pytest.mark.source("method", "brute force: every sign of every error, solved")
@given(st.integers(0, 10**6))
def test_growth_is_the_worst_over_all_signs(seed: int) -> None:
    pushes = at_random(random.Random(seed), 3)
    rows = BLOCK.rows(pushes)
    assume(rank_of(rows).values[2] > 0.05)
    worst = 0.0
    for signs in np.array(np.meshgrid(*[(-1.0, 1.0)] * 3)).T.reshape(-1, 3):
        twist = BLOCK.twist(np.linalg.solve(rows, signs))
        worst = max(worst, *(math.hypot(*twist.at(p)) for p in RECTANGLE))
    assert 0.975 * worst <= growth(rows, BLOCK, RECTANGLE).times <= worst * (1.0 + 1e-9)


@pytest.mark.source("method", "three in line: half of what the middle one is off lies either side")
def test_a_proud_stop_between_two_fights_both() -> None:
    rows = BLOCK.rows([Push((x, 0.0), UP) for x in (50.0, 150.0, 250.0)])
    assert misfit(rows, np.array([0.0, 0.9, 0.0])) == pytest.approx((-0.3, 0.6, -0.3))
    assert misfit(rows, np.array([0.2, 0.3, 0.4])) == pytest.approx((0.0, 0.0, 0.0), abs=1e-12)
    assert misfit(BLOCK.rows(PINS), np.array([1.0, -2.0, 3.0])) == pytest.approx(
        (0.0, 0.0, 0.0), abs=1e-12
    )


@pytest.mark.source("library", "scipy 1.17", "null_space of the transposed rows")
@given(st.integers(0, 10**6), st.integers(1, 8))
def test_what_is_left_of_errors_is_their_part_in_the_left_null_space(seed: int, count: int) -> None:
    rows = BodyFrame((0.0, 0.0), 60.0).rows(at_random(random.Random(seed), count))
    assume(rank_of(rows).values[min(count, 3) - 1] > 0.05)
    off = np.random.default_rng(seed).normal(size=count)
    ways = scipy.linalg.null_space(rows.T)
    assert misfit(rows, off) == pytest.approx(ways @ (ways.T @ off), abs=1e-9)
