"""Linear programmes of contacts that are all but the same, against another solver."""

from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.optimize import linprog  # type: ignore[import-untyped]

from gridjig.proof.statics.exact_simplex import maximise_exactly
from gridjig.proof.statics.programme import NoSolution, Optimum, Solved, Unbounded
from gridjig.proof.statics.rows import Floats
from gridjig.proof.statics.simplex import maximise

SEEDS = st.integers(0, 10**6)
ALIKE = 5e-6
"""Columns of up to four rows are the same to 1e-6 in each, and what is asked for to 1e-6."""


class Programme(NamedTuple):
    c: Floats
    a: Floats
    b: Floats


def nearly_alike(seed: int, noise: float) -> tuple[Programme, Programme]:
    """Contacts on the four sides of a block, most of them several times; and with noise.

    How far they reach in, all to the tenth of a unit or all 0.  One in three asks for the squeeze
    (its shares add up to 1), the others for the forces against one or two pushes.
    """
    rng = np.random.default_rng(seed)
    sides, count = int(rng.integers(4, 8)), int(rng.integers(8, 30))
    way = np.arange(sides) % 4 * np.pi / 2.0
    at = rng.uniform(-2.0, 2.0, sides)
    if seed % 5 == 0:
        at = np.round(at)
    pick = np.concatenate((np.arange(sides), rng.integers(0, sides, count - sides)))
    plain = np.round(np.array((np.cos(way), np.sin(way), at)), 9)[:, pick]
    off = np.round(rng.uniform(-1.0, 1.0, sides), 1)[pick] * (seed % 7 > 0)
    found = []
    for rows in (plain, plain + noise * rng.standard_normal(plain.shape)):
        if seed % 3 == 0:
            rows = np.vstack((rows, np.ones(count)))
            found.append(Programme(off, rows, np.array((0.0, 0.0, 0.0, 1.0))))
        else:
            found.append(Programme(off, rows, rows[:, : seed % 3].sum(axis=1)))
    return found[0], found[1]


def by_another(of: Programme) -> tuple[type, float]:
    """The kind of answer and the value that another solver finds."""
    found = linprog(-of.c, A_eq=of.a, b_eq=of.b, method="highs")
    kind = {0: Optimum, 2: NoSolution, 3: Unbounded}[found.status]
    return kind, -found.fun if kind is Optimum else 0.0


def value_of(found: Solved) -> float:
    return found.value if isinstance(found, Optimum) else 0.0


def size(of: Floats) -> float:
    return max(1.0, float(np.abs(of).max(initial=0.0)))


def assert_holds(of: Programme, found: Solved) -> None:
    """The answer proves itself, to within the tolerance of what counts as the same."""
    c, a, b = of
    if isinstance(found, Optimum):
        assert found.x.min() >= 0.0
        assert np.abs(a @ found.x - b).max() < ALIKE * max(1.0, found.x.sum())
        assert (c - found.dual @ a).max() < ALIKE * size(found.dual)
    elif isinstance(found, NoSolution):
        assert (found.proof @ a).min() > -ALIKE * size(found.proof)
        assert found.proof @ b < 0.0
    else:
        assert found.ray.min() > -1e-8
        assert np.abs(a @ found.ray).max() < 1e-4 * size(found.ray)
        assert c @ found.ray > 0.0


@pytest.mark.source("library", "scipy 1.17", "linprog: the same contacts without the noise")
@given(SEEDS, st.floats(-12.0, -9.5))  # far below the 1e-8 that counts as no gain
@example(150, -9.0)  # falls short of what is asked for by little more than nothing
@example(3040, -10.0)  # the noise alone would leave it free, by forces of 1e10
@example(2735, -10.0)
@example(5917, -10.0)
@example(4400, -9.5)  # the noise alone would make it better, by forces of 1e9
def test_noise_in_the_rows_changes_no_answer(seed: int, power: float) -> None:
    plain, noisy = nearly_alike(seed, 10.0**power)
    kind, value = by_another(plain)
    found = maximise(*noisy)
    assert type(found) is kind
    # Contacts all but in one point take large forces, which the noise changes.
    assert value_of(found) == pytest.approx(value, abs=2e-5 * max(1.0, value * value))
    assert_holds(noisy, found)


@pytest.mark.source("method", "duality: each answer comes with what proves it")
@given(SEEDS, st.floats(-9.0, -5.0))
@example(2256, -6.5)
@example(2670, -5.5)
def test_an_answer_proves_itself_where_it_is_hard_to_tell(seed: int, power: float) -> None:
    _, noisy = nearly_alike(seed, 10.0**power)
    assert_holds(noisy, maximise(*noisy))


@pytest.mark.source("library", "scipy 1.17", "linprog: programmes that are well apart")
@given(SEEDS)
def test_exact_fractions_find_the_same_where_nothing_is_alike(seed: int) -> None:
    plain, _ = nearly_alike(seed, 0.0)
    kind, value = by_another(plain)
    sign = np.where(plain.b < 0.0, -1.0, 1.0)
    found = maximise_exactly(plain.c, plain.a * sign[:, None], np.abs(plain.b))
    assert type(found) is kind
    assert value_of(found) == pytest.approx(value, abs=1e-7 * max(1.0, value * value))


@pytest.mark.source("method", "by hand: two faces 0.2 mm too close give way by 0.1 mm each")
@pytest.mark.parametrize("out", [0.0, 1e-11, 1.6e-9, 1e-8, 1e-7])
def test_faces_out_of_parallel_by_next_to_nothing_are_parallel(out: float) -> None:
    rows = np.array(
        [
            (1.0, out, 0.5),
            (-1.0, out, -0.5),
            (1.0, 0.0, 0.5 + out),
            (-1.0, 0.0, -0.5),
            (0.0, 1.0, 0.3),
            (out, 1.0, 0.3),
        ]
    )
    off = np.array((0.1, 0.1, 0.1, 0.1, 0.0, 0.0))
    found = maximise(off, np.vstack((rows.T, np.ones(6))), np.array((0.0, 0.0, 0.0, 1.0)))
    assert isinstance(found, Optimum)
    assert found.value == pytest.approx(0.1, abs=1e-6)
