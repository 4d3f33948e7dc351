"""The extremes of a reach: what turns all round, leaves without faces, linked slides."""

import math

import pytest
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry import Point as Dot

from gridjig.geometry import Pose
from gridjig.model import Hole, Table
from gridjig.rack import ArcSlot, Face, Pivot, Solid, StraightSlot
from gridjig.solve.mounting.mount import mount
from gridjig.solve.reach.reach import reach
from tests.solve.grid_kit import PIN, grid, hole, piece, rack, seats, slot

HERE = Hole(7, 7)
FACE = Face(id="f", a=(0, -20), b=(250, -20), z_low=0, z_high=25)
LEAF_FACE = Face(id="g", a=(0, -10), b=(200, -10), z_low=0, z_high=25, body=1)
PIVOT = Pivot(at=(25, 25), low=0, high=180, accuracy=0.25)


def others(table: Table, *but: Hole) -> set[Hole]:
    every = {Hole(c, r) for c in range(table.columns) for r in range(table.rows)}
    return every - {HERE, *but}


@pytest.mark.source("method", "geometry: area of a disc and of a ring, drawn with 256 chords")
def test_what_turns_all_round_covers_a_disc_or_a_ring() -> None:
    """One pin in a slot turns freely; so does a leaf's base on one pin."""
    bar = piece(hole("h", 0, 0), faces=(FACE,), flips=False)
    table = grid()
    x, y = table.at(HERE)
    far = math.hypot(250, 20)
    area = reach(table, rack(bar), bar, HERE).area
    assert math.pi * far**2 <= area.area <= math.pi * far**2 * 1.0002
    assert area.covers(Dot(x, y).buffer(far * 0.9999, quad_segs=64))
    chords = 1.0 / math.cos(math.pi / 256)
    assert Dot(x, y).buffer(far * chords * 1.000001, quad_segs=512).covers(area)
    loose = piece(
        hole("l", 0, 0),
        pivot=Pivot(at=(300, 0), low=80, high=100, accuracy=0.25),
        faces=(LEAF_FACE,),
        flips=False,
    )
    ring = reach(table, rack(loose), loose, HERE).area
    # The leaf is about square to its base; its corner nearest the pin is at least 290 mm out.
    assert not ring.intersects(Dot(x, y).buffer(250))
    assert shapely.get_num_interior_rings(ring) == 1
    most = max(
        math.hypot(300 + u * math.cos(a) - v * math.sin(a), u * math.sin(a) + v * math.cos(a))
        for a in map(math.radians, (80, 90, 100))
        for u, v in ((0, -10), (200, -10))
    )
    assert math.sqrt(ring.convex_hull.area / math.pi) == pytest.approx(most, rel=1e-3)


def test_an_arm_whose_first_face_is_on_its_base_counts_as_a_plain_one() -> None:
    two = piece(
        hole("l", 0, 0), hole("r", 50, 0), pivot=PIVOT, faces=(FACE, LEAF_FACE), flips=False
    )
    found = reach(grid(), rack(two), two, HERE, others(grid(), Hole(8, 7)))
    (angle,) = found.angles
    assert (angle.low, angle.high, angle.leaf, angle.scale) == (0.0, 0.0, None, False)
    x, y = grid().at(HERE)
    assert found.area.equals(Polygon([(x, y), (x, y - 20), (x + 250, y - 20)]))


def test_a_leaf_without_faces_covers_its_outline() -> None:
    plate = Solid(outline=((-10, -10), (200, -10), (200, 10), (-10, 10)), z_low=0, z_high=9, body=1)
    base = Solid(outline=((-10, -60), (60, -60), (60, 60), (-10, 60)), z_low=0, z_high=9)
    two = piece(hole("l", 0, 0), hole("r", 50, 0), pivot=PIVOT, solids=(base, plate), flips=False)
    found = reach(grid(), rack(two), two, HERE, others(grid(), Hole(8, 7)))
    (angle,) = found.angles
    assert (angle.low, angle.high, angle.leaf, angle.scale) == (0.0, 180.0, (0, 180), True)
    x, y = grid().at(HERE)
    for k in range(0, 181, 3):
        pose = Pose(x + 25, y + 25, k)
        ring = Polygon([pose.point(p) for p in plate.outline])
        assert ring.difference(found.area.buffer(1e-6)).area < 1e-6
    for spot in ((0, -40), (0, -30), (50, -30)):  # where the base is and no leaf reaches
        assert not found.area.intersects(Dot(x + spot[0], y + spot[1]))


