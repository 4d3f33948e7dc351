"""The directions in which a part comes away, against swept areas and hand reckoning."""

import math
import random

import pytest
import shapely

from gridjig.proof.out.directions import (
    Convex,
    Prism,
    between,
    blocked,
    common,
    convex_pieces,
    free,
)

SQUARE: Convex = ((0, 0), (10, 0), (10, 10), (0, 10))


def box(x0: float, y0: float, x1: float, y1: float) -> Convex:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def ways(moving: Convex, *fixed: Convex) -> tuple[tuple[float, float], ...]:
    found = blocked(
        [Prism(r, 0, 10) for r in convex_pieces(moving)],
        [Prism(r, 0, 10) for one in fixed for r in convex_pieces(one)],
    )
    return free(found.low, found.high)


@pytest.mark.source("method", "contacts up, up and right leave the quarter between them")
def test_two_stops_below_and_one_at_the_left_leave_a_quarter() -> None:
    stops = (box(1, -5, 3, 0), box(7, -5, 9, 0), box(-5, 4, 0, 6))
    assert ways(SQUARE, *stops) == ((0.0, 90.0),)


@pytest.mark.source("method", "opposed contacts leave the line between them")
def test_opposed_stops_leave_two_single_directions() -> None:
    assert ways(SQUARE, box(0, -5, 10, 0), box(0, 10, 10, 15)) == ((0.0, 0.0), (180.0, 180.0))


@pytest.mark.source("method", "three sides of a U leave the way out of it")
def test_a_u_leaves_one_direction() -> None:
    around = (box(0, -5, 10, 0), box(0, 10, 10, 15), box(-5, 0, 0, 10))
    assert ways(SQUARE, *around) == ((0.0, 0.0),)
    assert ways(
        SQUARE, ((-5, -5), (10, -5), (10, 0), (0, 0), (0, 10), (10, 10), (10, 15), (-5, 15))
    ) == ((0.0, 0.0),)


@pytest.mark.source("method", "three normals 120 degrees apart, and a dovetail, leave nothing")
def test_three_stops_all_round_leave_nothing() -> None:
    corner = [
        (math.cos(a) * 10, math.sin(a) * 10) for a in (math.pi / 2, math.pi * 7 / 6, -math.pi / 6)
    ]
    stops = []
    for k in range(3):
        (ax, ay), (bx, by) = corner[k], corner[(k + 1) % 3]
        length = math.dist(corner[k], corner[(k + 1) % 3])
        nx, ny = (by - ay) / length * 3, (ax - bx) / length * 3
        stops.append(((ax, ay), (ax + nx, ay + ny), (bx + nx, by + ny), (bx, by)))
    assert ways(tuple(corner), *stops) == ()
    tail: Convex = ((2, 0), (8, 0), (10, 10), (0, 10))
    cheeks = (((2, 0), (0, 10), (-3, 10), (-3, 0)), ((8, 0), (13, 0), (13, 10), (10, 10)))
    assert ways(tail, *cheeks, box(0, 10, 10, 15)) == ()
    off = math.degrees(math.atan(0.2))
    (way,) = ways(tail, *cheeks)
    assert way == pytest.approx((90.0 - off, 90.0 + off))


def test_nothing_around_leaves_every_direction() -> None:
    assert ways(SQUARE) == ((0.0, 360.0),)
    below = blocked([Prism(SQUARE, 0, 10)], [Prism(box(20, 0, 30, 10), 10, 20)])
    assert free(below.low, below.high) == ((0.0, 360.0),)


@pytest.mark.source("method", "the angles to the corners of a box, by arctangent")
def test_a_box_at_a_distance_blocks_what_it_subtends() -> None:
    (way,) = ways(SQUARE, box(30, 0, 40, 10))
    assert way == pytest.approx(
        (math.degrees(math.atan2(10, 20)), 360 - math.degrees(math.atan2(10, 20))), abs=1e-5
    )


def test_a_gap_within_a_contact_counts_as_touching() -> None:
    assert ways(SQUARE, box(0, -5, 10, -0.03), box(0, 10.02, 10, 15)) == (
        (0.0, 0.0),
        (180.0, 180.0),
    )
    assert ways(SQUARE, box(0, -5, 10, 0.4)) == ((0.0, 180.0),)


