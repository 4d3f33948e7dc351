"""Reactions of clamped bodies and what friction takes, by hand and against another solver."""

import math
import random

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from scipy.optimize import linprog, nnls  # type: ignore[import-untyped]

from gridjig.proof.statics.reactions import Pressed, held_with_friction, least_push, reactions
from gridjig.proof.statics.rows import BodyFrame, Floats, Push
from gridjig.rack import Point
from tests.proof.statics.shapes import (
    BLOCK,
    CLAMP,
    DOWN,
    LEFT,
    PINS,
    RECTANGLE,
    RIGHT,
    rows_at_random,
)


@pytest.mark.source("method", "by hand: 1000 N at 45 degrees into the corner")
def test_reactions_of_three_pins() -> None:
    found = reactions(BLOCK.rows(PINS), 1000.0 * BLOCK.rows([CLAMP])[0])
    assert found.held
    assert found.forces == pytest.approx((353.553391, 353.553391, 707.106781))


@pytest.mark.source("method", "by hand: moments about the other pin")
def test_a_push_beside_the_base_lifts_the_far_pin() -> None:
    """1000 N down at x = 300, pins at 50 and 250: 1250 N on the near one, and 250 N missing."""
    load = 1000.0 * BLOCK.rows([Push((300.0, 200.0), DOWN)])[0]
    found = reactions(BLOCK.rows(PINS), load)
    assert not found.held
    assert found.forces == pytest.approx((-250.0, 1250.0, 0.0), abs=1e-6)
    assert found.leaves[0] > 0.0
    assert found.leaves[2] == pytest.approx(0.0, abs=1e-9)


def test_no_load_asks_nothing_and_no_contact_holds_nothing() -> None:
    assert reactions(BLOCK.rows(PINS), np.zeros(3)).held
    assert not reactions(BLOCK.rows([]), np.ones(3)).held


@pytest.mark.source("library", "scipy 1.17", "nnls: forces that only push and balance, or none")
@given(st.integers(0, 10**6), st.integers(3, 8))
def test_they_balance_or_no_pushes_do(seed: int, count: int) -> None:
    rows = rows_at_random(seed, count)
    rng = random.Random(seed)
    load = np.array([rng.gauss(0, 100) for _ in range(3)])
    _, missing = nnls(rows.T, -load)
    found = reactions(rows, load)
    assume(not 1e-9 < missing < 1e-3)
    assert found.held == (missing <= 1e-9)
    if found.held:
        assert found.forces.min() >= 0.0
        assert np.abs(rows.T @ found.forces + load).max() < 1e-5
    else:
        assert found.leaves.max() > 0.0 or np.linalg.matrix_rank(rows) < 3


@pytest.mark.source("method", "equal springs: no other forces that balance have less energy")
@given(st.integers(0, 10**6))
@example(184)
@example(2084)
def test_forces_on_many_pins_are_those_of_equal_springs(seed: int) -> None:
    rows = rows_at_random(seed, 7)
    rng = np.random.default_rng(seed)
    some = rng.uniform(0.0, 100.0, 7)
    load = -rows.T @ some
    found = reactions(rows, load)
    assert found.held
    assert float(found.forces @ found.forces) <= float(some @ some) + 1e-6


@pytest.mark.source("method", "two contacts hold if the line between them is inside both cones")
@pytest.mark.parametrize(("steep", "held"), [(0.1, True), (0.19, True), (0.21, False)])
def test_two_contacts_hold_within_the_cones_of_friction(steep: float, held: bool) -> None:
    """A square block between two fingers, one higher: the line between them rises by `steep`."""
    fingers = (Push((0.0, 0.0), RIGHT), Push((100.0, 100.0 * steep), LEFT))
    frame = BodyFrame((50.0, 50.0), 50.0)
    squeezed = -100.0 * frame.rows([Push((0.0, 0.0), _unit(1.0, steep))])[0]
    one = (fingers[0],)
    assert held_with_friction(frame, one, squeezed, 0.2) == held
    assert not held_with_friction(frame, one, squeezed, 0.0)
    assert held_with_friction(frame, (), np.zeros(3), 0.0)
    assert not held_with_friction(frame, (), squeezed, 1.0)


