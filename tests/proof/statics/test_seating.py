"""Seating and fighting contacts, against another solver and by hand."""

import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog  # type: ignore[import-untyped]

from gridjig.proof.statics.rows import Push
from gridjig.proof.statics.seating import seat, squeeze
from tests.proof.statics.shapes import BLOCK, CLAMP, DOWN, LEFT, PINS, RIGHT, UP, rows_at_random


@pytest.mark.source("method", "by hand: inverse of the rows times how far the pins are out")
def test_pins_that_are_out_move_the_body() -> None:
    """Pins out by .1, -.1 and .2 mm: .15 right, .15 up and .001 rad clockwise."""
    push = BLOCK.rows([CLAMP])[0]
    found = seat(BLOCK.rows(PINS), np.array([0.1, -0.1, 0.2]), push)
    assert found is not None
    twist = BLOCK.twist(found.motion)
    assert (twist.x, twist.y, twist.turn) == pytest.approx((0.15, 0.15, -0.001))
    assert found.slack == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


@pytest.mark.source("method", "by hand: three pins in line, the middle one low")
def test_a_pin_that_stands_back_does_not_touch() -> None:
    rows = BLOCK.rows([*PINS, Push((150.0, 0.0), UP)])
    found = seat(rows, np.array([0.0, 0.0, 0.0, -0.3]), BLOCK.rows([CLAMP])[0])
    assert found is not None
    assert found.slack == pytest.approx((0.0, 0.0, 0.0, 0.3), abs=1e-9)
    assert found.forces == pytest.approx((0.353553, 0.353553, 0.707107, 0.0), abs=1e-6)


@pytest.mark.source("method", "by hand: one pin 1 mm proud between two, and the push beside it")
def test_a_proud_pin_in_the_middle_makes_it_rock() -> None:
    """The push is right of the middle: it lies on the proud pin and the right one."""
    line = [Push((x, 0.0), UP) for x in (50.0, 150.0, 250.0)]
    rows = BLOCK.rows([*line, PINS[2]])
    push = BLOCK.rows([Push((200.0, 200.0), DOWN)])[0] + BLOCK.rows([Push((300.0, 50.0), LEFT)])[0]
    found = seat(rows, np.array([0.0, 1.0, 0.0, 0.0]), push)
    assert found is not None
    assert found.slack == pytest.approx((2.0, 0.0, 0.0, 0.0), abs=1e-9)


@pytest.mark.source("method", "by hand: two stops 0.4 mm too close give way by 0.2 mm each")
def test_opposed_stops_share_what_is_too_little() -> None:
    rows = BLOCK.rows([*PINS, Push((300.0, 50.0), LEFT)])
    found = squeeze(rows, np.array([0.0, 0.0, 0.0, 0.4]))
    assert found.by == pytest.approx(0.2)
    assert found.shares == pytest.approx((0.0, 0.0, 0.5, 0.5))
    assert squeeze(rows[:3], np.array([5.0, 5.0, 5.0])).by == -np.inf
    assert squeeze(rows, np.array([0.0, 0.0, 0.0, -0.4])).by == pytest.approx(-0.2)


@pytest.mark.source("library", "scipy 1.17", "linprog: seat and squeeze by another solver")
@given(st.integers(0, 10**6), st.integers(3, 9))
def test_another_solver_finds_the_same(seed: int, count: int) -> None:
    rows = rows_at_random(seed, count)
    rng = random.Random(seed)
    off = np.array([rng.uniform(-1, 1) for _ in range(count)])
    push = -rows[:3].sum(axis=0)
    free = [(None, None)] * 3
    least = linprog(
        [0, 0, 0, 1],
        A_ub=np.hstack((-rows, -np.ones((count, 1)))),
        b_ub=-off,
        bounds=[*free, (None, None)],
    )
    found = squeeze(rows, off)
    if least.status == 0:
        assert found.by == pytest.approx(float(least.fun), abs=1e-7)
    else:
        assert found.by == -np.inf
    rest = linprog(-push, A_ub=-rows, b_ub=-off, bounds=free)
    here = seat(rows, off, push)
    assert (here is not None) == (rest.status == 0)
    if here is not None:
        assert float(push @ here.motion) == pytest.approx(-float(rest.fun), abs=1e-6)
        assert here.slack.min() > -1e-7
        assert np.abs(rows.T @ here.forces + push).max() < 1e-7


def test_nothing_seats_against_one_side() -> None:
    assert seat(BLOCK.rows(PINS), np.zeros(3), BLOCK.rows([Push((0.0, 0.0), RIGHT)])[0]) is None
