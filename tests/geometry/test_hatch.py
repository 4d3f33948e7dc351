"""Hatch lines against a geometry library."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from gridjig.geometry.hatch import hatch

U_SHAPE = ((0.0, 0.0), (90.0, 0.0), (90.0, 60.0), (70.0, 60.0), (70.0, 20.0), (20.0, 20.0),
           (20.0, 60.0), (0.0, 60.0))  # fmt: skip


@pytest.mark.source("library", "shapely 2.1", "intersection of lines with a polygon")
@given(
    degrees=st.sampled_from([0.0, 30.0, 45.0, 90.0, 135.0]),
    pitch=st.floats(1.5, 20.0),
    dx=st.floats(-200, 200),
    dy=st.floats(-200, 200),
)
def test_the_lines_are_those_inside_the_polygon(
    degrees: float, pitch: float, dx: float, dy: float
) -> None:
    ring = tuple((x + dx, y + dy) for x, y in U_SHAPE)
    area = shapely.Polygon(ring)
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    wanted = 0.0
    for k in range(-400, 401):
        x, y = -s * k * pitch, c * k * pitch
        line = shapely.LineString([(x - 999 * c, y - 999 * s), (x + 999 * c, y + 999 * s)])
        if shapely.intersects(area, line):
            wanted += shapely.intersection(area, line).length
    found = hatch(ring, degrees, pitch)
    # A line along an edge may or may not count: it is at most as long as the polygon.
    slack = 181.0 if degrees in (0.0, 90.0) else 1e-6
    assert sum(math.dist(a, b) for a, b in found) == pytest.approx(wanted, abs=slack)
    for a, b in found:
        assert shapely.distance(area, shapely.Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)) < 1e-6


@pytest.mark.source("practice", "hatch of one part runs through")
def test_lines_are_counted_from_the_origin_of_the_table() -> None:
    found = hatch(U_SHAPE, 45.0, 7.0)
    area = shapely.Polygon(U_SHAPE)
    lines = [
        shapely.LineString([(-500, off - 500), (500, off + 500)])
        for off in (7.0 * math.sqrt(2) * k for k in range(-40, 41))
    ]
    pieces = shapely.get_parts([area.intersection(line) for line in lines if area.crosses(line)])
    assert len(found) == len(pieces) == 20
    for a, b in found:
        for x, y in (a, b):
            level = (y - x) / math.sqrt(2) / 7.0
            assert level == pytest.approx(round(level), abs=1e-9)


def test_a_pitch_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="greater than 0"):
        hatch(U_SHAPE, 45.0, 0.0)


@pytest.mark.source("method", "lengths of level lines in a square less a square")
def test_a_hatch_leaves_openings_out() -> None:
    square = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
    opening = ((2.0, 2.5), (6.0, 2.5), (6.0, 7.5), (2.0, 7.5))
    found = hatch(square, 0.0, 2.0, (opening,))
    by_level: dict[float, float] = {}
    for (x1, y), (x2, _) in found:
        by_level[round(y)] = by_level.get(round(y), 0.0) + abs(x2 - x1)
    assert by_level == pytest.approx({0: 10.0, 2: 10.0, 4: 6.0, 6: 6.0, 8: 10.0})
