"""Marked holes on the plan."""

from itertools import combinations

import pytest

from gridjig.model import Hole, HoleMark
from gridjig.sheets.drawings.hole_marks import draw_hole_mark
from tests.workshop import TABLE


@pytest.mark.expectation(78)
def test_every_hole_state_has_a_shape_of_its_own() -> None:
    states = [
        ("blocked", 0.0),
        ("shallow", 8.0),
        ("oversize", 20.0),
        ("damaged", 0.0),
        ("reserved", 0.0),
    ]
    marked = [HoleMark(Hole(3, 3), state, size) for state, size in states]  # type: ignore[arg-type]
    shapes = [draw_hole_mark(TABLE, mark) for mark in marked]
    for one, two in combinations(shapes, 2):
        assert [(type(s), getattr(s, "fill", "")) for s in one] != [
            (type(s), getattr(s, "fill", "")) for s in two
        ]
