"""The reach of an arm: its angles against the solver hole by hole, its area against sectors."""

import math

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Dot

from gridjig.model import Hole, HoleMark
from gridjig.rack import ArcSlot, Face, Pivot, Shank, Solid, StraightSlot
from gridjig.solve.mounting.leaf import mount_leaf
from gridjig.solve.mounting.mount import mount
from gridjig.solve.reach.reach import reach
from tests.solve.grid_kit import PIN, grid, hole, piece, rack, seats, slot

FACE = Face(id="f", a=(0, -20), b=(250, -20), z_low=0, z_high=25)
ARM = piece(hole("h", 0, 0), slot("s", 100, 10, 300, 10), faces=(FACE,), id="arm")
RING = piece(
    hole("h", 0, 0),
    ArcSlot(id="c", centre=(0, 0), radius=100, start=-30, end=30, width=PIN),
    faces=(FACE,),
    flips=False,
    id="ring",
)
LEAF = piece(
    hole("l", 0, 0),
    hole("r", 50, 0),
    StraightSlot(id="lock", a=(60, 0), b=(180, 0), width=PIN, body=1),
    pivot=Pivot(at=(25, 25), low=0, high=180, accuracy=0.25),
    faces=(Face(id="f", a=(0, -10), b=(200, -10), z_low=0, z_high=25, body=1),),
    flips=False,
    id="leaf",
)
RACK = rack(ARM, RING, LEAF)
HERE = Hole(7, 7)


@pytest.mark.source("method", "brute force: every hole of the table asked of the solver one by one")
def test_single_angles_each_with_its_lock_hole() -> None:
    table = grid(columns=15, rows=13, marks=[HoleMark(hole=Hole(9, 9), state="blocked")])
    taken = {Hole(11, 7)}
    found = reach(table, RACK, ARM, HERE, taken)
    theirs = set()
    for flipped in (False, True):
        for col in range(15):
            for row in range(13):
                if (col, row) not in {(9, 9), (11, 7), (7, 7)}:
                    ways = mount(table, ARM, seats(h=HERE, s=(col, row)), PIN, flipped).ways
                    theirs |= {(round(w.turn_low, 6), flipped, (col, row)) for w in ways}
    assert {(round(a.low, 6), a.flipped, a.seats[1].hole) for a in found.angles} == theirs
    assert len(found.angles) == len(theirs)
    assert all(a.low == a.high and a.leaf is None and not a.scale for a in found.angles)
    left = dict(found.left_out)
    assert (left[Hole(9, 9)], left[Hole(11, 7)]) == ("blocked", "taken")
    assert left[Hole(7, 13)] == "off the table"
    assert {a.flipped for a in reach(table, RACK, ARM, HERE, flipped=True).angles} == {True}


@pytest.mark.source(
    "method", "geometry: area of a sector; every face of a fine sweep by shapely 2.1"
)
def test_ranges_and_the_area_they_cover() -> None:
    only_east = {Hole(7, 9), Hole(7, 5), Hole(5, 7)}
    found = reach(grid(), RACK, RING, HERE, only_east)
    (angle,) = found.angles
    assert (angle.low, angle.high) == (-30.0, 30.0)
    x, y = grid().at(HERE)
    outer = math.hypot(250, 20)
    swept = outer**2 * math.radians(60) / 2
    one = 250 * 20 / 2
    inner = outer * outer / 2 * math.atan2(20, 250)
    assert swept < found.area.area <= (swept + one - inner + inner) * 1.001 + one
    for k in range(-300, 301):
        c, s = math.cos(math.radians(k / 10)), math.sin(math.radians(k / 10))
        face = LineString([(x + 20 * s, y - 20 * c), (x + 250 * c + 20 * s, y + 250 * s - 20 * c)])
        assert face.difference(found.area.buffer(1e-7)).length < 1e-9
    assert found.area.difference(Dot(x, y).buffer(outer * 1.0001, quad_segs=256)).area < 1e-3


def test_a_pinned_pose_covers_the_strip_of_its_face() -> None:
    bar = piece(hole("a", 0, 0), hole("b", 50, 0), faces=(FACE,), flips=False)
    others = {Hole(7, 8), Hole(7, 6), Hole(6, 7)}
    found = reach(grid(), rack(bar), bar, HERE, others)
    x, y = grid().at(HERE)
    assert found.area.equals(Polygon([(x, y), (x, y - 20), (x + 250, y - 20)]))