def test_what_two_have_in_common() -> None:
    assert common(((0.0, 90.0),), ((45.0, 180.0),)) == ((45.0, 90.0),)
    assert common(((300.0, 400.0),), ((0.0, 20.0), (350.0, 355.0))) == ((0.0, 20.0), (350.0, 355.0))
    assert common(((0.0, 90.0),), ((90.0, 180.0),)) == ((90.0, 90.0),)
    assert common(((0.0, 80.0),), ((90.0, 180.0),)) == ()


@pytest.mark.source("method", "swept areas: hulls of a piece and the piece moved far along a ray")
def test_random_pieces_against_swept_areas() -> None:
    dice = random.Random(7)
    tried = hits = 0
    for _ in range(60):
        moving = _polygon(dice, 0.0, 0.0)
        fixed = [_polygon(dice, dice.uniform(-60, 60), dice.uniform(-60, 60)) for _ in range(3)]
        mine = shapely.Polygon(moving)
        if any(shapely.Polygon(one).distance(mine) < 1.0 for one in fixed):
            continue
        left = ways(moving, *fixed)
        for _ in range(10):
            turn = dice.uniform(0, 360)
            v = (400 * math.cos(math.radians(turn)), 400 * math.sin(math.radians(turn)))
            swept = shapely.union_all([_swept(piece, v) for piece in convex_pieces(moving)])
            met = any(swept.intersection(shapely.Polygon(one)).area > 1e-6 for one in fixed)
            is_free = any(a <= t <= b for a, b in left for t in (turn, turn + 360))
            assert met != is_free
            tried += 1
            hits += met
    assert tried > 200
    assert 50 < hits < tried - 50


def _polygon(dice: random.Random, x: float, y: float) -> Convex:
    """A star-shaped outline about a point, so concave as a rule."""
    count = dice.randint(4, 7)
    return tuple(
        (x + r * math.cos(a), y + r * math.sin(a))
        for r, a in ((dice.uniform(4, 15), math.tau * k / count) for k in range(count))
    )


def _swept(ring: Convex, v: tuple[float, float]) -> shapely.Polygon:
    moved = [(x + v[0], y + v[1]) for x, y in ring]
    hull = shapely.MultiPoint([*ring, *moved]).convex_hull
    assert isinstance(hull, shapely.Polygon)
    return hull


@pytest.mark.source("method", "area of an L and of what it sweeps, by width across the motion")
def test_the_sweep_that_the_tests_compare_with() -> None:
    """An L of 4 x 4 has 9.75 in legs of 1.5; a way of (10, 0) makes 49.75, (10, 10) 89.75."""
    ell: Convex = ((0, 0), (4, 0), (4, 1.5), (1.5, 1.5), (1.5, 4), (0, 4))
    pieces = convex_pieces(ell)
    assert sum(shapely.Polygon(p).area for p in pieces) == pytest.approx(9.75)
    for v, area in (((10.0, 0.0), 49.75), ((10.0, 10.0), 89.75)):
        assert shapely.union_all([_swept(p, v) for p in pieces]).area == pytest.approx(area)


@pytest.mark.source("method", "the corners of a polygon of 100 sides against its hull of four")
def test_pieces_with_many_corners_and_with_few_at_once() -> None:
    ring = tuple(
        (60 + 20 * math.cos(math.tau * k / 100), 5 + 20 * math.sin(math.tau * k / 100))
        for k in range(100)
    )
    found = blocked(
        [Prism(SQUARE, 0, 10)], [Prism(ring, 0, 10), Prism(box(-30, 0, -20, 10), 0, 10)]
    )
    assert sorted(found.fixed.tolist()) == [0, 1]
    assert found.moving.tolist() == [0, 0]
    disc = found.fixed.tolist().index(0)
    alone = blocked([Prism(SQUARE, 0, 10)], [Prism(ring, 0, 10)])
    assert found.low[disc] == pytest.approx(alone.low[0])
    assert found.high[disc] - found.low[disc] == pytest.approx(
        2 * math.degrees(math.asin((20 + 5 * 2**0.5) / math.hypot(55, 0))), abs=6.0
    )


def test_one_pair_from_inside_and_outside() -> None:
    assert between(SQUARE, box(10, 0, 20, 10)) == pytest.approx((270.0, 450.0))
    assert between(SQUARE, box(10, 10, 20, 20)) == pytest.approx((0.0, 90.0))
