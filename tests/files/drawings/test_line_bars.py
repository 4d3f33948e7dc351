"""Bars drawn as two open parallel lines: which are found, and what becomes of them."""

import math
import random
from itertools import combinations

import pytest
import shapely

from gridjig.files.drawings.curves import DrawnCurve, LineArcPath
from gridjig.files.drawings.drawing import Drawing, Sketch, outlined
from gridjig.files.drawings.line_bars import MOST_LINES, line_bars
from gridjig.files.drawings.member import guess_section
from gridjig.files.drawings.parts import LayerUse, to_parts
from gridjig.files.drawings.report import unused_words, used_words
from gridjig.files.library.sections import sections
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Member, Section
from gridjig.rack import Point
from tests.workshop import EMPTY

TUBE = Section(name="40x40x3", kind="square tube", width=40, height=40, wall=3)
REACH = 0.1
Line = tuple[Point, Point]


def lines(*drawn: Line, unit: str = "mm") -> Drawing:
    curves = tuple(
        DrawnCurve("0", LineArcPath(tuple((x, y, 0.0) for x, y in one), closed=False))
        for one in drawn
    )
    return outlined(Sketch("ladder.dxf", unit, curves))


def ladder() -> list[Line]:
    """Two rails of 1,000 and three rungs of 220 between them, all 40 wide and open at the ends."""
    rails: list[Line] = [((0.0, y), (1000.0, y)) for y in (0.0, 40.0, 260.0, 300.0)]
    rungs: list[Line] = [
        ((x, 40.0), (x, 260.0)) for at in (100.0, 480.0, 860.0) for x in (at, at + 40.0)
    ]
    return [*rails, *rungs]


@pytest.mark.source("method", "the ladder drawn: two bars of 1,000 by 40, three of 220 by 40")
def test_a_ladder_of_open_lines_comes_in_as_members_by_width() -> None:
    drawing = lines(*ladder())
    assert not drawing.closed
    guessed = guess_section(drawing, ["0"], sections())
    assert guessed is not None
    assert (guessed.fits, guessed.section.width) == (5, 40.0)
    brought = to_parts(EMPTY, drawing, [LayerUse("0", section=TUBE)], at=(100.0, 200.0))
    assert (brought.members, brought.plates, brought.between) == (5, 0, 10)
    found = shapely.union_all([shapely.Polygon(part_ring(part)) for part in brought.parts])
    wanted = [shapely.box(100, y, 1100, y + 40) for y in (200, 460)]
    wanted += [shapely.box(x, 240, x + 40, 460) for x in (200, 580, 960)]
    assert found.symmetric_difference(shapely.union_all(wanted)).area < 1e-3
    assert used_words(drawing, brought) == "5 members, 10 open lines as edges"
    assert unused_words(drawing, [LayerUse("0", section=TUBE)], brought) == ()


def test_lines_that_are_no_bar_stay_lines_and_are_said() -> None:
    loose: Line = ((0.0, 900.0), (700.0, 905.0))
    use = LayerUse("0", section=TUBE)
    drawing = lines(*ladder(), loose)
    brought = to_parts(EMPTY, drawing, [use])
    assert brought.members == 5
    assert unused_words(drawing, [use], brought) == ("1 line that is not part of a closed outline",)
    wide = Section(name="50x50x3", kind="square tube", width=50, height=50, wall=3)
    with pytest.raises(ValueError, match="make members of lines as far apart as a section"):
        to_parts(EMPTY, drawing, [LayerUse("0", section=wide)])
    with pytest.raises(ValueError, match="no closed outline and 11 open lines"):
        to_parts(EMPTY, drawing, [LayerUse("0")])  # as plates


@pytest.mark.source(
    "method", "plane geometry: a mitre of 45 degrees runs as far as the bar is wide"
)
@pytest.mark.parametrize("back", [False, True])
def test_the_ends_of_both_lines_give_the_cuts(back: bool) -> None:
    upper: Line = ((240.0, 40.0), (760.0, 40.0))
    drawing = lines(((200.0, 0.0), (800.0, 0.0)), upper[::-1] if back else upper)
    (bar,) = to_parts(EMPTY, drawing, [LayerUse("0", section=TUBE)]).parts
    assert isinstance(bar, Member)
    assert (abs(bar.start.angle), abs(bar.end.angle)) == pytest.approx((45.0, 45.0))
    assert (bar.long_point, bar.short_point) == pytest.approx((600.0, 520.0))