def _unit(x: float, y: float) -> Point:
    size = math.hypot(x, y)
    return (x / size, y / size)


NOTHING: Floats = np.empty((0, 3))


@pytest.mark.source("method", "by hand: it turns about the far spot, half the lever")
def test_a_push_at_the_end_turns_it_about_the_other_spot() -> None:
    """Two spots of 100 N, 100 mm apart, pushed square at 50 mm beyond one: 100 * 100 / 150."""
    frame = BodyFrame((50.0, 0.0), 50.0)
    spots = (Pressed((0.0, 0.0), 100.0), Pressed((100.0, 0.0), 100.0))
    found = least_push(frame, NOTHING, spots, ((150.0, 0.0), (50.0, 0.0)))
    assert found.push == pytest.approx(100.0 * 100.0 / 150.0, rel=0.01)
    assert found.at == (150.0, 0.0)
    assert abs(found.way[1]) == pytest.approx(1.0, abs=0.05)


@pytest.mark.source("method", "by hand: between two stops it can only slide, against all friction")
def test_stops_leave_only_a_slide() -> None:
    frame = BLOCK
    rows = frame.rows([*PINS[:2], Push((50.0, 200.0), DOWN), Push((250.0, 200.0), DOWN)])
    spots = (Pressed((50.0, 100.0), 100.0), Pressed((250.0, 100.0), 200.0))
    found = least_push(frame, rows, spots, RECTANGLE)
    assert found.push == pytest.approx(300.0, rel=0.01)
    assert abs(found.way[0]) == pytest.approx(1.0, abs=1e-6)


def test_a_closed_body_cannot_be_pushed_away() -> None:
    rows = BLOCK.rows(
        (*PINS, Push((250.0, 200.0), DOWN), Push((300.0, 150.0), LEFT), Push((50.0, 200.0), DOWN))
    )
    assert least_push(BLOCK, rows, (Pressed((50.0, 100.0), 1.0),), RECTANGLE).push == math.inf


def takes(
    spots: tuple[Pressed, ...], rows: Floats, frame: BodyFrame, at: Point, way: Point
) -> float:
    """The greatest push that contacts, and forces within polygons in the discs, balance."""
    sides, columns, limits = 24, [], []
    for k, spot in enumerate(spots):
        for side in range(sides):
            turn = 2.0 * math.pi * side / sides
            columns.append(frame.rows([Push(spot.at, (math.cos(turn), math.sin(turn)))])[0])
            limits.append(k)
    every = np.vstack((frame.rows([Push(at, way)]), np.array(columns), rows))
    shared = np.zeros((len(spots), len(every)))
    for column, k in enumerate(limits, 1):
        shared[k, column] = 1.0
    cost = np.zeros(len(every))
    cost[0] = -1.0
    found = linprog(cost, A_ub=shared, b_ub=[s.most for s in spots], A_eq=every.T, b_eq=[0, 0, 0])
    return float(-found.fun) if found.status == 0 else math.inf


@pytest.mark.source(
    "library", "scipy 1.17", "linprog: the forces that balance a push, the other way round"
)
@pytest.mark.untraced
def test_the_least_push_is_the_least_that_forces_can_balance() -> None:
    """No push at a corner in any direction is held by less; the one found is not held by more."""
    rng = random.Random(8)
    inside = 1.0 / math.cos(math.pi / 24.0)  # of the polygon within its disc
    for contacts in (0, 1, 3):
        spots = tuple(
            Pressed((rng.uniform(0, 300), rng.uniform(0, 200)), rng.uniform(20, 200))
            for _ in range(3)
        )
        rows = BLOCK.rows(PINS[:contacts])
        found = least_push(BLOCK, rows, spots, RECTANGLE)
        there = takes(spots, rows, BLOCK, found.at, found.way)
        assert there <= found.push * 1.0001 <= there * inside * 1.02
        least = min(
            takes(spots, rows, BLOCK, corner, (math.cos(turn), math.sin(turn)))
            for corner in RECTANGLE
            for turn in np.linspace(0.0, 2.0 * math.pi, 13)
        )
        assert found.push <= least * inside * 1.02
