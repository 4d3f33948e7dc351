"""Dragging a piece by a point: it moves as its pins allow, and keeps its first hole."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gridjig.model import Hole, Placement
from gridjig.rack import Pivot, RoundHole
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.poses.drag import drag_to
from tests.solve.grid_kit import PIN, grid, hole, piece, put, rack, seats, slot

TABLE = grid()
ARM = piece(hole("h", 0, 0), slot("s", 100, 10, 300, 10), id="arm")
SLIDER = piece(slot("s", 0, 0, 120, 0), id="slider")
CROSS = piece(slot("s", 0, 0, 200, 0), slot("t", 0, 60, 0, 260), id="cross")
LEAF = piece(
    hole("l", 0, 0),
    hole("r", 50, 0),
    RoundHole(id="end", at=(150, 0), diameter=PIN, body=1),
    id="leaf",
    pivot=Pivot(at=(0, 0), low=0, high=180, accuracy=0.25),
)
RACK = rack(ARM, SLIDER, CROSS, LEAF)
HERE = TABLE.at(Hole(12, 12))


def beside(x: float, y: float) -> tuple[float, float]:
    return (HERE[0] + x, HERE[1] + y)


def dragged(
    placement: Placement, start: tuple[float, float], end: tuple[float, float], body: int = 0
) -> Placement:
    found = drag_to(TABLE, RACK, placement, beside(*start), beside(*end), body=body)
    stood = solve_placement(TABLE, RACK, found)
    assert (stood.fault, stood.off) == (None, ())
    assert found.seats[0] == placement.seats[0]
    return found


def test_a_slide_follows_along_the_slot_only() -> None:
    for flipped in (False, True):
        two = put(SLIDER, seats(s=(12, 12), s_=(13, 12)), slide=30.0, flipped=flipped)
        assert dragged(two, (50, 0), (65, 40)).slide == pytest.approx(15)
        assert dragged(two, (50, 0), (500, 0)).slide == 0.0
        assert dragged(two, (50, 0), (-500, 0)).slide == 70.0
    upright = put(SLIDER, seats(s=(12, 12), s_=(12, 13)), slide=30.0, turn=90.0)
    assert dragged(upright, (0, 50), (9, 60)).slide == pytest.approx(20)


def test_a_pinned_arm_jumps_from_lock_hole_to_lock_hole() -> None:
    arm = put(ARM, seats(h=(12, 12), s=(16, 12)), turn=-2.866)
    start = solve_placement(TABLE, RACK, arm).turn
    arm = put(ARM, seats(h=(12, 12), s=(16, 12)), turn=start)
    still = dragged(arm, (200, 0), (201, 1))
    assert (still.seats, still.turn) == (arm.seats, arm.turn)
    swung = dragged(arm, (200, 0), (0, 200))
    assert swung.turn == pytest.approx(90 + start, abs=2.8)
    assert swung.seats[1] != arm.seats[1]
    stuck = {Hole(c, r) for c in range(25) for r in range(25)}
    assert drag_to(TABLE, RACK, arm, beside(200, 0), beside(0, 200), stuck) is arm


def test_an_arm_on_its_pivot_alone_swings_freely_and_is_caught() -> None:
    free = put(ARM, seats(h=(12, 12)), turn=0.0)
    caught = dragged(free, (200, 0), (200, -9))
    assert caught.turn == pytest.approx(-math.degrees(math.asin(10 / 250)))
    assert len(caught.seats) == 2
    gap = dragged(free, (200, 0), (200, 1))
    assert gap.turn == pytest.approx(math.degrees(math.atan2(1, 200)))
    assert gap.seats == free.seats
    shut = {Hole(c, r) for c in range(25) for r in range(25)} - {Hole(12, 12)}
    found = drag_to(TABLE, RACK, free, beside(200, 0), beside(0, 200), shut)
    assert (found.turn, found.seats) == (90.0, free.seats)


@settings(max_examples=60)
@given(st.floats(-300, 300), st.floats(-300, 300), st.booleans())
def test_on_one_pin_in_a_slot_the_point_follows_where_it_can(
    x: float, y: float, flipped: bool
) -> None:
    one = put(SLIDER, seats(s=(12, 12)), slide=60.0, turn=20.0, flipped=flipped)
    start = solve_placement(TABLE, RACK, one).poses[0].point((120, 15))
    found = drag_to(TABLE, RACK, one, start, beside(x, y))
    there = solve_placement(TABLE, RACK, found).poses[0].point((120, 15))
    far = math.hypot(x, y)
    assume(far > 1e-3)
    low, high = 15.0, math.hypot(120, 15)
    if low <= far <= high:
        assert math.dist(there, beside(x, y)) < 1e-5
    else:
        least = max(low - far, far - high)
        assert math.dist(there, beside(x, y)) == pytest.approx(least, abs=1e-5)


def test_the_point_over_the_pin_gives_no_direction() -> None:
    one = put(SLIDER, seats(s=(12, 12)), slide=60.0, turn=20.0)
    found = drag_to(TABLE, RACK, one, beside(30, 10), HERE)
    assert found.turn == 20.0


@pytest.mark.source("method", "brute force: the slide searched in steps of 0.05 mm")
def test_two_crossing_slots_follow_as_near_as_they_can() -> None:
    cross = put(CROSS, seats(s=(12, 12), t=(14, 15)), slide=50.0)
    now = solve_placement(TABLE, RACK, cross)
    cross = put(CROSS, seats(s=(12, 12), t=(14, 15)), slide=50.0, turn=now.turn)
    assert now.way is not None
    grab = now.poses[0].point((0, 0))
    pointer = (grab[0] + 40, grab[1] - 25)
    found = drag_to(TABLE, RACK, cross, grab, pointer)
    mine = math.dist(solve_placement(TABLE, RACK, found).poses[0].point((0, 0)), pointer)
    low, high = now.way.slide_low, now.way.slide_high
    steps = [low + 0.05 * k for k in range(int((high - low) / 0.05))]
    best = min(math.dist(now.way.pose(0, t).point((0, 0)), pointer) for t in steps)
    assert mine <= best + 1e-6


def test_a_leaf_swings_by_its_scale_or_from_hole_to_hole() -> None:
    free = put(LEAF, seats(l=(12, 12), r=(13, 12)), leaf=20.0)
    a, b = math.radians(20), math.radians(75)
    start, end = (100 * math.cos(a), 100 * math.sin(a)), (90 * math.cos(b), 90 * math.sin(b))
    assert dragged(free, start, end, body=1).leaf == pytest.approx(75)
    assert dragged(free, start, (0, -50), body=1).leaf in (0.0, 180.0)
    over = put(LEAF, seats(l=(12, 12), r=(13, 12)), leaf=20.0, flipped=True)
    down = dragged(over, (start[0], -start[1]), (end[0], -end[1]), body=1)
    assert down.leaf == pytest.approx(75)
    locked = put(LEAF, seats(l=(12, 12), r=(13, 12), end=(12, 15)), leaf=90.0)
    moved = dragged(locked, (0, 100), (-100, 5), body=1)
    assert (moved.leaf, moved.seats[2].hole) == (180.0, (9, 12))


def test_what_does_not_stand_stays() -> None:
    wrong = put(SLIDER, seats(s=(12, 12), s_=(20, 12)))
    assert drag_to(TABLE, RACK, wrong, HERE, beside(9, 9)) is wrong


def test_a_square_goes_to_the_nearest_quarter_turn_however_far_that_is() -> None:
    """Its second hole fits in only four ways, and a pinned piece has nothing in between."""
    square = piece(hole("a", 0, 0), hole("b", 100, 0), id="square", flips=False)
    held = put(square, seats(a=(12, 12), b=(14, 12)))
    for degrees, turn in ((20, 0.0), (44, 0.0), (46, 90.0), (70, 90.0), (-100, -90.0)):
        t = math.radians(degrees)
        end = beside(80 * math.cos(t), 80 * math.sin(t))
        found = drag_to(TABLE, rack(square), held, beside(80, 0), end)
        assert found.turn == turn


@pytest.mark.source("method", "brute force: the slide looked at in steps of 0.02 mm")
@settings(max_examples=40)
@given(st.floats(8, 60), st.floats(0, 360), st.integers(5, 115))
def test_on_one_pin_it_slides_no_farther_than_it_must(along: float, way: float, slide: int) -> None:
    """The point, 60 along the slot and 30 beside it, is equally far from the pin at two slides."""
    far = math.hypot(along, 30)
    x, y = far * math.cos(math.radians(way)), far * math.sin(math.radians(way))
    one = put(SLIDER, seats(s=(12, 12)), slide=float(slide), turn=20.0)
    start = solve_placement(TABLE, RACK, one).poses[0].point((60, 30))
    found = drag_to(TABLE, RACK, one, start, beside(x, y))
    steps = [k * 0.02 for k in range(6001)]
    fits = [t for t in steps if abs(math.hypot(60 - t, 30) - far) < 0.02]
    assert min(fits) == pytest.approx(60 - along, abs=0.2)
    assert max(fits) == pytest.approx(60 + along, abs=0.2)
    least = min(abs(t - slide) for t in fits)
    assert abs(found.slide - slide) == pytest.approx(least, abs=0.2)


@settings(max_examples=40)
@given(st.floats(15, 120), st.floats(0, 360), st.booleans())
def test_a_slot_away_from_the_pieces_origin_follows_as_well(
    far: float, way: float, flipped: bool
) -> None:
    """Wherever the point can come: from 15 beside the slot to its other end, 120.9 away."""
    x, y = far * math.cos(math.radians(way)), far * math.sin(math.radians(way))
    aside = piece(slot("s", 20, 35, 140, 35), id="aside")
    one = put(aside, seats(s=(12, 12)), slide=60.0, turn=20.0, flipped=flipped)
    start = solve_placement(TABLE, rack(aside), one).poses[0].point((140, 50))
    found = drag_to(TABLE, rack(aside), one, start, beside(x, y))
    there = solve_placement(TABLE, rack(aside), found).poses[0].point((140, 50))
    assert math.dist(there, beside(x, y)) < 1e-5
