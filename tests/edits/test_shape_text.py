"""The shape of a piece as text: exact both ways, and errors that name their line."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.edits.shape_text import (
    holes_text,
    openings_text,
    parse_holes,
    parse_openings,
    parse_ring,
    ring_text,
)
from gridjig.rack import RoundHole, Shank, StraightSlot
from gridjig.units import Display
from tests.workshop import box

MM = Display(unit="millimetres")
INCHES = Display(unit="inch fractions")
PLACE = st.floats(-900, 900)
HOLES = (RoundHole("h1", (0, 0), 16), StraightSlot("s", (0, 50), (0, 90), 16))


@given(st.lists(st.tuples(PLACE, PLACE), min_size=3, max_size=9, unique=True), st.booleans())
def test_text_that_nobody_changed_gives_the_same_corners(
    corners: list[tuple[float, float]], inches: bool
) -> None:
    display = INCHES if inches else MM
    text = ring_text(tuple(corners), display)
    made = parse_ring(text, tuple(corners), display)
    known = {ring_text((p,), display): p for p in corners}
    assert set(made) == set(known.values())
    assert len(made) == len(corners)


def test_corners_are_typed_one_to_a_line_in_either_direction() -> None:
    ring = parse_ring("0, 0\n\n 100 , 0\n100, 50 mm\n", (), MM)
    assert ring == ((0, 0), (100, 0), (100, 50))
    assert parse_ring("0, 0\n100, 50\n100, 0", (), MM) == ((100, 0), (100, 50), (0, 0))
    assert parse_ring('0, 0\n5-3/8, 0\n5 3/8", 1 + 1/2', (), INCHES)[2] == (136.525, 38.1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0, 0\n100, 0", "at least three corners; this one has 2"),
        ("0, 0\n100\n100, 50", "Line 2, “100”: type x, y, with a point for decimals."),
        ("0, 0\n100, 0\n1,5, 50", "Line 3, “1,5, 50”: type x, y"),
        ("0, 0\n100, 0\nfar, 50", "Line 3, “far, 50”: “far” is not understood"),
        ("", "this one has 0"),
    ],
)
def test_what_is_no_corner_is_said_with_its_line(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=r".") as fault:
        parse_ring(text, (), MM)
    assert says in str(fault.value)


def test_holes_keep_the_ids_that_placed_pieces_are_pinned_by() -> None:
    assert holes_text(HOLES, MM) == "0, 0, 16\n0, 50, 0, 90, 16"
    same = parse_holes(holes_text(HOLES, MM), HOLES, MM)
    assert same == HOLES
    moved = parse_holes("10, 0, 16\n0, 50, 0, 90, 16", HOLES, MM)
    assert moved == (RoundHole("h1", (10, 0), 16), HOLES[1])
    more = parse_holes("0, 0, 16\n0, 50, 0, 90, 16\n40, 0, 16", HOLES, MM)
    assert [h.id for h in more] == ["h1", "s", "hole-1"]
    fewer = parse_holes("0, 50, 0, 90, 16", HOLES, MM)
    assert fewer == HOLES[1:]
    turned = parse_holes("0, 50, 0, 90, 16\n0, 0, 16", HOLES, MM)
    assert turned == HOLES[::-1]


def test_ids_of_features_that_cannot_be_typed_are_not_given_again() -> None:
    before = (Shank("hole-1", (0, 0), 16),)
    assert holes_text(before, MM) == ""
    made = parse_holes("0, 0, 16\n20, 0, 16", before, MM)
    assert [h.id for h in made] == ["hole-2", "hole-3"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0, 0", "Line 1, “0, 0”: type x, y, diameter, or a slot as x, y, x, y, width"),
        ("0, 0, 16\n0, 0, 0", "Line 2, “0, 0, 0”: "),
        ("0, 0, 0, 0, 16", "it needs two different ends"),
    ],
)
def test_what_is_no_hole_is_said_with_its_line(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=r".") as fault:
        parse_holes(text, (), MM)
    assert says in str(fault.value)


@pytest.mark.source("method", "arithmetic: a circle of 40 has an area of 1257")
def test_openings_are_round_or_have_corners() -> None:
    rings = parse_openings("100, 0, 40\n0, 0; 10, 0; 10, 5", (), MM)
    assert len(rings) == 2
    assert all(math.dist(p, (100, 0)) == pytest.approx(20) for p in rings[0])
    assert rings[1] == ((0, 0), (10, 0), (10, 5))
    assert openings_text(rings, MM) == "100, 0, 40\n0, 0; 10, 0; 10, 5"
    assert parse_openings(openings_text(rings, MM), rings, MM) == rings
    assert openings_text((box(0, 0, 10, 5),), MM) == "0, 0; 10, 0; 10, 5; 0, 5"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1, 2; 3, 4", "an opening needs at least three corners"),
        ("1, 2", "type x, y, diameter, or corners as x, y; x, y; x, y"),
        ("1, 2, -3", "a diameter greater than 0"),
    ],
)
def test_what_is_no_opening_is_said_with_its_line(text: str, says: str) -> None:
    with pytest.raises(ValueError, match="Line 1") as fault:
        parse_openings(text, (), MM)
    assert says in str(fault.value)
