"""Plan outlines against shapely and against areas known in closed form."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString
from shapely.geometry import Point as Dot

from gridjig.geometry.shapes import bounds, covered, disc, polygon, rectangle, sector, strip

points = st.tuples(st.floats(-500, 500), st.floats(-500, 500))


def test_rectangle_runs_counter_clockwise_from_any_two_corners() -> None:
    ring = ((0.0, 0.0), (4.0, 0.0), (4.0, 3.0), (0.0, 3.0))
    assert rectangle((4, 0), (0, 3)) == rectangle((0, 0), (4, 3)) == ring
    assert polygon(ring).exterior.is_ccw


def test_bounds() -> None:
    assert bounds([(1, 5), (-2, 7), (0, 6)]) == (-2, 5, 1, 7)


@pytest.mark.source("library", "shapely 2.1", "LineString.buffer with flat caps")
@given(points, points, st.floats(1, 80))
def test_strip(a: tuple[float, float], b: tuple[float, float], width: float) -> None:
    assume(math.dist(a, b) >= 1)
    mine = polygon(strip(a, b, width))
    theirs = LineString([a, b]).buffer(width / 2, cap_style="flat")
    assert mine.symmetric_difference(theirs).area < 1e-6 * (1 + theirs.area)
    assert mine.exterior.is_ccw


@pytest.mark.source("method", "geometry: area of a sector, r^2 a / 2, and of a polygon about it")
@given(st.floats(1, 300), st.floats(-360, 360), st.floats(1, 360))
def test_sector_hides_nothing_of_its_arc(radius: float, start: float, span: float) -> None:
    mine = polygon(sector((7, -3), radius, start, start + span))
    area = radius * radius * math.radians(span) / 2
    assert area * (1 - 1e-9) <= mine.area <= area * (1 / math.cos(math.radians(5)) ** 2)
    assert mine.exterior.is_ccw
    assert mine.is_valid
    for k in range(1, 20):
        a = math.radians(start + span * k / 20)
        on = Dot(7 + radius * math.cos(a), -3 + radius * math.sin(a))
        assert mine.distance(on) <= 1e-9 * radius


def test_disc_is_a_polygon_about_the_circle() -> None:
    ring = disc((0, 0), 100)
    assert len(ring) == 36
    assert Dot(0, 0).buffer(100, quad_segs=64).difference(polygon(ring)).area < 1e-9
    assert disc((0, 0), 1) == sector((0, 0), 1, 0, 500)


@pytest.mark.source("method", "arithmetic: the loops of an outline that crosses itself, one by one")
def test_what_an_outline_goes_round() -> None:
    eight = covered(((0, 0), (40, 40), (40, 0), (0, 40)))
    assert eight.area == pytest.approx(2 * 40 * 20 / 2)
    for x in (5, 35):
        assert eight.covers(Dot(x, 20))
    star = [(math.cos(0.8 * math.pi * k), math.sin(0.8 * math.pi * k)) for k in range(5)]
    assert covered(star).covers(Dot(0, 0))  # encircled twice, and still steel
    plain = rectangle((0, 0), (3, 2))
    assert covered(plain).equals(polygon(plain))
    assert covered(((0, 0), (10, 0), (20, 0))).is_empty