def test_three_lines_round_one_end_are_a_bar_too() -> None:
    path = [(300.0, 0.0), (0.0, 0.0), (0.0, 20.0), (0.0, 40.0), (300.0, 40.0)]
    ((bar,), _) = line_bars([path], REACH)
    assert bar.paths == (0,)
    assert shapely.Polygon(bar.ring).area == pytest.approx(300 * 40)
    assert line_bars([[(60.0, 0.0), (0.0, 0.0), (0.0, 40.0), (60.0, 40.0)]], REACH)[0] == ()
    zigzag = [(300.0, 0.0), (0.0, 0.0), (0.0, 40.0), (-300.0, 40.0)]
    assert line_bars([zigzag], REACH)[0] == ()


@pytest.mark.source("method", "each pair of lines asked by itself, with shapely's distances")
@pytest.mark.parametrize("seed", range(6))
def test_the_pairs_are_those_that_are_nearest_to_each_other(seed: int) -> None:
    rng = random.Random(seed)
    turn = rng.uniform(0.0, 180.0)
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    drawn: list[list[Point]] = []
    for _ in range(40):
        x, y, long = rng.uniform(0, 900), rng.randrange(0, 400, 7), rng.uniform(60, 500)
        ends = [(x * c - y * s, x * s + y * c), ((x + long) * c - y * s, (x + long) * s + y * c)]
        drawn.append(ends[:: rng.choice((1, -1))])

    def span(one: list[Point]) -> tuple[float, float, float]:
        """The stretch of a line along the turned x axis, and its place across it."""
        along = sorted(x * c + y * s for x, y in one)
        return along[0], along[1], one[0][1] * c - one[0][0] * s

    def apart(i: int, j: int) -> float:
        (a, b, y), (d, e, z) = span(drawn[i]), span(drawn[j])
        longer = max(b - a, e - d)
        shared = min(b, e) - max(a, d)
        away = abs(y - z)
        good = shared >= longer / 2.0 and away > 2 * REACH and longer >= 2.0 * away
        return away if good else math.inf

    nearest = {i: min(apart(i, j) for j in range(len(drawn)) if j != i) for i in range(len(drawn))}
    found, left_out = line_bars(drawn, REACH)
    assert found
    assert not left_out
    taken = [k for bar in found for k in bar.paths]
    assert len(taken) == len(set(taken))
    for bar in found:
        i, j = bar.paths
        assert apart(i, j) == pytest.approx(nearest[i], abs=1e-6)
        assert apart(i, j) == pytest.approx(nearest[j], abs=1e-6)
        ring = shapely.Polygon(bar.ring)
        assert ring.is_valid
        assert ring.exterior.is_ccw
    left = [k for k in range(len(drawn)) if k not in taken]
    for i, j in combinations(left, 2):
        assert not (math.isfinite(apart(i, j)) and apart(i, j) < min(
            *(apart(i, k) for k in range(len(drawn)) if k not in (i, j)),
            *(apart(j, k) for k in range(len(drawn)) if k not in (i, j)),
        ) - 1e-6)  # fmt: skip


def test_lines_too_many_to_be_compared_are_counted_and_said() -> None:
    many: list[Line] = [((0.0, 50.0 * k), (900.0, 50.0 * k)) for k in range(MOST_LINES + 1)]
    assert line_bars(many, REACH) == ((), MOST_LINES + 1)
    assert [bar.paths for bar in line_bars(many[:2], REACH)[0]] == [(0, 1)]
    up: list[Line] = [((1000.0, 0.0), (1000.0, 700.0)), ((1040.0, 0.0), (1040.0, 700.0))]
    drawing, use = lines(*many, *up), LayerUse("0", section=TUBE)
    brought = to_parts(EMPTY, drawing, [use])
    assert brought.members == 1
    assert unused_words(drawing, [use], brought) == (
        "1,001 lines that are not part of a closed outline",
        "1,001 lines too many to be compared in pairs",
    )
