"""The table: what it needs, and where its holes are."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.model import Hole, HoleMark, LabelScheme
from tests.workshop import TABLE


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"width": 0.0}, "the width is 0 mm; it must be from 0.001 mm"),
        ({"pitch_x": -50.0}, "the pitch along x is −50 mm"),
        ({"density": math.nan}, "the density is not a finite number"),
        ({"first_x": math.inf}, "left edge to the first holes is not a finite"),
        ({"first_y": math.inf}, "front edge to the first holes is not a finite"),
        ({"first_y": math.nan}, "front edge to the first holes is not a finite"),
        ({"hole_tolerance": math.nan}, "hole position tolerance is not a finite"),
        ({"hole_tolerance": -0.1}, "hole position tolerance is −0.1 mm"),
        ({"hole_diameter": 50.0}, "less than the pitch"),
        ({"hole_tolerance": 25.0}, "less than half the pitch"),
        ({"columns": 1001}, "the columns is 1001; it must be from 1 to 1000"),
        ({"name": ""}, "the name is empty"),
        ({"name": "x" * 121}, "the name has 121 characters"),
        ({"first_x": -1.0}, "left edge to the first holes is −1 mm"),
        ({"columns": 25}, "columns of holes do not fit"),
        ({"first_y": -1.0}, "front edge to the first holes is −1 mm"),
        ({"rows": 21}, "rows of holes do not fit"),
        ({"marks": (HoleMark(Hole(23, 0), "blocked"),)}, r"\(23, 0\) is not on the table"),
        ({"marks": (HoleMark(Hole(1, 1), "blocked"),) * 2}, r"\(1, 1\) is marked twice"),
    ],
)
def test_what_no_table_can_be(change: dict[str, Any], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        structs.replace(TABLE, **change)


@pytest.mark.parametrize("state", ["shallow", "oversize"])
def test_a_mark_that_needs_a_size(state: Any) -> None:
    with pytest.raises(ValueError, match="needs a size"):
        HoleMark(Hole(0, 0), state)
    assert HoleMark(Hole(0, 0), state, 5.0).size == 5.0
    with pytest.raises(ValueError, match="the size is not a finite number"):
        HoleMark(Hole(0, 0), state, math.nan)


def test_holes_may_reach_the_very_edge() -> None:
    """Sums of pitches in inches differ from the table's size in the last digits."""
    pitch = 50.8 / 3
    reach = 0.1 + sum([pitch] * 7)
    even = structs.replace(
        TABLE, columns=8, rows=8, pitch_x=pitch, pitch_y=pitch, first_x=0.1, first_y=0.1
    )
    assert structs.replace(even, width=reach, depth=reach, labels=TABLE.labels).depth == reach
    for change in ({"width": reach - 1e-3}, {"depth": reach - 1e-3}):
        with pytest.raises(ValueError, match="of holes do not fit"):
            structs.replace(even, **change)


def test_a_mark_is_found_by_its_hole() -> None:
    marks = (HoleMark(Hole(1, 2), "blocked"), HoleMark(Hole(3, 4), "reserved"))
    table = structs.replace(TABLE, marks=marks)
    assert table.mark(Hole(3, 4)) is marks[1]
    assert table.mark(Hole(4, 3)) is None


@pytest.mark.source("method", "exact: first hole and pitch are whole numbers")
@given(st.integers(-30, 60), st.integers(-30, 60))
def test_where_a_hole_is_also_beyond_the_edge(col: int, row: int) -> None:
    assert TABLE.at(Hole(col, row)) == (50 + 50 * col, 50 + 50 * row)
    assert TABLE.has(Hole(col, row)) == (col in range(23) and row in range(19))


@pytest.mark.source("method", "brute force over all holes of the table")
@given(st.floats(-500, 2000), st.floats(-500, 2000))
def test_the_nearest_hole(x: float, y: float) -> None:
    every = [Hole(col, row) for col in range(TABLE.columns) for row in range(TABLE.rows)]
    least = min(math.dist(TABLE.at(hole), (x, y)) for hole in every)
    assert math.dist(TABLE.at(TABLE.nearest(x, y)), (x, y)) == pytest.approx(least)


@given(st.builds(LabelScheme))
def test_the_labels_change_no_hole(labels: LabelScheme) -> None:
    other = structs.replace(TABLE, labels=labels)
    assert other.at(Hole(3, 4)) == TABLE.at(Hole(3, 4))
    assert structs.replace(other, labels=TABLE.labels) == TABLE


@pytest.mark.parametrize(
    ("pitch", "inches"),
    [(50.8, True), (63.5, True), (127.0, True), (12.7, True), (50.0, False), (100.0, False)],
)
def test_a_pitch_tells_whether_a_table_was_made_in_inches(pitch: float, inches: bool) -> None:
    plate = structs.replace(TABLE, columns=1, rows=1, hole_diameter=10, pitch_x=pitch)
    assert plate.in_inches is inches


@pytest.mark.source("method", "arithmetic: from the middle hole every other can be reached")
def test_the_doubled_grid_takes_every_step_of_the_largest_table() -> None:
    """The reach of an arm on a table of 1000 columns was once asked of a table that cannot be."""
    most = structs.replace(
        TABLE, width=100_000, depth=100_000, columns=1000, rows=1000, pitch_x=100, pitch_y=100
    )
    for table in (TABLE, most):
        larger = table.doubled
        middle = Hole(table.columns, table.rows)
        for col, row in ((-1, -1), (1, -1), (-1, 1), (1, 1)):
            step = Hole(middle.col + col * table.columns, middle.row + row * table.rows)
            assert larger.has(step)
        assert larger.at(larger.nearest(*larger.at(middle))) == larger.at(middle)
        assert (larger.pitch_x, larger.marks, larger.labels) == (table.pitch_x, (), table.labels)
        assert table.columns in (TABLE.columns, 1000)
