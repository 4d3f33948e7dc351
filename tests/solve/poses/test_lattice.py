"""How many places a grid offers: counted by number theory, not by geometry."""

import math
from fractions import Fraction

import numpy as np
import pytest

from gridjig.model import Hole
from gridjig.rack import Piece
from gridjig.solve.mounting.faults import HolesApart
from gridjig.solve.poses.pose_table import PoseTable, poses
from tests.solve.grid_kit import PIN, grid, hole, mounted, piece, slot

JACOBI = "number theory: Jacobi's two-square theorem, r2(n) = 4 (d1(n) - d3(n))"
WIDE = {"columns": 101, "rows": 101}


def squares(n: int) -> int:
    """The number of ways to write n as a sum of two squares of integers, by its divisors."""
    if n == 0:
        return 1
    divisors = [d for d in range(1, n + 1) if n % d == 0]
    return 4 * sum((d % 4 == 1) - (d % 4 == 3) for d in divisors)


def table_of(thing: Piece, pitch: float = 50.0, size: int = 101) -> PoseTable:
    (found,) = poses(grid(pitch, size, size), thing, PIN, flipped=False)
    return found


@pytest.mark.source("method", JACOBI)
@pytest.mark.parametrize("k", [1, 2, 3, 5, 7, 10, 13, 15, 17, 20, 25, 26, 29, 50])
@pytest.mark.parametrize("pitch", [50.0, 50.8])
def test_two_holes_k_pitches_apart(k: int, pitch: float) -> None:
    found = table_of(piece(hole("a", 0, 0), hole("b", k * pitch, 0)), pitch)
    assert len(found) == squares(k * k)
    assert all(x * x + y * y == k * k for x, y in zip(found.dx, found.dy, strict=True))


@pytest.mark.source("method", "exact rationals: Pythagorean triples (a, b, k), turn = atan2(b, a)")
@pytest.mark.parametrize(
    "triple", [(4, 3, 5), (12, 5, 13), (15, 8, 17), (24, 7, 25), (20, 15, 25), (21, 20, 29)]
)
def test_right_angle_triples_fit_exactly(triple: tuple[int, int, int]) -> None:
    a, b, k = triple
    table = grid(50.8, 101, 101)
    thing = piece(hole("a", 0, 0), hole("b", k * 50.8, 0))
    (way,) = mounted(thing, table, a=(50, 50), b=(50 + a, 50 + b)).ways
    assert way.kind == "pinned"
    tangent = Fraction(b, a)
    assert math.tan(math.radians(way.turn_low)) == pytest.approx(float(tangent), abs=1e-14)
    x, y = way.pose(0, 0).point((k * 50.8, 0))
    assert (x, y) == pytest.approx(table.at(Hole(50 + a, 50 + b)), abs=1e-9)


@pytest.mark.source(
    "method", "brute force over all steps, whole numbers: nearest miss of k pitches"
)
@pytest.mark.parametrize(
    ("k", "step", "miss"), [(7, (5, 5), 3.610245), (18, (15, 10), 1.410), (10, (9, 4), None)]
)
def test_near_misses_do_not_fit(k: int, step: tuple[int, int], miss: float | None) -> None:
    table = grid(50.8, 60, 60)
    thing = piece(hole("a", 0, 0), hole("b", k * 50.8, 0))
    off = abs(math.sqrt(step[0] ** 2 + step[1] ** 2) - k) * 50.8
    if miss is not None:
        assert off == pytest.approx(miss, abs=1e-3)
    refused = mounted(thing, table, a=(20, 20), b=(20 + step[0], 20 + step[1]))
    assert refused.ways == ()
    assert isinstance(refused.why, HolesApart)


@pytest.mark.source(
    "method", "brute force over all steps, whole numbers: abs(sqrt(a2 + b2) - k) * 50.8 <= .5"
)
def test_within_ordinary_clearance_only_exact_triples_fit() -> None:
    for k in range(1, 26):
        near = [
            a * a + b * b == k * k
            for a in range(k + 2)
            for b in range(k + 2)
            if abs(math.sqrt(a * a + b * b) - k) * 50.8 <= 0.5
        ]
        assert all(near)
        wide = 0.25
        thing = piece(hole("a", 0, 0, PIN + wide), hole("b", k * 50.8, 0, PIN + wide))
        (found,) = poses(grid(50.8, 61, 61, hole=PIN + wide), thing, PIN, flipped=False)
        assert len(found) == squares(k * k)


@pytest.mark.source("method", JACOBI)
@pytest.mark.parametrize(("low", "high"), [(2, 6), (4, 6), (0, 10), (0, 12), (3, 20)])
def test_a_slot_from_the_pivot_finds_every_hole_of_the_ring(low: int, high: int) -> None:
    thing = piece(hole("a", 0, 0), slot("b", low * 50, 0, high * 50, 0))
    expected = sum(squares(n) for n in range(max(low * low, 1), high * high + 1))
    assert len(table_of(thing)) == expected


@pytest.mark.source("published", "OEIS A000328", "points of norm up to n2 in the square lattice")
@pytest.mark.parametrize(("r", "points"), [(3, 29), (5, 81), (7, 149), (10, 317), (20, 1257)])
def test_gauss_circle(r: int, points: int) -> None:
    thing = piece(hole("a", 0, 0), slot("b", 0, 0, r * 50, 0))
    assert len(table_of(thing)) == points - 1


def gaps(turns: "np.typing.NDArray[np.float64]") -> "np.typing.NDArray[np.float64]":
    """Half the gaps between neighbouring directions: how far a wanted one may lie from the best."""
    rising = np.unique(np.round(turns % 360.0, 9))
    return np.diff(np.append(rising, rising[0] + 360.0)) / 2


