"""The reverse: the angle of two holes and pins, and the table of attainable angles."""

import math
from itertools import combinations_with_replacement, pairwise, product

import pytest

from gridjig.model import Hole
from gridjig.solve.angles.chart import angle_chart, two_hole_lines
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.pins import crossing, same_side
from tests.anglekit import apart, grid_table, hole_pairs, worded


@pytest.mark.source("method", "formulas asin((r1 - r2)/d) and asin((r1 + r2)/d), worked apart")
@pytest.mark.parametrize(
    ("distance", "same", "cross"), [(100.0, 1.719131, 7.469592), (254.0, 0.676738, 2.933743)]
)
def test_tangents_of_two_pins(distance: float, same: float, cross: float) -> None:
    assert same_side(8, 5, distance) == pytest.approx(same, abs=5e-7)
    assert crossing(8, 5, distance) == pytest.approx(cross, abs=5e-7)
    table = grid_table(4, 4, distance)
    lines = two_hole_lines(table, Hole(0, 0), Hole(1, 0), 16.0, 10.0)
    assert lines.angle_deg == 0.0
    # Both on the right: towards the smaller one, which is the second, so the line falls.
    assert lines.pins_right == pytest.approx(180.0 - same, abs=5e-7)
    assert lines.pins_left == pytest.approx(same, abs=5e-7)
    assert lines.between == pytest.approx((cross, 180.0 - cross), abs=5e-7)


@pytest.mark.source("method", "plane geometry: distances of the pins' centres from the line")
def test_lines_through_two_holes_touch_the_pins() -> None:
    table = grid_table(9, 9, pitch_y=40.0)
    first, second = Hole(7, 1), Hole(2, 5)
    lines = two_hole_lines(table, first, second, 30.0, 12.0)
    assert lines.steps == (-5, 4)
    assert lines.base_mm == pytest.approx(math.hypot(250, 160))
    v = (-250.0, 160.0)
    cases = ((lines.pins_right, 3.0), (lines.pins_left, 3.0))
    for direction, _ in cases:
        t = math.radians(direction)
        assert abs(v[1] * math.cos(t) - v[0] * math.sin(t)) == pytest.approx(15.0 - 6.0)
    assert lines.between is not None
    for direction in lines.between:
        t = math.radians(direction)
        assert abs(v[1] * math.cos(t) - v[0] * math.sin(t)) == pytest.approx(15.0 + 6.0)


def reached(radii: tuple[float, ...], most: float) -> list[float]:
    """All directions on 24 by 24 holes at 50 mm, of two pins at most so far apart, ascending."""
    table = grid_table(24, 24)
    found = set()
    for m, n in product(range(-23, 24), range(24)):
        if (n == 0 and m <= 0) or 50.0 * math.hypot(m, n) > most:
            continue
        first = Hole(max(0, -m), 0)
        for one, other in combinations_with_replacement(radii, 2):
            lines = two_hole_lines(table, first, Hole(first.col + m, n), 2.0 * one, 2.0 * other)
            found |= {round(d, 7) % 180.0 for d in (lines.pins_right, lines.pins_left)}
    return sorted(found)


@pytest.mark.untraced
@pytest.mark.source("method", "computed apart from the program, by brute force over all pairs")
@pytest.mark.parametrize(
    ("radii", "most", "half_gap", "mean"),
    [
        ((8.0,), math.inf, 1.244776, 0.121177),
        ((8.0, 10.0), math.inf, 0.573225, 0.031858),
        ((8.0, 10.0, 12.5), math.inf, 0.273216, 0.012984),
        ((8.0, 8.5, 9.0, 10.0), math.inf, 0.286656, 0.014777),  # shims of 0.5, 1 and 2 mm
        ((8.0,), 300.0, 5.654966, 1.620625),
        ((8.0, 10.0), 300.0, 4.284010, 0.901723),
        ((8.0, 10.0, 12.5), 300.0, 2.567488, 0.368163),
        ((8.0, 8.5, 9.0, 10.0), 300.0, 4.284010, 0.874155),
    ],
)
def test_pins_of_more_sizes_come_nearer_to_any_angle(
    radii: tuple[float, ...], most: float, half_gap: float, mean: float
) -> None:
    every = reached(radii, most)
    gaps = [then - one for one, then in pairwise([*every, every[0] + 180.0])]
    assert len(gaps) >= 36
    assert max(gaps) / 2.0 == pytest.approx(half_gap, abs=1e-6)
    assert sum(gap**2 for gap in gaps) / (4.0 * 180.0) == pytest.approx(mean, abs=1e-6)


