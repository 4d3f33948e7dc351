"""Curves of many points: flattened at once, and left alone where they lie too far away."""

import math
import time
from itertools import pairwise

import pytest
from msgspec import Struct

from gridjig.files.drawings import border, curves
from gridjig.files.drawings.curves import Affine, Beziers, DrawnCurve, LineArcPath, Unusable
from gridjig.rack import Point

CUBIC = ((0.0, 0.0), (10.0, 40.0), (30.0, -20.0), (50.0, 0.0))
QUINTIC = (*CUBIC, (60.0, 10.0), (55.0, 30.0))


@pytest.mark.source("method", "de Casteljau's algorithm, point by point")
@pytest.mark.parametrize("poles", [CUBIC, QUINTIC, CUBIC[:3], CUBIC[:2]])
def test_points_made_at_once_are_those_made_one_by_one(poles: tuple[Point, ...]) -> None:
    parts = 1000
    together = curves._beziers(poles, parts)
    apart = [curves._bezier(poles, k / parts) for k in range(1, parts)]
    assert len(together) == parts - 1
    for a, b in zip(together, apart, strict=True):
        assert a == pytest.approx(b, abs=1e-9)


@pytest.mark.source("method", "the chords of a curve add up to its length, however many they are")
def test_a_curve_of_many_points_runs_on_from_end_to_end() -> None:
    fine = Beziers((CUBIC, tuple((x + 50.0, -y) for x, y in CUBIC)))
    made = fine.points(1e-6)
    assert len(made) > 2 * 1000
    assert made[0] == (0.0, 0.0)
    assert made[-1] == (100.0, 0.0)
    steps = [math.dist(a, b) for a, b in pairwise(made)]
    assert max(steps) < 0.1
    coarse = fine.points(1e-3)
    assert len(coarse) < len(made) / 10
    assert sum(steps) == pytest.approx(math.fsum(map(math.dist, coarse, coarse[1:])), rel=1e-4)


def test_many_points_are_made_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file of 500 kB once took 20 s: each of a million points was made by itself."""
    monkeypatch.delattr(curves, "_bezier")
    made = Beziers((CUBIC,)).points(1e-6)
    assert len(made) > 5000
    assert made[-1] == (50.0, 0.0)


class Counted(Struct, frozen=True):
    """A curve of many points, of which each that is taken out is counted."""

    taken: list[int]
    closed: bool = False
    given: int = 2

    def points(self, tolerance: float) -> list[Point]:
        del tolerance
        return Noted(self.taken, [(float(k), 0.0) for k in range(50_000)])


class Noted(list[Point]):
    def __init__(self, taken: list[int], points: list[Point]) -> None:
        super().__init__(points)
        self._taken = taken

    def __getitem__(self, at: int) -> Point:  # type: ignore[override]
        self._taken.append(at)
        return super().__getitem__(at)


@pytest.mark.parametrize("where", [Affine(e=1e13), Affine(f=-3e12), Affine(a=1e9)])
def test_a_curve_too_far_away_is_given_up_before_all_of_it_is_mapped(
    where: Affine, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A curve of 100,000 points placed 10,000 times where nothing can be drawn took minutes."""
    taken: list[int] = []

    def mapped_whole(*_: object) -> None:
        raise AssertionError("all of the points were mapped")

    curve = DrawnCurve("0", Counted(taken), where)
    monkeypatch.setattr("gridjig.files.drawings.curves.np.array", mapped_whole)
    with pytest.raises(Unusable):
        curve.points(0.01)
    assert 1 <= len(taken) <= 3


def test_a_curve_that_is_not_too_far_away_is_mapped() -> None:
    made = DrawnCurve("0", Counted([]), Affine(a=2.0, e=5e11)).points(0.01)
    assert len(made) == 50_000
    assert made[7] == (5e11 + 14.0, 0.0)


@pytest.mark.untraced
def test_two_rings_of_many_points_across_each_other_are_compared_quickly() -> None:
    """A drawing of 15 kB once took 19 s for that: each point with each of the other ring."""

    def ring(radius: float, x: float, count: int = 120_000) -> tuple[Point, ...]:
        turns = (math.tau * k / count for k in range(count))
        return tuple((x + radius * math.cos(turn), radius * math.sin(turn)) for turn in turns)

    rings = [ring(1000.0, 0.0), ring(900.0, 200.0)]
    begun = time.process_time()
    assert border.find_border(["border", "0"], rings, 0.01, 0) == frozenset()
    assert time.process_time() - begun < 3.0


def test_one_curve_of_many_pieces_has_the_bound_of_one_curve() -> None:
    # Each piece alone stays below the bound: sqrt(2 * 1 * 20 / (8 * 1e-9)) is about 70,700 points.
    piece = ((0.0, 0.0), (10.0, 10.0), (20.0, 0.0))
    assert len(Beziers((piece,)).points(1e-9)) > 60_000
    with pytest.raises(Unusable):
        Beziers((piece,) * 3).points(1e-9)
    bulged = tuple((float(x), 0.0, 1.0) for x in range(40))
    assert len(LineArcPath(bulged[:2]).points(1e-9)) > 10_000
    with pytest.raises(Unusable):
        LineArcPath(bulged).points(1e-9)
