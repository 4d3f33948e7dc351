"""The poses of a piece about one hole, and the holes left out, with why."""

import math

import pytest

from gridjig.geometry import Pose
from gridjig.model import Hole, HoleMark
from gridjig.rack import ArcSlot, Pivot, RoundHole, Shank, StraightSlot
from gridjig.solve.mounting.leaf import mount_leaf
from gridjig.solve.poses.search_holes import attainable_poses, leaf_locks
from tests.solve.grid_kit import PIN, grid, hole, piece, seats, slot

STOP = piece(hole("a", 0, 0), hole("b", 100, 0), flips=False)
MARKS = (
    HoleMark(hole=Hole(5, 7), state="blocked"),
    HoleMark(hole=Hole(3, 5), state="damaged"),
    HoleMark(hole=Hole(5, 3), state="shallow", size=8.0),
)


def test_four_ways_about_a_hole_and_what_is_left_out() -> None:
    free = attainable_poses(grid(), STOP, PIN, Hole(5, 5))
    assert [s.low for s in free.found] == [-90.0, 0.0, 90.0, 180.0]
    assert {s.base for s in free.found} == {100.0}
    marked = attainable_poses(grid(marks=MARKS), STOP, PIN, Hole(5, 5), {Hole(7, 5)})
    assert [(s.low, s.seats[1].hole) for s in marked.found] == [(-90.0, (5, 3))]
    assert dict(marked.left_out) == {(7, 5): "taken", (5, 7): "blocked", (3, 5): "damaged"}
    corner = attainable_poses(grid(), STOP, PIN, Hole(0, 0))
    assert [s.low for s in corner.found] == [0.0, 90.0]
    assert {why for _, why in corner.left_out} == {"off the table"}


def test_the_hole_itself_may_be_left_out() -> None:
    assert attainable_poses(grid(), STOP, PIN, Hole(5, 5), {Hole(5, 5)}) == (
        (),
        ((Hole(5, 5), "taken"),),
    )
    assert attainable_poses(grid(), piece(), PIN, Hole(5, 5)) == ((), ())


def test_one_feature_turns_all_round_each_way_up() -> None:
    found = attainable_poses(grid(), piece(hole("a", 0, 0)), PIN, Hole(5, 5)).found
    assert [(s.low, s.high, s.flipped) for s in found] == [
        (-180.0, 180.0, False),
        (-180.0, 180.0, True),
    ]


def test_three_shanks_all_find_their_holes() -> None:
    feet = [
        Shank(id=n, at=at, diameter=PIN)
        for n, at in (("a", (0, 0)), ("b", (100, 0)), ("c", (0, 50)))
    ]
    thing = piece(*feet, flips=False)
    found = attainable_poses(grid(), thing, 0.0, Hole(5, 5), {Hole(5, 6)}).found
    assert [s.low for s in found] == [-90.0, 90.0, 180.0]
    assert all(len(s.seats) == 3 for s in found)
    assert found[1].seats[2].hole == (4, 5)
    peg = piece(hole("h", 50, 0), *feet, flips=False)
    by_hole = attainable_poses(grid(), peg, PIN, Hole(5, 5), first=peg.mounts[0]).found
    assert by_hole
    assert all({s.feature for s in f.seats} == {"h", "a", "b", "c"} for f in by_hole)
    askew = piece(feet[0], feet[1], Shank(id="c", at=(10, 60), diameter=PIN), flips=False)
    assert attainable_poses(grid(), askew, 0.0, Hole(5, 5)).found == ()


def test_linked_slots_come_from_the_kernel() -> None:
    cross = piece(slot("s", 0, 0, 200, 0), slot("t", 0, -200, 0, 200), flips=False)
    found = attainable_poses(grid(), cross, PIN, Hole(10, 10)).found
    assert found
    ranges = [s for s in found if s.high > s.low]
    assert all(s.slide_high > s.slide_low for s in ranges)
    assert len({s.seats for s in ranges}) < len(ranges)
    at_a_point = [s for s in found if s.high == s.low]  # both pins at the far ends of their slots
    assert len(at_a_point) == 8
    for pose in at_a_point:
        assert pose.base == pytest.approx(200.0 * math.sqrt(2.0))
        assert pose.slide_low == pose.slide_high == 200.0
        assert pose.low in (-90.0, 0.0, 90.0, 180.0)


LOCKED = piece(
    hole("a", 0, 0),
    hole("b", 50, 0),
    StraightSlot(id="lock", a=(60, 5), b=(180, 5), width=PIN, body=1),
    RoundHole(id="end", at=(150, 0), diameter=PIN, body=1),
    ArcSlot(id="ring", centre=(0, 0), radius=100, start=0, end=40, width=PIN, body=1),
    pivot=Pivot(at=(0, 0), low=-45, high=200, accuracy=0.5),
)


@pytest.mark.source("method", "brute force: every hole of the table asked of the solver one by one")
@pytest.mark.parametrize(
    "base", [Pose(400, 400, 0), Pose(410, 385, 36.87), Pose(400, 400, 90, True)]
)
def test_lock_holes_of_a_leaf(base: Pose) -> None:
    table = grid(columns=14, rows=14, marks=[HoleMark(hole=Hole(9, 7), state="blocked")])
    taken = {Hole(7, 9)}
    found, left = leaf_locks(table, LOCKED, base, PIN, taken)
    mine = sorted((s.seat.feature, s.seat.hole, s.way.low, s.way.high) for s in found)
    theirs: list[tuple[str, Hole, float, float]] = []
    for name in ("lock", "end", "ring"):
        for col in range(14):
            for row in range(14):
                ways = mount_leaf(table, LOCKED, base, seats(**{name: (col, row)}), PIN).ways
                if (col, row) in {(9, 7), (7, 9)}:
                    assert not ways or (Hole(col, row) in dict(left))
                    continue
                theirs.extend((name, Hole(col, row), w.low, w.high) for w in ways)
    assert len(mine) == len(theirs)
    for m, t in zip(mine, sorted(theirs), strict=True):
        assert m[:2] == t[:2]
        assert m[2:] == pytest.approx(t[2:], abs=1e-9)
    assert {s.way.play_deg for s in found if s.seat.feature == "ring"} <= {0.5}


@pytest.mark.source("method", "brute force: every hole of the table asked of the solver one by one")
@pytest.mark.parametrize("base", [Pose(110, 120, 0), Pose(150, 100, 53.13)])
def test_lock_holes_within_play_and_at_the_edge_of_the_table(base: Pose) -> None:
    table = grid(columns=6, rows=6, hole=PIN + 0.6)
    found, left = leaf_locks(table, LOCKED, base, PIN)
    assert left == ()  # holes off the table are not considered
    mine = sorted((s.seat.feature, s.seat.hole) for s in found)
    theirs: list[tuple[str, Hole]] = []
    for name in ("lock", "end", "ring"):
        for col in range(6):
            for row in range(6):
                ways = mount_leaf(table, LOCKED, base, seats(**{name: (col, row)}), PIN).ways
                theirs.extend((name, Hole(col, row)) for _ in ways)
    assert mine == sorted(theirs)
    assert {hole.col for _, hole in mine} & {0}
    assert {hole.row for _, hole in mine} & {0}


def test_a_piece_of_one_body_or_a_thick_pin_locks_nowhere() -> None:
    assert leaf_locks(grid(), STOP, Pose(0, 0, 0), PIN) == ((), ())
    assert leaf_locks(grid(), LOCKED, Pose(400, 400, 0), 20.0) == ((), ())