@pytest.mark.expectation(85, 86)
@pytest.mark.parametrize(
    ("first", "second", "sizes", "field"),
    [
        (Hole(0, 0), Hole(0, 0), (0.0, 0.0), "holes"),
        (Hole(0, 0), Hole(9, 0), (0.0, 0.0), "holes"),
        (Hole(0, 0), Hole(1, 0), (60.0, 60.0), "diameters"),
        (Hole(0, 0), Hole(1, 0), (-1.0, 0.0), "diameters"),
    ],
)
def test_pairs_that_make_no_line(
    first: Hole, second: Hole, sizes: tuple[float, float], field: str
) -> None:
    with pytest.raises(AngleFault) as fault:
        two_hole_lines(grid_table(4, 4), first, second, *sizes)
    assert fault.value.field == field
    assert worded(fault.value).endswith(".")


@pytest.mark.source("method", "brute force over all hole pairs")
def test_the_chart_has_the_best_pair_for_every_half_degree() -> None:
    table = grid_table(9, 7, pitch_y=40.0, blocked=[(3, 3), (0, 0)])
    chart = angle_chart(table, 60.0, 320.0)
    assert len(chart.rows) == 181
    pairs = list(hole_pairs(table, 60.0, 320.0))
    for row in chart.rows:
        best = min((round(apart(d, row.wanted_deg), 9), -base) for _, _, base, d in pairs)
        assert abs(row.error_arcmin) / 60 == pytest.approx(best[0], abs=2e-9)
        assert row.base_mm == pytest.approx(-best[1])
        m, n = row.steps
        assert math.gcd(*row.shortest) == 1
        assert m * row.shortest[1] == n * row.shortest[0]
        assert row.mm_per_m == pytest.approx(1000 * math.tan(math.radians(row.error_arcmin / 60)))
    assert abs(chart.worst.error_arcmin) == max(abs(r.error_arcmin) for r in chart.rows)
    lone = angle_chart(grid_table(4, 2), step=5.0)  # few directions: too little and too much
    assert abs(lone.worst.error_arcmin) == max(abs(r.error_arcmin) for r in lone.rows)
    assert min(r.error_arcmin for r in lone.rows) < 0 < max(r.error_arcmin for r in lone.rows)
    exact = [r for r in angle_chart(grid_table(9, 9)).rows if r.error_arcmin == 0.0]
    assert [r.wanted_deg for r in exact] == [0.0, 45.0, 90.0]
    assert exact[1].steps == (8, 8)


def test_charts_that_cannot_be_made() -> None:
    with pytest.raises(AngleFault) as fault:
        angle_chart(grid_table(4, 4), 60.0, 65.0)
    assert fault.value.field == "base_to"
    with pytest.raises(AngleFault) as fault:
        angle_chart(grid_table(4, 4), step=0.0)
    assert fault.value.field == "step"
    with pytest.raises(AngleFault) as fault:
        angle_chart(grid_table(1, 1))
    assert fault.value.field == "only_free"
    assert len(angle_chart(grid_table(4, 4), step=15.0).rows) == 7


@pytest.mark.source(
    "method", "symmetry of a square grid; of two as near, the longer base by Pythagoras"
)
def test_of_two_pairs_as_near_the_chart_takes_the_longer_base() -> None:
    """On 9 x 9 holes 22.5 degrees is midway between 2 in 5 and 3 in 7."""
    (row,) = [r for r in angle_chart(grid_table(9, 9)).rows if r.wanted_deg == 22.5]
    assert row.steps == (7, 3)
    (steep,) = [r for r in angle_chart(grid_table(9, 9)).rows if r.wanted_deg == 67.5]
    assert steep.steps == (3, 7)
    assert row.base_mm == steep.base_mm == pytest.approx(50.0 * math.hypot(7, 3))


@pytest.mark.source("method", "plane geometry: distances of the pins' centres from the line")
def test_every_line_is_a_direction_from_0_to_180() -> None:
    table = grid_table(5, 5, pitch_y=40.0)
    others = [Hole(c, r) for c in range(5) for r in range(5) if (c, r) != (2, 2)]
    assert len(others) == 24
    for second in others:
        lines = two_hole_lines(table, Hole(2, 2), second, 30.0, 6.0)
        x, y = (second.col - 2) * 50.0, (second.row - 2) * 40.0
        assert lines.between is not None
        told = (
            (lines.angle_deg, 0.0),
            (lines.pins_right, 12.0),
            (lines.pins_left, 12.0),
            *((line, 18.0) for line in lines.between),
        )
        for direction, apart_by in told:
            assert 0.0 <= direction < 180.0
            t = math.radians(direction)
            assert abs(y * math.cos(t) - x * math.sin(t)) == pytest.approx(apart_by)