def test_what_slides_covers_all_its_slide() -> None:
    end = Face(id="f", a=(120, -20), b=(120, 20), z_low=0, z_high=9)
    stop = piece(slot("s", 0, 0, 100, 0), faces=(end,), flips=False)
    others = {Hole(c, r) for c in range(25) for r in range(25)} - {HERE, Hole(8, 7)}
    found = reach(grid(), rack(stop), stop, HERE, others)
    x, y = grid().at(HERE)
    assert found.area.covers(LineString([(x + 70, y), (x + 120, y)]))
    assert not found.area.covers(Dot(x + 120.1, y))
    assert [a.low for a in found.angles] == [0.0, 180.0]


def test_crossing_slots_and_pieces_without_faces_have_an_area_too() -> None:
    box = Solid(outline=((-20, -20), (220, -20), (220, 280), (-20, 280)), z_low=0, z_high=9)
    cross = piece(slot("s", 0, 0, 200, 0), slot("t", 0, 60, 0, 120), solids=(box,), flips=False)
    found = reach(grid(), rack(cross), cross, Hole(12, 12))
    assert found.angles
    assert found.area.area > 300 * 240
    post = piece(Shank(id="p", at=(0, 0), diameter=PIN), solids=(box,))
    assert reach(grid(), rack(post), post, HERE).area.area >= math.pi * math.hypot(220, 280) ** 2
    bare = piece(Shank(id="p", at=(0, 0), diameter=PIN))
    assert reach(grid(), rack(bare), bare, HERE).area.is_empty


@pytest.mark.source("method", "brute force: every base and every lock hole asked of the solver")
def test_a_leaf_by_its_scale_and_by_its_lock_holes() -> None:
    table = grid(columns=15, rows=15)
    found = reach(table, RACK, LEAF, HERE)
    scale = [a for a in found.angles if a.scale]
    assert len(scale) == 4
    assert all(a.high - a.low == 180.0 and a.leaf == (0, 180) for a in scale)
    assert all(a.play_deg == pytest.approx(0.25) for a in scale)
    theirs = set()
    for right in ((8, 7), (7, 8), (6, 7), (7, 6)):
        (way,) = mount(table, LEAF, seats(l=HERE, r=right), PIN).ways
        base = way.pose(0, 0)
        for col in range(15):
            for row in range(15):
                if (col, row) in {(7, 7), right}:
                    continue
                for leaf in mount_leaf(table, LEAF, base, seats(lock=(col, row)), PIN).ways:
                    theirs.add((right, (col, row), round(leaf.low, 6)))
    locked = {
        (a.seats[1].hole, a.seats[2].hole, round(a.leaf[0], 6))
        for a in found.angles
        if a.leaf is not None and not a.scale
    }
    assert locked == theirs
    for a in found.angles:
        assert a.scale or a.low == a.high
        assert a.leaf is not None
        base_turn = {(8, 7): 0, (7, 8): 90, (6, 7): 180, (7, 6): -90}[a.seats[1].hole]
        assert math.remainder(a.low - a.leaf[0] - base_turn, 360) == pytest.approx(0, abs=1e-6)
    x, y = table.at(HERE)
    pivot = Dot(x + 25, y + 25)
    assert found.area.intersection(pivot.buffer(201)).area > math.pi * 200**2 / 2


def test_a_leaf_turned_over_runs_the_other_way() -> None:
    over = piece(
        hole("l", 0, 0),
        hole("r", 50, 0),
        pivot=Pivot(at=(0, 0), low=0, high=90, accuracy=0.25),
    )
    east = {Hole(7, 8), Hole(7, 6), Hole(6, 7)}
    (angle,) = reach(grid(), rack(over), over, HERE, east, flipped=True).angles
    assert (angle.low, angle.high, angle.leaf) == (-90.0, 0.0, (90, 0))


def test_a_base_on_one_pin_turns_its_leaf_all_round() -> None:
    loose = piece(
        hole("l", 0, 0),
        StraightSlot(id="lock", a=(60, 0), b=(180, 0), width=PIN, body=1),
        pivot=Pivot(at=(50, 0), low=0, high=90, accuracy=0.25),
        faces=(Face(id="f", a=(0, -10), b=(100, -10), z_low=0, z_high=25, body=1),),
        flips=False,
    )
    (angle,) = reach(grid(), rack(loose), loose, HERE).angles
    assert (angle.low, angle.high, angle.scale) == (-180.0, 180.0, True)
