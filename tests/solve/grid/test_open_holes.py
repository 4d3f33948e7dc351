"""Holes that can be used, for one pin and for several together."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.model import Hole, HoleMark
from gridjig.solve.grid.open_holes import all_open, open_holes
from gridjig.solve.poses.attainable import unusable
from tests.solve.grid_kit import grid

STEPS = st.lists(st.tuples(st.integers(-6, 6), st.integers(-6, 6)), max_size=3)


def test_a_hole_is_open_where_it_can_be_used() -> None:
    marks = (
        HoleMark(hole=Hole(1, 2), state="blocked"),
        HoleMark(hole=Hole(2, 2), state="damaged"),
        HoleMark(hole=Hole(3, 2), state="reserved"),
    )
    table, taken = grid(marks=marks), {Hole(4, 4), Hole(-1, 99)}
    free = open_holes(table, taken)
    assert free.shape == (table.columns, table.rows)
    for (col, row), is_open in np.ndenumerate(free):
        assert is_open == (not unusable(table, Hole(col, row), taken))


@pytest.mark.source("method", "brute force over every hole and step")
@given(st.integers(1, 5), st.integers(1, 5), STEPS, st.integers(0, 999))
def test_several_pins_find_open_holes_together(
    wide: int, deep: int, steps: list[tuple[int, int]], seed: int
) -> None:
    free = np.random.default_rng(seed).random((wide, deep)) < 0.7
    good = all_open(free, steps)
    assert good.shape == (wide, deep)
    for a in range(wide):
        for b in range(deep):
            there = [(a + i, b + j) for i, j in steps]
            assert good[a, b] == all(
                0 <= x < wide and 0 <= y < deep and free[x, y] for x, y in there
            )
