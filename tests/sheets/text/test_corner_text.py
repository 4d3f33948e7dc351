"""Corners of an outline as text, and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.model import Display
from gridjig.sheets.text.corner_text import boxed_size, corners_words, read_corners, sized
from gridjig.units import ParseError

INCH, MM = Display(), Display(unit="millimetres")
SIXTEENTHS = st.integers(-1600, 1600).map(lambda n: n * 25.4 / 16)


@given(st.lists(st.tuples(SIXTEENTHS, SIXTEENTHS), min_size=3, max_size=8))
def test_corners_on_the_grid_come_back_the_same(corners: list[tuple[float, float]]) -> None:
    for display in (INCH, MM):
        back = read_corners(corners_words(tuple(corners), display), display.unit)
        for got, wanted in zip(back, corners, strict=True):
            assert got == pytest.approx(wanted, abs=1e-4)


def test_what_the_display_would_round_is_given_exactly() -> None:
    assert corners_words(((1.0, 25.4),), INCH) == "1 mm, 1"
    assert corners_words(((1.05, 2.0),), MM) == "1.05 mm, 2"
    assert corners_words(((2.236 * 25.4, 10 / 3),), INCH) == "2.236, 0.131234"


def test_trailing_marks_do_no_harm() -> None:
    assert read_corners("0, 0; 2, 0; 2, 1;", "millimetres") == ((0, 0), (2, 0), (2, 1))


@pytest.mark.parametrize(
    ("text", "at", "why"),
    [
        ("0, 0; 1; 2, 2", 5, "“1” is not a corner"),
        ("0, 0; 1, q; 2, 2", 5, ""),
        ("0, 0; 1, 1", None, "at least three corners"),
        ("", None, "at least three corners"),
    ],
)
def test_a_wrong_corner_says_where_and_what_is_accepted(
    text: str, at: int | None, why: str
) -> None:
    with pytest.raises(ParseError) as caught:
        read_corners(text, "millimetres")
    assert caught.value.at == at
    assert why in str(caught.value)


def test_sizes_stretch_from_the_low_corner() -> None:
    corners = ((10.0, 10.0), (30.0, 10.0), (20.0, 50.0))
    assert boxed_size(corners) == (20.0, 40.0)
    assert sized(corners, 40.0, None) == ((10.0, 10.0), (50.0, 10.0), (30.0, 50.0))
    assert sized(corners, None, 20.0) == ((10.0, 10.0), (30.0, 10.0), (20.0, 30.0))
    with pytest.raises(ValueError, match="greater than 0"):
        sized(corners, 0.0, None)