def by_hand(h: float, low: float, high: float, sign: int) -> list[float]:
    """Angles of a slot at distance h from its pivot, hole by hole, by the right triangle."""
    found = []
    for x in range(-8, 9):
        for y in range(-8, 9):
            d = 50 * math.hypot(x, y)
            if d > h and low - 1e-9 <= math.sqrt(d * d - h * h) <= high + 1e-9:
                turn = math.atan2(y, x) - sign * math.asin(h / d)
                found.append(math.degrees(turn) % 360.0)
    return found


@pytest.mark.source("method", "brute force hole by hole: right triangle of hypotenuse D and leg h")
def test_offset_slots_and_flipping() -> None:
    straight = piece(hole("a", 0, 0), slot("b", 100, 0, 300, 0))
    found = table_of(straight)
    assert len(found) == len(by_hand(0, 100, 300, 1)) == 104
    assert len(gaps(found.turn)) == 72
    assert gaps(found.turn).max() == pytest.approx(5.655, abs=5e-4)

    offset = piece(hole("a", 0, 0), slot("b", 100, 10, 300, 10))
    up, over = poses(grid(50, 101, 101), offset, PIN)
    assert sorted(up.turn % 360.0) == pytest.approx(sorted(by_hand(10, 100, 300, 1)))
    assert sorted(over.turn % 360.0) == pytest.approx(sorted(by_hand(10, 100, 300, -1)))
    assert (len(up), len(gaps(up.turn))) == (100, 100)
    assert gaps(up.turn).max() == pytest.approx(5.486, abs=5e-4)
    both = gaps(np.concatenate([up.turn, over.turn]))
    assert len(both) == 200
    assert both.max() == pytest.approx(2.619738, abs=5e-7)
    mean = float((both * 2) @ both / 2 / 360.0)
    assert mean == pytest.approx(0.687, abs=5e-4)


@pytest.mark.source(
    "method", "trigonometry: 3-4-5 triangle, atan2(4, 3) - asin(10/250) and sqrt(250^2 - 10^2)"
)
def test_offset_slot_over_three_four() -> None:
    thing = piece(hole("a", 0, 0), slot("b", 0, 10, 300, 10))
    (way,) = mounted(thing, a=(5, 5), b=(8, 9)).ways
    assert way.turn_low == pytest.approx(50.837660, abs=5e-7)
    assert way.slide_low == pytest.approx(249.799920, abs=5e-7)


@pytest.mark.source("method", JACOBI)
def test_a_hole_on_a_radius_of_ten_pitches_finds_twelve() -> None:
    found = table_of(piece(hole("a", 0, 0), hole("b", 508, 0)), 50.8)
    assert len(found) == squares(100) == 12
    assert {
        (abs(x), abs(y)) for x, y in zip(found.dx.tolist(), found.dy.tolist(), strict=True)
    } == {
        (10, 0),
        (0, 10),
        (6, 8),
        (8, 6),
    }


@pytest.mark.source(
    "method", "geometric probability: 4 pi R c / p^2 holes on a ring, mean over many radii"
)
def test_mean_number_of_lock_holes_on_a_radius() -> None:
    table = grid(50.8, 61, 61, hole=PIN + 0.4)
    radii = np.linspace(100, 700, 1201)
    counts = []
    for radius in radii:
        thing = piece(hole("a", 0, 0, PIN), hole("b", float(radius), 0, PIN))
        (found,) = poses(table, thing, PIN, flipped=False)
        counts.append(len(found))
    expected = float(np.mean(4 * math.pi * radii * 0.4 / 50.8**2))
    assert expected == pytest.approx(0.775, abs=0.005)
    assert float(np.mean(counts)) == pytest.approx(expected, rel=0.1)


@pytest.mark.source("method", "trigonometry: angle of the crossing tangents, asin((s1 + s2) / L)")
@pytest.mark.parametrize(("base", "play"), [(250.0, 0.080214), (100.0, 0.200535)])
def test_play_of_a_slotted_arm(base: float, play: float) -> None:
    table = grid(base, 5, 5, hole=PIN)
    thing = piece(hole("a", 0, 0, PIN + 0.3), slot("b", 20, 0, 300, 0, PIN + 0.4))
    (way,) = mounted(thing, table, a=(1, 1), b=(2, 1)).ways
    assert way.play_deg == pytest.approx(math.degrees(math.asin(0.35 / base)), abs=1e-12)
    assert way.play_deg == pytest.approx(play, abs=1e-6)
    assert way.play_mm == pytest.approx(0.2)


@pytest.mark.source("method", "brute force: largest turn of a segment whose ends stay in two discs")
def test_play_of_two_holes() -> None:
    table = grid(50, 9, 9, hole=PIN + 0.2)
    thing = piece(hole("a", 0, 0, PIN + 0.1), hole("b", 100.1, 0, PIN + 0.1))
    (way,) = mounted(thing, table, a=(1, 1), b=(3, 1)).ways
    s = 0.15
    ends = [(s * math.cos(t), s * math.sin(t)) for t in np.linspace(0, 2 * math.pi, 1440).tolist()]
    most = 0.0
    for ax, ay in ends[::8]:
        for bx, by in ends:
            wide = math.hypot(100 + bx - ax, by - ay)
            if abs(wide - 100.1) < 2e-3:
                most = max(most, math.degrees(math.atan2(by - ay, 100 + bx - ax)))
    assert way.play_deg == pytest.approx(most, abs=2e-3)