@pytest.mark.parametrize("flipped", [False, True])
def test_the_strip_of_a_face_begins_at_the_hole_it_turns_about(flipped: bool) -> None:
    bar = piece(hole("a", 10, 30), hole("b", 60, 30), faces=(FACE,))
    table = grid()
    found = reach(table, rack(bar), bar, HERE, others(table, Hole(8, 7)), flipped)
    (way,) = mount(table, bar, seats(a=HERE, b=(8, 7)), PIN, flipped).ways
    pose = way.pose(way.turn_low, 0.0)
    strip = Polygon([table.at(HERE), pose.point(FACE.a), pose.point(FACE.b)])
    assert found.area.symmetric_difference(strip).area < 1e-6


@pytest.mark.parametrize("flipped", [False, True])
def test_a_leaf_that_goes_full_circle_has_every_angle(flipped: bool) -> None:
    two = piece(
        hole("l", 0, 0),
        hole("r", 50, 0),
        pivot=Pivot(at=(25, 25), low=-120, high=240, accuracy=0.25),
        faces=(LEAF_FACE,),
    )
    found = reach(grid(), rack(two), two, HERE, others(grid(), Hole(7, 8)), flipped)
    (angle,) = found.angles
    assert (angle.low, angle.high, angle.leaf) == (-180.0, 180.0, (-120, 240))


@pytest.mark.untraced
def test_a_base_that_turns_adds_its_range_to_the_leafs() -> None:
    ring = ArcSlot(id="c", centre=(0, 0), radius=100, start=-30, end=30, width=PIN)
    for low, high, ends in ((0, 90, (-30.0, 120.0)), (-170, 130, (-180.0, 180.0))):
        two = piece(
            hole("h", 0, 0),
            ring,
            pivot=Pivot(at=(50, 0), low=low, high=high, accuracy=0.25),
            faces=(LEAF_FACE,),
            flips=False,
        )
        (angle,) = reach(grid(), rack(two), two, HERE, others(grid(), Hole(9, 7))).angles
        assert (angle.low, angle.high) == ends


def test_an_arms_own_holes_are_not_listed_as_left_out() -> None:
    two = piece(
        hole("l", 0, 0),
        hole("r", 50, 0),
        StraightSlot(id="lock", a=(-80, 0), b=(180, 0), width=PIN, body=1),
        pivot=PIVOT,
        faces=(LEAF_FACE,),
        flips=False,
    )
    table = grid()
    found = reach(table, rack(two), two, HERE, others(table, Hole(8, 7), Hole(9, 9)))
    left = dict(found.left_out)
    assert Hole(8, 7) not in left
    assert HERE not in left
    assert left[Hole(8, 8)] == "taken"


@pytest.mark.source(
    "method", "brute force: the slide in 500 steps, every face measured by shapely 2.1"
)
def test_a_linked_slide_is_covered_to_both_its_ends() -> None:
    end = Face(id="f", a=(120, -20), b=(120, 20), z_low=0, z_high=9)
    cross = piece(slot("s", 0, 0, 200, 0), slot("t", 0, 60, 0, 120), faces=(end,), flips=False)
    table = grid()
    found = reach(table, rack(cross), cross, HERE, others(table, Hole(10, 7)))
    (way,) = mount(table, cross, seats(s=HERE, t=(10, 7)), PIN).ways
    for k in range(501):
        pose = way.pose(0.0, way.slide_low + (way.slide_high - way.slide_low) * k / 500)
        line = LineString([pose.point(end.a), pose.point(end.b)])
        assert line.difference(found.area.buffer(0.02)).length < 1e-6
