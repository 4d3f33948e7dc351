"""What shrinkage closes on, against hand reckoning and a reference linear programme."""

import math

import numpy as np
import pytest
from scipy.optimize import linprog  # type: ignore[import-untyped]

from gridjig.proof.out.gripping import TURN, tightness
from gridjig.proof.statics.rows import BodyFrame, Push

FRAME = BodyFrame((0.0, 0.0), 300.0)


def shrunk(pushes: list[Push], strain: float, clearance: float) -> list[float]:
    """How far each contact opens as everything shrinks evenly towards the middle."""
    return [clearance + -strain * (p[0] * n[0] + p[1] * n[1]) for p, n in pushes]


def peg(x: float, y: float, inside: bool = True) -> Push:
    """A peg at a point that pushes the work away from the middle, or towards it."""
    far = math.hypot(x, y) * (1.0 if inside else -1.0)
    return Push((x, y), (x / far, y / far))


@pytest.mark.source("method", "half the closing of two faces less the clearance of each")
@pytest.mark.parametrize(("clearance", "by"), [(0.3, 0.2), (0.5, 0.0), (0.7, -0.2)])
def test_two_pegs_inside(clearance: float, by: float) -> None:
    pushes = [peg(500, 0), peg(-500, 0)]
    found = tightness(FRAME, pushes, shrunk(pushes, 1e-3, clearance))
    assert found.by == pytest.approx(by, abs=1e-9)
    assert found.shares == pytest.approx([0.5, 0.5])


@pytest.mark.source("method", "outside stops loosen by half of what is between them")
def test_two_stops_outside() -> None:
    pushes = [peg(500, 0, inside=False), peg(-500, 0, inside=False)]
    assert tightness(FRAME, pushes, shrunk(pushes, 1e-3, 0.0)).by == pytest.approx(-0.5)


@pytest.mark.source("method", "three pegs at 120 degrees: radius x strain less the clearance")
def test_three_pegs_inside() -> None:
    pushes = [
        peg(200 * math.cos(math.radians(turn)), 200 * math.sin(math.radians(turn)))
        for turn in (0, 120, 240)
    ]
    found = tightness(FRAME, pushes, shrunk(pushes, 2e-3, 0.1))
    assert found.by == pytest.approx(0.3)
    assert found.shares == pytest.approx([1 / 3] * 3)


def test_three_two_one_never_traps() -> None:
    pushes = [Push((50, 0), (0, 1)), Push((250, 0), (0, 1)), Push((0, 50), (1, 0))]
    for strain in (1e-3, 5e-3):
        assert tightness(FRAME, pushes, shrunk(pushes, strain, 0.0)).by < -1.0
    assert tightness(FRAME, [], []).by == -math.inf


@pytest.mark.source("library", "scipy 1.17 linprog, HiGHS", "the primal of the same question")
def test_random_contacts_against_a_reference_programme() -> None:
    random = np.random.default_rng(11)
    gripped = 0
    for _ in range(60):
        count = int(random.integers(2, 9))
        pushes = []
        for _ in range(count):
            turn = random.uniform(0, math.tau)
            at = random.uniform(-300, 300, 2)
            pushes.append(Push((float(at[0]), float(at[1])), (math.cos(turn), math.sin(turn))))
        shift = random.uniform(-0.5, 0.5, count)
        found = tightness(FRAME, pushes, list(shift))
        rows = FRAME.rows(pushes)
        free = (None, None)
        cap = TURN * FRAME.radius
        # least s with rows.q + shift >= -s
        answer = linprog(
            [0, 0, 0, 1],
            A_ub=-np.hstack((rows, np.ones((count, 1)))),
            b_ub=shift,
            bounds=[free, free, (-cap, cap), free],
        )
        if answer.status == 3:  # unbounded: nothing is opposite anything
            assert found.by == -math.inf
        else:
            assert found.by == pytest.approx(answer.fun, abs=1e-7)
            gripped += found.by > 0
    assert 5 < gripped < 55


def test_a_turn_of_half_a_degree_may_free_it_but_no_more() -> None:
    """A couple: two pegs that a turn would open without end."""
    pushes = [Push((100, 0), (0, 1)), Push((-100, 0), (0, -1))]
    found = tightness(FRAME, pushes, [-0.5, -0.5])
    assert found.by == pytest.approx(0.5 - 100 * TURN)
