"""Holes of a plate as they are typed and read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.model import CutOut, Display, Drilled, PlateHole, Slotted
from gridjig.sheets.text.hole_text import (
    drilled_words,
    hole_examples,
    hole_hint,
    holes_words,
    read_holes,
)
from gridjig.units import INCH, ParseError, Unit
from tests.workshop import box

MM, INCHES = Display(unit="millimetres"), Display()
CORNERS = box(0, 0, 200, 100)
SOME: tuple[PlateHole, ...] = (
    Drilled((30.0, 30.0), 18.0),
    Drilled((170.0, 30.0), 18.0),
    Drilled((100.0, 50.0), 12.5),
    Slotted((60.0, 20.0), (90.0, 60.0), 14.0),
    CutOut(((10.0, 50.0), (40.0, 50.0), (40.0, 80.0))),
)
WORDS = (
    "18 at 30, 30; 170, 30; 12.5 at 100, 50; slot 14 from 60, 20 to 90, 60;"
    " opening 10, 50; 40, 50; 40, 80"
)


def test_every_kind_as_it_is_typed() -> None:
    assert holes_words(SOME, MM) == WORDS
    assert read_holes(WORDS, "millimetres", CORNERS) == SOME


def test_none_is_no_text() -> None:
    assert holes_words((), MM) == ""
    assert read_holes("  ", "millimetres", CORNERS) == ()


@pytest.mark.parametrize(
    "text", ["Ø18 at 30, 30", "18 at 30,30", " dia 18 AT 30 , 30;", "⌀ 18 at 30, 30"]
)
def test_other_ways_to_write_a_round_hole(text: str) -> None:
    assert read_holes(text, "millimetres", CORNERS) == (Drilled((30.0, 30.0), 18.0),)


def test_inches() -> None:
    (hole,) = read_holes('11/16 at 1-1/2, 1-1/2"', "inch fractions", CORNERS)
    assert isinstance(hole, Drilled)
    assert hole.diameter == pytest.approx(0.6875 * INCH)
    assert hole.at == pytest.approx((1.5 * INCH, 1.5 * INCH))
    assert holes_words((hole,), INCHES) == "11/16 at 1-1/2, 1-1/2"


def test_one_in_each_corner() -> None:
    found = read_holes("18 at corners 30", "millimetres", CORNERS)
    assert found == tuple(
        Drilled(at, 18.0) for at in ((30.0, 30.0), (170.0, 30.0), (170.0, 70.0), (30.0, 70.0))
    )


@pytest.mark.parametrize("unit", ["millimetres", "inch fractions", "inch decimals"])
def test_the_examples_can_be_typed_as_they_stand(unit: Unit) -> None:
    """An example in mm would be a hole as wide as a table in a job in inches."""
    holes, corners, slot, opening = hole_examples(unit)
    cut = read_holes(f"{holes}; {slot}; {opening}", unit, CORNERS)
    assert [type(hole) for hole in cut] == [Drilled, Drilled, Slotted, CutOut]
    assert len(read_holes(corners, unit, CORNERS)) == 4
    widest = max(hole.diameter for hole in cut if isinstance(hole, Drilled))
    assert 15.0 < widest < 20.0
    assert hole_hint(unit) == f"{holes}; or {corners}"
    with pytest.raises(ParseError) as caught:
        read_holes("1", unit, CORNERS)
    assert f"type round holes as {holes}, one in each corner as {corners}" in caught.value.why


@pytest.mark.parametrize(
    ("text", "position", "words"),
    [
        ("30, 30", 0, "is not a hole"),
        ("18 at 30", 0, "two lengths"),
        ("18 at 30, 30; 12 at x, 3", 13, "a length such as"),
        ("0 at 30, 30", 0, "greater than 0"),
        ("-5 at 30, 30", 0, "greater than 0"),
        ("slot 14 from 60, 20 to 60, 20", 0, "two different ends"),
        ("opening 10, 50; 40, 50", 23, "three corners"),
        ("opening 10, 50; 40, 50; 18 at 30, 30", 23, "three corners"),
    ],
)
def test_what_cannot_be_read_says_where(text: str, position: int, words: str) -> None:
    with pytest.raises(ParseError) as caught:
        read_holes(text, "millimetres", CORNERS)
    assert caught.value.at == position
    assert words in caught.value.why


numbers = st.integers(-2000, 2000).map(lambda n: n / 4.0)
points = st.tuples(numbers, numbers)
sizes = st.integers(1, 400).map(lambda n: n / 4.0)
rounds = st.builds(Drilled, points, sizes)
slots = st.builds(
    lambda a, dx, dy, w: Slotted(a, (a[0] + dx, a[1] + dy), w), points, sizes, numbers, sizes
)
openings = st.builds(lambda *corners: CutOut(corners), points, points, points)


@given(st.lists(st.one_of(rounds, slots, openings), max_size=6))
def test_what_is_shown_can_be_typed_again(holes: list[PlateHole]) -> None:
    assert read_holes(holes_words(holes, MM), "millimetres", CORNERS) == tuple(holes)


def test_lists_name_the_size_once() -> None:
    assert drilled_words(SOME, MM) == (
        "2 × Ø18 mm at 30 mm, 30 mm; 170 mm, 30 mm · Ø12.5 mm at 100 mm, 50 mm"
        " · slot 14 mm x 64 mm at 75 mm, 40 mm · opening 30 mm x 30 mm at 25 mm, 65 mm"
    )
    assert drilled_words((), MM) == ""
