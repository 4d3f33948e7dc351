"""The second body of an arm: free, set by scale, or locked; compared with circles in shapely."""

import math

import pytest
from shapely.geometry import LineString
from shapely.geometry import Point as Dot

from gridjig.geometry import Pose
from gridjig.model import Hole
from gridjig.rack import ArcSlot, Pivot, RoundHole, StraightSlot
from gridjig.solve.mounting.faults import HoleUsedTwice
from gridjig.solve.mounting.leaf import leaf_pose, mount_leaf
from tests.solve.grid_kit import PIN, grid, hole, piece, said, seats

LOCK = StraightSlot(id="lock", a=(62.5, 0), b=(175, 0), width=PIN + 0.2, body=1)
ARM = piece(
    hole("left", 0, 0),
    hole("right", 50, 0),
    LOCK,
    RoundHole(id="end", at=(150, 0), diameter=PIN, body=1),
    ArcSlot(id="ring", centre=(0, 0), radius=100, start=0, end=30, width=PIN, body=1),
    pivot=Pivot(at=(25, 40), low=0, high=180, accuracy=0.25),
)
BASE = Pose(300.0, 300.0, 0.0)
TURNED = Pose(300.0, 300.0, 90.0)
OVER = Pose(300.0, 300.0, 0.0, True)


def test_by_the_scale() -> None:
    (way,) = mount_leaf(grid(), ARM, BASE, seats(left=(5, 5)), PIN).ways
    assert (way.low, way.high, way.hole, way.play_deg) == (0, 180, None, 0.25)


@pytest.mark.parametrize("base", [BASE, TURNED, OVER])
def test_the_leaf_turns_about_its_pivot(base: Pose) -> None:
    pose = leaf_pose(ARM, base, 30.0)
    assert (pose.x, pose.y) == base.point((25, 40))
    out = (25 + 100 * math.cos(math.radians(30)), 40 + 100 * math.sin(math.radians(30)))
    assert pose.point((100, 0)) == pytest.approx(base.point(out))


@pytest.mark.source(
    "method", "brute force over all holes: the pivot-hole line by shapely 2.1 against the slot"
)
@pytest.mark.parametrize("base", [BASE, TURNED, OVER])
def test_locked_through_the_slot(base: Pose) -> None:
    table = grid(columns=12, rows=12)
    x, y = base.point((25, 40))
    slot = LineString([LOCK.a, LOCK.b])
    for col in range(12):
        for row in range(12):
            hx, hy = table.at(Hole(col, row))
            far = math.hypot(hx - x, hy - y)
            on_table = math.degrees(math.atan2(hy - y, hx - x))
            leaf = (base.turn - on_table if base.flipped else on_table - base.turn) % 360.0
            fits = slot.distance(Dot(far, 0)) <= 0.1 + 1e-9 and leaf <= 180.0
            ways = mount_leaf(table, ARM, base, seats(lock=(col, row)), PIN).ways
            assert len(ways) == int(fits), (col, row)
            for way in ways:
                assert way.low == way.high == pytest.approx(leaf)
                assert way.hole == (col, row)
                assert way.play_deg == pytest.approx(math.degrees(math.asin(0.1 / far)))


def test_two_locks_must_agree() -> None:
    ring = Pose(275.0, 260.0, 0.0)  # the pivot is in the hole (5, 5)
    both = mount_leaf(grid(), ARM, ring, seats(lock=(6, 5), end=(8, 5)), PIN)
    assert both.ways == ()
    one = mount_leaf(grid(), ARM, ring, seats(lock=(7, 5), end=(8, 5)), PIN).ways
    assert [(w.low, w.hole) for w in one] == [(0.0, (8, 5))]
    apart = mount_leaf(grid(), ARM, ring, seats(lock=(5, 7), end=(8, 5)), PIN)
    assert apart.ways == ()


def test_a_ring_about_the_pivot_leaves_a_range() -> None:
    ring = Pose(275.0, 260.0, 0.0)
    (way,) = mount_leaf(grid(), ARM, ring, seats(ring=(5, 7)), PIN).ways
    assert (way.low, way.high) == (60.0, 90.0)
    assert way.play_deg == 0.25
    (clipped,) = mount_leaf(grid(), ARM, ring, seats(ring=(7, 5)), PIN).ways
    assert (clipped.low, clipped.high, clipped.play_deg) == (0.0, 0.0, 0.25)


def test_refusals() -> None:
    bare = piece(hole("left", 0, 0))
    assert said(mount_leaf(grid(), bare, BASE, (), PIN).why) == "test piece has no leaf to set."
    below = mount_leaf(grid(), ARM, Pose(275.0, 260.0, 0.0), seats(end=(5, 2)), PIN)
    assert said(below.why) == "A pin there would hold test piece outside its scale."
    far = mount_leaf(grid(), ARM, BASE, seats(end=(20, 5)), PIN)
    assert far.nearest(0.0) is None
    assert said(far.why) == "Hole U6 is ≈726.1 mm from the pivot; the arm needs 150 mm."
    slot = mount_leaf(grid(), ARM, BASE, seats(lock=(20, 5)), PIN)
    assert "the arm needs 62.5 mm to 175 mm." in said(slot.why)
    thick = mount_leaf(grid(), ARM, BASE, seats(end=(8, 5)), 17.0)
    assert "A 17 mm pin does not fit hole" in said(thick.why)


def test_the_nearest_way_does_not_wrap_round_the_scale() -> None:
    free = mount_leaf(grid(), ARM, BASE, (), PIN)
    found = free.nearest(350.0)
    assert found is not None
    assert found[1] == 180.0


def test_a_full_scale_keeps_both_of_its_ends() -> None:
    wheel = piece(
        hole("left", 0, 0),
        RoundHole(id="end", at=(150, 0), diameter=PIN, body=1),
        pivot=Pivot(at=(0, 0), low=-180, high=180, accuracy=0.5),
    )
    ways = mount_leaf(grid(), wheel, BASE, seats(end=(2, 5)), PIN).ways
    assert [w.low for w in ways] == [-180.0, 180.0]


def test_the_lock_pin_needs_a_hole_of_its_own() -> None:
    """Half a turn further it would find the hole that already pins the base."""
    arm = piece(
        hole("left", 0, 0),
        hole("right", 100, 0),
        RoundHole(id="lock", at=(50, 0), diameter=PIN, body=1),
        pivot=Pivot(at=(50, 0), low=0, high=180, accuracy=0.25),
    )
    base = seats(left=(5, 5), right=(7, 5))
    why = mount_leaf(grid(), arm, BASE, (*base, *seats(lock=(5, 5))), PIN)
    assert why.ways == ()
    assert why.why == HoleUsedTwice(Hole(5, 5))
    (way,) = mount_leaf(grid(), arm, BASE, (*base, *seats(lock=(6, 6))), PIN).ways
    assert way.low == way.high == 90.0
    assert mount_leaf(grid(), arm, BASE, seats(lock=(5, 5)), PIN).ways  # only the hole matters
