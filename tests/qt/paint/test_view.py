"""Where the table lies on the screen, as plain numbers."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.qt.paint.scale_bar import bar_length, scale_text
from gridjig.qt.paint.view import LEAST, MOST, View, centred, fitted
from gridjig.units import Display

numbers = st.floats(-5000, 5000)
views = st.builds(View, st.floats(0.05, 50), numbers, numbers)


@given(view=views, x=numbers, y=numbers)
def test_screen_and_table_are_each_other_s_inverse(view: View, x: float, y: float) -> None:
    assert view.to_table(view.to_screen((x, y))) == pytest.approx((x, y), abs=1e-6)


@pytest.mark.expectation(1)
@given(view=views, factor=st.floats(0.01, 100), x=numbers, y=numbers)
def test_a_zoom_leaves_the_point_under_it(view: View, factor: float, x: float, y: float) -> None:
    zoomed = view.zoomed(factor, (x, y))
    assert zoomed.to_screen(view.to_table((x, y))) == pytest.approx((x, y), abs=1e-3)
    assert LEAST <= zoomed.scale <= MOST


@given(view=views, dx=numbers, dy=numbers)
def test_panning_there_and_back_is_nothing(view: View, dx: float, dy: float) -> None:
    there = view.panned(dx, dy).panned(-dx, -dy)
    assert (there.left, there.top) == pytest.approx((view.left, view.top), abs=1e-6)
    assert there.scale == view.scale


def test_a_fitted_box_is_whole_and_in_the_middle() -> None:
    view = fitted((100, 200), (300, 300), 800, 600, 50)
    assert view.to_screen((200, 250)) == pytest.approx((400, 300))
    assert view.to_screen((100, 250))[0] == pytest.approx(50)
    assert view.box(800, 600)[0][0] < 100
    # A point has no size, and a window may be smaller than its margins.
    assert fitted((5, 5), (5, 5), 10, 10, 50).scale <= MOST
    assert centred(2.0, (10, 20), 100, 80).to_screen((10, 20)) == (50, 40)


def test_the_scale_bar_is_a_round_length_of_the_unit() -> None:
    inch, mm = Display(), Display(unit="millimetres")
    assert bar_length(mm, 73.0) == 50.0
    assert bar_length(mm, 0.3) == pytest.approx(0.2)
    assert bar_length(inch, 170.0) == 6 * 25.4
    assert bar_length(inch, 0.01) == pytest.approx(25.4 / 16)


@pytest.mark.source("published", "EN ISO 5455:1994", "clauses 2 and 3, the ratio of a scale")
@pytest.mark.expectation(10)
def test_the_scale_is_written_as_on_a_drawing() -> None:
    assert scale_text(4.0, 1.0) == "1:4"
    assert scale_text(4.0, 1.6) == "1:2.5"
    assert scale_text(4.0, 0.2) == "1:20"
    assert scale_text(4.0, 4.0) == "1:1"
    assert scale_text(4.0, 8.0) == "2:1"
