"""All directions of a grid: their number, order and gaps, and the look-up windows."""

import math
from fractions import Fraction
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.solve.grid.directions import (
    Directions,
    FloatArray,
    Grid,
    all_steps,
    angle_of,
    directions,
    off,
    strip,
    window,
)

FAREY = "number theory: Farey sequences by their definition"
BRUTE = "brute force over all hole pairs, exact rationals"


def farey(order: int) -> list[Fraction]:
    """The Farey sequence of an order, 0 to 1, by its definition."""
    return sorted({Fraction(p, q) for q in range(1, order + 1) for p in range(q + 1)})


def gaps(every: Directions) -> FloatArray:
    """Degrees from each direction to the next, the last one round to the first."""
    return np.diff(every.angle, append=every.angle[0] + 180.0)


@pytest.mark.source("method", FAREY)
@pytest.mark.parametrize("size", [2, 3, 5, 12, 24, 40])
def test_a_square_grid_has_four_directions_for_each_farey_fraction_but_one(size: int) -> None:
    assert len(directions(Grid(size, size, 1, 1))) == 4 * (len(farey(size - 1)) - 1)


@pytest.mark.source(
    "method", "computed apart from the program, by brute force over all offset vectors"
)
@pytest.mark.parametrize(
    ("columns", "rows", "count", "half_gap", "mean"),
    [
        (12, 12, 168, 2.597214, 0.426594),
        (24, 12, 340, 2.597214, 0.294775),
        (24, 24, 688, 1.244776, 0.121177),
        (48, 24, 1384, 1.244776, 0.083668),
        (100, 100, 12016, 0.289363, 0.008942),
    ],
)
def test_number_of_directions_and_their_gaps(
    columns: int, rows: int, count: int, half_gap: float, mean: float
) -> None:
    every = directions(Grid(columns, rows, 50, 50))
    assert len(every) == count
    between = gaps(every)
    assert between.max() / 2 == pytest.approx(half_gap, abs=5e-7)
    # Within a gap the distance to the nearer of its two directions averages a quarter of it.
    assert (between**2).sum() / (4 * 180) == pytest.approx(mean, abs=5e-7)


@pytest.mark.source("method", FAREY)
@pytest.mark.parametrize(
    ("steps", "count", "gap"), [(5, 11, 11.31), (10, 33, 5.71), (23, 173, 2.49)]
)
def test_directions_from_0_to_45(steps: int, count: int, gap: float) -> None:
    every = directions(Grid(steps + 1, steps + 1, 2, 2))
    first = every.angle[every.angle <= 45.0 + 1e-9]
    assert first.size == count == len(farey(steps))
    assert float(np.diff(first).max()) == pytest.approx(gap, abs=0.005)


@pytest.mark.source("method", FAREY)
@pytest.mark.parametrize(("size", "count"), [(3, 8), (8, 72), (24, 688), (60, 4344)])
def test_neighbours_of_a_square_grid_have_the_cross_product_1(size: int, count: int) -> None:
    """As many directions as 4 (F - 1), F the length of the Farey sequence of order size - 1."""
    every = directions(Grid(size, size, 50, 50))
    steps = list(zip(every.across.tolist(), every.up.tolist(), strict=True))
    assert len(steps) == count
    for (a, b), (c, d) in pairwise([*steps, (-steps[0][0], -steps[0][1])]):
        assert a * d - b * c == 1
        gap = math.degrees(math.atan2(1, a * c + b * d))
        at = steps.index((a, b))
        assert gaps(every)[at] == pytest.approx(gap, abs=1e-9)


@pytest.mark.source("method", BRUTE)
@given(
    st.integers(1, 14), st.integers(1, 14), st.sampled_from([50.0, 40.0]), st.sampled_from([50.0])
)
def test_order_and_completeness_by_exact_rationals(
    columns: int, rows: int, pitch_x: float, pitch_y: float
) -> None:
    every = directions(Grid(columns, rows, pitch_x, pitch_y))

    def turn(m: int, n: int) -> tuple[int, Fraction]:
        # Cotangents fall from 0 to 180 degrees; the direction along x comes first of all.
        return (1, -Fraction(m * int(pitch_x), n * int(pitch_y))) if n else (0, Fraction(0))

    wanted = {
        turn(m, n) for m, n in product(range(1 - columns, columns), range(rows)) if n > 0 or m > 0
    }
    got = [turn(int(m), int(n)) for m, n in zip(every.across, every.up, strict=True)]
    assert got == sorted(wanted)
    for m, n, most in zip(every.across, every.up, every.most, strict=True):
        assert abs(m) * most < columns
        assert n * most < rows
        assert abs(m) * (most + 1) >= columns or n * (most + 1) >= rows


def test_a_single_hole_has_no_direction() -> None:
    every = directions(Grid(1, 1, 50, 50))
    assert len(every) == 0
    assert window(every.angle, 30.0, 3).size == 0


@pytest.mark.source("method", BRUTE)
@given(
    st.integers(1, 12),
    st.integers(1, 12),
    st.sampled_from([50.0, 40.0]),
    st.one_of(st.sampled_from([0.0, 45.0, 90.0, 135.0]), st.floats(0, 179.99)),
    st.floats(0, 900),
)
def test_the_strip_holds_all_steps_near_the_line(
    columns: int, rows: int, pitch_x: float, wanted: float, half_width: float
) -> None:
    grid = Grid(columns, rows, pitch_x, 50.0)
    m, n = strip(grid, wanted, half_width)
    got = {(int(a), int(b)) for a, b in zip(m, n, strict=True)}
    assert len(got) == m.size
    t = math.radians(wanted)
    for a, b in product(range(1 - columns, columns), range(1 - rows, rows)):
        x, y = a * pitch_x, b * 50.0
        aside = abs(y * math.cos(t) - x * math.sin(t))
        along = x * math.cos(t) + y * math.sin(t)
        if abs(aside - half_width) < 1e-6 or abs(along) < 1e-6:
            continue  # on the very edge either is right
        assert ((a, b) in got) == (aside < half_width and along > 0)


@given(st.integers(2, 20), st.integers(2, 20), st.floats(0, 180), st.integers(1, 30))
@pytest.mark.source("method", "brute force over all directions")
def test_the_window_holds_the_nearest(columns: int, rows: int, wanted: float, count: int) -> None:
    every = directions(Grid(columns, rows, 50, 30))
    near = window(every.angle, wanted, count)
    assert near.size == min(count, len(every))
    size = np.abs(off(every.angle, wanted))
    assert np.abs(off(every.angle[near], wanted)) == pytest.approx(np.sort(size)[: near.size])


def test_angles_of_the_axes_and_the_diagonal_are_exact() -> None:
    grid = Grid(9, 9, 50.8, 50.8)
    assert angle_of([1, 0, 7, -3], [0, 4, 7, 3], grid).tolist() == [0.0, 90.0, 45.0, 135.0]


@pytest.mark.source("method", "lattice points in a square, counted")
def test_all_steps_are_half_of_the_differences() -> None:
    m, n = all_steps(Grid(48, 24, 50, 50))
    assert m.size == ((2 * 48 - 1) * (2 * 24 - 1) - 1) // 2
    assert len(set(zip(m.tolist(), n.tolist(), strict=True))) == m.size


def test_the_farthest_two_holes() -> None:
    assert Grid(24, 13, 50.0, 40.0).diagonal == pytest.approx(math.hypot(23 * 50.0, 12 * 40.0))
    assert (Grid(24, 13, 50.0, 40.0).pitch, Grid(1, 1, 9.0, 9.0).diagonal) == (40.0, 0.0)
