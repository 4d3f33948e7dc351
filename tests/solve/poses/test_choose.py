"""Clicks, keys and typed numbers: the attainable pose they choose, or why there is none."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridjig.files.library.assets import starter_racks
from gridjig.model import Hole, HoleMark, Placement, Seat
from gridjig.rack import ArcSlot, ClampTip, Pivot, Rack, RoundHole, Shank
from gridjig.solve.mounting.mount import mount
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.poses.attainable import AttainablePose
from gridjig.solve.poses.choose import (
    nearest_leaf,
    nearest_slide,
    nearest_turn,
    settled,
    stand_at,
    turn_next,
)
from gridjig.solve.poses.faults import PoseFault
from tests.solve.grid_kit import PIN, grid, hole, piece, put, rack, said, seats, slot

SQUARE = piece(hole("o", 0, 0), hole("x", 100, 0), hole("y", 0, 100), id="square")
SLIDER = piece(slot("s", 0, 0, 120, 0), id="slider", flips=False)
ARM = piece(hole("h", 0, 0), slot("s", 100, 10, 300, 10), id="arm")
RING = piece(
    hole("h", 0, 0),
    ArcSlot(id="c", centre=(0, 0), radius=100, start=-50, end=50, width=PIN),
    id="ring",
    flips=False,
)
POST = piece(
    Shank(id="post", at=(0, 0), diameter=PIN),
    id="post",
    tip=ClampTip(
        at=(0, 0),
        direction=0,
        push="down",
        reach_min=50,
        reach_max=150,
        z_low=0,
        z_high=120,
        pad_radius=10,
        bar_width=20,
        bar_z_low=80,
        bar_z_high=100,
    ),
)
LEAF = piece(
    hole("l", 0, 0),
    hole("r", 50, 0),
    RoundHole(id="end", at=(150, 0), diameter=PIN, body=1),
    id="leaf",
    pivot=Pivot(at=(0, 0), low=0, high=180, accuracy=0.25),
)
RACK = rack(SQUARE, SLIDER, ARM, RING, POST, LEAF)
TABLE = grid()
MIDDLE = Hole(12, 12)


def clicked(name: str, turn: float = 0.0, **more: object) -> Placement:
    found = stand_at(TABLE, RACK, RACK.piece(name), MIDDLE, turn, **more)  # type: ignore[arg-type]
    assert isinstance(found, Placement), found
    return found


@pytest.mark.parametrize("turn", [0.0, 40.0, 80.0, 135.0, -100.0, 179.0])
def test_a_click_pins_two_holes_nearest_to_the_turn(turn: float) -> None:
    found = clicked("square", turn)
    assert found.seats[0] == Seat(feature="o", hole=MIDDLE)
    assert abs(math.remainder(found.turn - turn, 360)) <= 45.0
    stood = solve_placement(TABLE, RACK, found)
    assert (stood.fault, stood.off) == (None, ())


@pytest.mark.source("method", "brute force: every hole of the table tried as the lock")
@pytest.mark.parametrize("turn", [0.0, 37.5, 91.0, -120.0])
@pytest.mark.parametrize("flipped", [False, True])
def test_an_arm_takes_the_lock_hole_nearest_to_the_angle(turn: float, flipped: bool) -> None:
    found = clicked("arm", turn, flipped=flipped)
    best = min(
        abs(math.remainder(way.turn_low - turn, 360))
        for col in range(25)
        for row in range(25)
        for way in mount(TABLE, ARM, seats(h=(12, 12), s=(col, row)), PIN, flipped).ways
    )
    assert abs(math.remainder(found.turn - turn, 360)) == pytest.approx(best, abs=1e-4)


def test_a_slider_keeps_room_to_slide_and_stands_in_the_middle() -> None:
    found = clicked("slider")
    assert {s.feature for s in found.seats} == {"s"}
    assert found.turn == 0.0
    stood = solve_placement(TABLE, RACK, found)
    assert stood.way is not None
    assert stood.way.slide_high - stood.way.slide_low == pytest.approx(70)
    middle = (stood.way.slide_low + stood.way.slide_high) / 2
    assert found.slide == pytest.approx(middle)


def test_a_ring_takes_the_hole_that_leaves_room_to_turn() -> None:
    found = clicked("ring", 10.0)
    assert found.turn == 10.0
    assert found.seats[1].hole == (14, 12)


def test_a_post_turns_freely_with_its_reach_in_the_middle() -> None:
    found = clicked("post", 33.0)
    assert (found.turn, found.reach, len(found.seats)) == (33.0, 100.0, 1)
    assert clicked("leaf", leaf=200.0).leaf == 180.0


def test_taken_and_marked_holes_are_skipped() -> None:
    found = clicked("square", 0.0, taken={Hole(14, 12)})
    assert found.turn == 0.0
    assert found.seats[1] == Seat(feature="y", hole=Hole(12, 14))
    other = clicked("square", 0.0, taken={Hole(14, 12), Hole(12, 14)})
    assert abs(other.turn) == 90.0


@pytest.mark.parametrize(
    ("name", "at", "taken", "why"),
    [
        ("square", (12, 12), {(12, 12)}, "Hole M13 is taken."),
        ("square", (3, 3), (), "Hole D4 is blocked."),
        ("square", (30, 3), (), "A pin would be off the table, 6 holes past its right edge."),
        (
            "slider",
            (0, 0),
            {(1, 0), (0, 1), (1, 1), (2, 0), (0, 2), (2, 1), (1, 2)},
            "There is no second hole for slider at A1: A2 is taken, B1 is taken, B2 is taken.",
        ),
    ],
)
def test_refusals(name: str, at: tuple[int, int], taken: set[tuple[int, int]], why: str) -> None:
    table = grid(marks=[HoleMark(hole=Hole(3, 3), state="blocked")])
    thing = RACK.piece(name)
    named = piece(*thing.mounts, id=name, name=name, flips=thing.flips)
    found = stand_at(table, rack(named), named, Hole(*at), taken={Hole(*t) for t in taken})
    assert not isinstance(found, Placement)
    assert said(found, table) == why


def refused(thing: object, table: object = None, **more: object) -> str:
    found = stand_at(table or TABLE, rack(thing), thing, MIDDLE, **more)  # type: ignore[arg-type]
    assert not isinstance(found, Placement)
    return said(found)


def test_refusals_of_pieces_that_suit_nowhere() -> None:
    odd = piece(hole("a", 0, 0), hole("b", 77, 0))
    assert refused(odd) == (
        "test piece does not match the pitch of this table: no second hole lines up."
    )
    assert refused(piece()) == "test piece has no hole or pin to mount it by."
    stiff = piece(hole("a", 0, 0), hole("b", 50, 0), flips=False)
    assert refused(stiff, flipped=True) == "test piece cannot be used turned over."
    thick = piece(Shank(id="a", at=(0, 0), diameter=20.0))
    assert "does not fit hole M13" in refused(thick)
    long = piece(hole("a", 0, 0), hole("b", 5000, 0), flips=False)
    assert "does not match the pitch" in refused(long)
    edge = piece(hole("a", 0, 0), hole("b", 100, 0), flips=False)
    narrow = grid(columns=2, rows=2)
    found = stand_at(narrow, rack(edge), edge, Hole(0, 0))
    assert found == PoseFault("test piece", "no hole at its pitch")


@pytest.mark.parametrize("name", ["square", "slider", "arm", "ring", "post", "leaf"])
@pytest.mark.parametrize("direction", [1, -1])
def test_turning_through_all_poses_comes_back_to_the_start(name: str, direction: int) -> None:
    start = clicked(name)
    now = start
    turns = []
    for _ in range(400):
        following = turn_next(TABLE, RACK, now, direction)
        assert isinstance(following, Placement)
        now = following
        assert now.seats[0] == start.seats[0]
        stood = solve_placement(TABLE, RACK, now)
        assert (stood.fault, stood.off) == (None, ())
        turns.append(now.turn)
        if abs(math.remainder(now.turn - start.turn, 360)) < 1e-3:
            break
    else:
        pytest.fail("never came back")
    swept = sum(
        (b - a) * direction % 360 for a, b in zip([start.turn, *turns], turns, strict=False)
    )
    assert swept == pytest.approx(360.0, abs=1e-6)
    assert len(set(turns)) == len(turns)


def test_how_many_ways_round() -> None:
    def count(name: str) -> int:
        first = clicked(name)
        now, turns = first, 0
        while turns == 0 or abs(math.remainder(now.turn - first.turn, 360)) > 1e-3:
            following = turn_next(TABLE, RACK, now)
            assert isinstance(following, Placement)
            now, turns = following, turns + 1
        return turns

    assert count("square") == 4
    assert count("post") == 24
    assert count("arm") == 100


def test_all_three_pins_of_a_square_turn_with_it() -> None:
    three = put(SQUARE, seats(o=(12, 12), x=(14, 12), y=(12, 14)))
    turned = turn_next(TABLE, RACK, three)
    assert isinstance(turned, Placement)
    assert {s.feature: tuple(s.hole) for s in turned.seats} == {
        "o": (12, 12),
        "x": (12, 14),
        "y": (10, 12),
    }
    without = turn_next(TABLE, RACK, three, 1, {Hole(10, 12)})
    assert isinstance(without, Placement)
    assert len(without.seats) == 2


def test_a_further_pin_with_play_settles_the_turn() -> None:
    loose = grid(hole=PIN + 0.4)
    skew = piece(hole("o", 0, 0), hole("x", 100, 0), hole("y", 0.3, 100))
    three = put(skew, seats(o=(12, 12), x=(14, 12), y=(12, 14)))
    turned = turn_next(loose, rack(skew), three)
    assert isinstance(turned, Placement)
    assert len(turned.seats) == 3
    assert turned.turn != 90.0
    assert solve_placement(loose, rack(skew), turned).off == ()


def test_no_other_turn_gives_a_sentence() -> None:
    bar = piece(hole("o", 0, 0), hole("x", 100, 0))
    alone = put(bar, seats(o=(12, 12), x=(14, 12)))
    around = {Hole(10, 12), Hole(12, 10), Hole(12, 14)}
    why = turn_next(TABLE, rack(bar), alone, 1, around)
    assert why == PoseFault("test piece", "cannot turn here")


def test_a_typed_angle_is_taken_or_the_nearest_is_named() -> None:
    arm = clicked("arm")
    exact = nearest_turn(TABLE, RACK, arm, 50.837660)
    assert (exact.why, exact.placement.seats[1].hole) == (None, (15, 16))
    near = nearest_turn(TABLE, RACK, arm, 49.5)
    assert said(near.why).startswith("49.5° is not possible here; the nearest is ")
    assert nearest_turn(TABLE, RACK, clicked("post"), 12.3).placement.turn == 12.3
    every = {Hole(c, r) for c in range(25) for r in range(25)}
    none = nearest_turn(TABLE, RACK, arm, 10.0, every)
    assert none.placement is arm
    assert none.why == PoseFault(RACK.piece("arm").name, "no other hole")


def test_a_typed_angle_keeps_the_pins_that_give_it() -> None:
    ring = clicked("ring", 10.0)
    same = nearest_turn(TABLE, RACK, ring, -40.0).placement
    assert same.seats == ring.seats
    assert same.turn == -40.0


def test_a_typed_slide() -> None:
    slider = clicked("slider")
    assert nearest_slide(TABLE, RACK, slider, slider.slide - 10).why is None
    far = nearest_slide(TABLE, RACK, slider, 500.0)
    assert said(far.why) == "500 mm is not possible here; the nearest is 120 mm."
    assert far.placement.slide == 120.0
    fixed = nearest_slide(TABLE, RACK, clicked("square"), 5.0)
    assert said(fixed.why) == "This piece is held by its pins; it does not slide."
    broken = put(SLIDER, seats(s=(5, 5), s_=(15, 5)))
    assert "apart" in said(nearest_slide(TABLE, RACK, broken, 5.0).why)


def test_a_typed_leaf() -> None:
    leaf = clicked("leaf")
    assert nearest_leaf(TABLE, RACK, leaf, 30.0).placement.leaf == 30.0
    over = nearest_leaf(TABLE, RACK, leaf, 200.0)
    assert said(over.why) == "200° is not possible here; the nearest is 180°."
    locked = put(LEAF, seats(l=(12, 12), r=(13, 12), end=(12, 15)), leaf=90.0)
    assert solve_placement(TABLE, RACK, locked).fault is None
    near = nearest_leaf(TABLE, RACK, locked, 170.0)
    assert (near.placement.leaf, near.placement.seats[2].hole) == (180.0, (9, 12))
    assert said(near.why) == "170° is not possible here; the nearest is 180°."
    shut = {Hole(9, 12), Hole(12, 15), Hole(15, 12)}
    none = nearest_leaf(TABLE, RACK, locked, 10.0, shut).why
    assert none == PoseFault("test piece", "no lock hole")
    bare = nearest_leaf(TABLE, RACK, clicked("post"), 3.0).why
    assert said(bare) == "test piece has no arm to set."


def test_a_spot_of_another_table_changes_nothing() -> None:
    start = put(SQUARE, seats(o=(12, 12), x=(14, 12)))
    odd = AttainablePose(seats(o=(12, 12), x=(15, 12)), False, 0.0, 0.0, 0.0, 0.0, 0.0, 150.0)
    assert settled(TABLE, RACK, start, odd, 0.0, 0.0) is start


STARTERS = list(starter_racks().items())


@settings(max_examples=60)
@given(st.sampled_from(STARTERS), st.data())
def test_every_starter_piece_stands_where_it_is_clicked(
    named: tuple[str, Rack], data: st.DataObject
) -> None:
    name, starter = named
    pitch, size = {
        "inch-5-8": (50.8, 15.875),
        "inch-3-4": (50.8, 19.05),
        "metric-16": (50.0, 16.0),
        "metric-28": (100.0, 28.0),
    }[name]
    table = grid(pitch, hole=size + 0.1)
    thing = data.draw(st.sampled_from([p for p in starter.pieces if p.is_placed]))
    turn = data.draw(st.floats(-180, 180))
    at = Hole(data.draw(st.integers(0, 24)), data.draw(st.integers(0, 24)))
    found = stand_at(table, starter, thing, at, turn)
    if not isinstance(found, Placement):
        pytest.fail(f"{thing.id} at {at}: {found}")
    stood = solve_placement(table, starter, found)
    assert (stood.fault, stood.off) == (None, ())
