"""Solving a placement: nearest to its choices, nothing moved silently, faults in words."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from shapely import affinity
from shapely.geometry import Point, Polygon

from gridjig.model import Hole, HoleMark, Placement
from gridjig.rack import ArcSlot, ClampTip, Face, Pivot, Rest, Round, RoundHole, Shank, Solid
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from tests.solve.grid_kit import PIN, grid, hole, piece, put, rack, said, seats, slot

BOX = ((-20.0, -20.0), (120.0, -20.0), (120.0, 30.0), (-20.0, 30.0))
STOP = piece(
    slot("s", 0, 0, 100, 0),
    solids=(Solid(outline=BOX, z_low=0, z_high=25),),
    faces=(
        Face(id="front", a=(120, -20), b=(120, 30), z_low=2, z_high=25),
        Face(id="side", a=(-20, -20), b=(120, -20), z_low=2, z_high=25),
    ),
    rounds=(Round(id="r", centre=(110, 0), radius=8, z_low=0, z_high=40),),
    rests=(Rest(centre=(100, 0), radius=10, z=25),),
)
SHIM = piece(id="shim", kind="shim", thickness=2.0, solids=(Solid(outline=BOX, z_low=0, z_high=2),))
RISER = piece(id="riser", kind="riser", thickness=50.0)
ARM = piece(
    hole("left", 0, 0),
    hole("right", 100, 0),
    RoundHole(id="end", at=(150, 0), diameter=PIN, body=1),
    id="arm",
    pivot=Pivot(at=(50, 50), low=0, high=180, accuracy=0.25),
    solids=(
        Solid(outline=BOX, z_low=0, z_high=20),
        Solid(outline=((0, -10), (200, -10), (200, 10), (0, 10)), z_low=20, z_high=40, body=1),
    ),
    faces=(Face(id="f", a=(0, -10), b=(200, -10), z_low=20, z_high=40, body=1),),
)
CLAMP = piece(
    Shank(id="post", at=(0, 0), diameter=PIN),
    id="clamp",
    tip=ClampTip(
        at=(0, 0),
        direction=90,
        push="down",
        reach_min=50,
        reach_max=150,
        z_low=0,
        z_high=120,
        pad_radius=10,
        bar_width=20,
        bar_z_low=80,
        bar_z_high=100,
        handle_radius=160,
        handle_start=150,
        handle_end=210,
    ),
)
RACK = rack(STOP, SHIM, RISER, ARM, CLAMP)
TWO = seats(s=(5, 5), s_=(6, 5))


def stood(placement: Placement, marks: tuple[HoleMark, ...] = ()) -> PlacedPiece:
    return solve_placement(grid(marks=marks), RACK, placement)


def test_it_is_placed_where_it_was_requested() -> None:
    found = stood(put(STOP, TWO, slide=20.0))
    assert (found.fault, found.off, found.slide) == (None, (), 20.0)
    assert found.poses[0].point((20, 0)) == (300.0, 300.0)
    assert found.holes == (Hole(5, 5), Hole(6, 5))
    assert found.way is not None
    assert found.way.kind == "slides"
    assert len(found.ways) == 2
    assert found.faces[0].a == (400.0, 280.0)
    assert found.faces[0].normal == (1.0, 0.0)
    assert found.rounds[0].centre == (390.0, 300.0)
    assert found.rests[0].z == 25.0


def test_nothing_moves_silently() -> None:
    found = stood(put(STOP, TWO, turn=3.0, slide=80.0))
    assert found.fault is None
    assert found.off == ("turn", "slide")
    assert (found.turn, found.slide) == (0.0, 50.0)
    other = stood(put(STOP, TWO, turn=170.0, slide=80.0))
    assert (other.turn, other.slide, other.off) == (180.0, 80.0, ("turn",))


def test_lift_and_packing() -> None:
    found = stood(put(STOP, TWO, lift=("riser", "shim"), packing=("shim", "shim")))
    assert found.z == 52.0
    assert found.faces[0].a[0] == 300 + 120 + 4
    assert (found.faces[0].z_low, found.faces[0].z_high) == (54.0, 77.0)
    assert found.faces[1].a == (280.0, 280.0)
    lift = [s for s in found.solids if s.role == "lift"]
    assert [(s.z_low, s.z_high) for s in lift] == [(50.0, 52.0)]
    (pack,) = [s for s in found.solids if s.role == "packing"]
    assert Polygon(pack.points).bounds == (420.0, 280.0, 424.0, 330.0)
    assert Polygon(pack.points).exterior.is_ccw


def test_packing_at_a_round_pin_stands_on_its_own_x_side() -> None:
    disc = Round(id="r", centre=(0, 0), radius=15, z_low=0, z_high=40)
    pin = piece(Shank(id="p", at=(0, 0), diameter=PIN), id="pin", rounds=(disc,))
    placement = put(pin, seats(p=(5, 5)), turn=90.0, packing=("shim",))
    found = solve_placement(grid(), rack(pin, SHIM), placement)
    (pack,) = found.solids
    assert pack.role == "packing"
    assert Polygon(pack.points).bounds == pytest.approx((285, 315, 315, 317))
    assert (found.fault, found.rounds[0].radius) == (None, 15)


def test_a_clamp_has_a_bar_a_handle_and_a_tip() -> None:
    found = stood(put(CLAMP, seats(post=(5, 5)), reach=100.0))
    assert found.tip is not None
    assert found.tip.at == (300.0, 400.0)
    assert found.tip.direction == 90.0
    bar, handle = found.solids
    assert Polygon(bar.points).bounds == pytest.approx((290, 300, 310, 410))
    assert (bar.z_low, bar.z_high, bar.role) == (80, 100, "bar")
    assert handle.role == "handle"
    area = Polygon(handle.points).area
    assert math.pi * 160**2 / 6 <= area <= math.pi * 160**2 / 6 * 1.005
    far = stood(put(CLAMP, seats(post=(5, 5)), reach=400.0))
    assert (far.reach, far.off) == (150.0, ("reach",))


def test_a_handle_that_swings_past_180_and_one_that_does_not_swing() -> None:
    tip = CLAMP.tip
    assert tip is not None
    round_back = piece(
        Shank(id="post", at=(0, 0), diameter=PIN), id="c2", tip=_tip(tip, handle_end=-150.0)
    )
    stiff = piece(
        Shank(id="post", at=(0, 0), diameter=PIN), id="c3", tip=_tip(tip, handle_radius=0.0)
    )
    both = rack(round_back, stiff)
    one = solve_placement(grid(), both, put(round_back, seats(post=(5, 5)), reach=100.0))
    same = stood(put(CLAMP, seats(post=(5, 5)), reach=100.0))
    assert Polygon(one.solids[1].points).equals(Polygon(same.solids[1].points))
    other = solve_placement(grid(), both, put(stiff, seats(post=(5, 5)), reach=100.0))
    assert [s.role for s in other.solids] == ["bar"]


def _tip(tip: ClampTip, **more: float) -> ClampTip:
    values = {name: getattr(tip, name) for name in tip.__struct_fields__}
    return ClampTip(**{**values, **more})


def test_an_arm_by_its_scale_and_locked() -> None:
    base = seats(left=(5, 5), right=(7, 5))
    free = stood(put(ARM, base, leaf=30.0))
    assert (free.leaf, free.leaf_low, free.leaf_high, free.leaf_hole) == (30.0, 0, 180, None)
    assert free.leaf_play == 0.25
    assert free.poses[1].turn == 30.0
    assert {s.role for s in free.solids} == {"body", "leaf"}
    beyond = stood(put(ARM, base, leaf=200.0))
    assert (beyond.leaf, beyond.off) == (180.0, ("leaf",))
    locked = stood(put(ARM, base + seats(end=(6, 9)), leaf=80.0))
    assert (locked.fault, locked.leaf, locked.leaf_hole) == (None, 90.0, Hole(6, 9))
    assert locked.off == ("leaf",)
    assert locked.faces[0].normal == (1.0, 0.0)


def test_an_arm_is_only_locked_on_a_base_that_stands_fast() -> None:
    one_pin = put(ARM, seats(left=(5, 5), end=(6, 9)), leaf=90.0)
    fault = stood(one_pin).fault
    assert said(fault) == "Pin the base of test piece in two holes before locking its arm."
    far = stood(put(ARM, seats(left=(5, 5), right=(7, 5), end=(20, 20)), leaf=90.0))
    assert far.fault is not None
    assert "from the pivot" in said(far.fault)
    assert far.poses[1].turn == 90.0


@pytest.mark.parametrize(
    ("placement", "fault"),
    [
        (
            put(STOP, seats(s=(5, 5), s_=(9, 5))),
            "Holes F6 and J6 are 200 mm apart; this piece needs 100 mm or less.",
        ),
        (
            put(STOP, seats(s=(30, 5))),
            "A pin would be off the table, 6 holes past its right edge.",
        ),
        (put(STOP, seats(s=(3, 3))), "Hole D4 is blocked."),
        (put(STOP, seats(s=(4, 4))), "Hole E5 is damaged."),
        (put(STOP, seats(q=(6, 6))), "test piece has no hole or slot called q."),
        (put(STOP, TWO, lift=("nothing",)), "Piece nothing is not on the rack."),
        (put(STOP, TWO, packing=("nothing",)), "Piece nothing is not on the rack."),
        (
            put(CLAMP, seats(post=(5, 5)), packing=("shim",)),
            "test piece has no face to put packing against.",
        ),
        (put(piece(id="gone"), TWO), "Piece gone is not on the rack."),
    ],
)
def test_faults_in_words(placement: Placement, fault: str) -> None:
    marks = (
        HoleMark(hole=Hole(3, 3), state="blocked"),
        HoleMark(hole=Hole(4, 4), state="damaged"),
    )
    found = stood(placement, marks)
    assert said(found.fault) == fault
    assert found.holes == tuple(s.hole for s in placement.seats)


def test_what_cannot_stand_is_still_shown_where_it_would_be() -> None:
    found = stood(put(STOP, seats(s=(5, 5), s_=(9, 5)), turn=90.0, slide=30.0))
    assert found.way is None
    assert found.poses[0].point((30, 0)) == (300.0, 300.0)
    assert found.solids
    unknown = stood(put(STOP, seats(q=(6, 6)), turn=90.0))
    assert unknown.poses[0].point((0, 0)) == (350.0, 350.0)
    gone = stood(put(piece(id="gone"), TWO))
    assert (gone.poses, gone.solids, gone.piece) == ((), (), None)


def test_every_pin_of_its_own_needs_a_hole() -> None:
    two = piece(Shank(id="a", at=(0, 0), diameter=PIN), Shank(id="b", at=(50, 0), diameter=PIN))
    found = solve_placement(grid(), rack(two), put(two, seats(a=(5, 5))))
    assert said(found.fault) == "b of test piece is in no hole; each of its pins must be in one."
    assert solve_placement(grid(), rack(two), put(two, seats(a=(5, 5), b=(6, 5)))).fault is None


def test_a_shallow_or_a_reserved_hole_is_no_fault() -> None:
    marks = (
        HoleMark(hole=Hole(5, 5), state="shallow", size=10.0),
        HoleMark(hole=Hole(6, 5), state="reserved"),
    )
    assert stood(put(STOP, TWO), marks).fault is None


def test_flipped_faces_keep_the_normal_to_the_right() -> None:
    found = stood(put(STOP, TWO, flipped=True))
    for face in found.faces:
        (ax, ay), (bx, by) = face.a, face.b
        nx, ny = face.normal
        assert (bx - ax) * ny - (by - ay) * nx < 0
    assert found.faces[1].normal == (0.0, 1.0)
    assert Polygon(found.solids[0].points).exterior.is_ccw


@pytest.mark.source("library", "shapely 2.1", "affinity.scale, rotate, translate")
@given(st.floats(-400, 400), st.booleans())
def test_outlines_stand_as_shapely_moves_them(turn: float, flipped: bool) -> None:
    thing = piece(hole("h", 0, 0), id="t", solids=(Solid(outline=BOX, z_low=0, z_high=5),))
    found = solve_placement(
        grid(), rack(thing), put(thing, seats(h=(5, 5)), turn=turn, flipped=flipped)
    )
    shape = Polygon(BOX)
    if flipped:
        shape = affinity.scale(shape, 1, -1, origin=(0, 0))
    shape = affinity.translate(affinity.rotate(shape, turn, origin=(0, 0)), 300, 300)
    mine = Polygon(found.solids[0].points)
    assert mine.symmetric_difference(shape).area < 1e-6
    assert mine.exterior.is_ccw
    assert found.off == ()


def test_a_stand_depends_on_nothing_but_its_values() -> None:
    placement = put(STOP, TWO, slide=20.0, packing=("shim",))
    again = Placement(**{f: getattr(placement, f) for f in placement.__struct_fields__})
    assert stood(placement) == stood(again)


def test_a_ring_slot_as_a_choice_of_turn() -> None:
    ring = ArcSlot(id="c", centre=(0, 0), radius=100, start=0, end=90, width=PIN)
    thing = piece(hole("h", 0, 0), ring, id="t")
    found = solve_placement(
        grid(), rack(thing), put(thing, seats(h=(5, 5), c=(7, 5)), turn=-30.0, slide=999.0)
    )
    assert (found.turn, found.off) == (-30.0, ())
    assert found.slide == pytest.approx(100 * math.radians(30))


def test_a_clamp_on_a_riser_has_its_bar_and_handle_higher_by_it() -> None:
    assert CLAMP.tip is not None
    tip = structs.replace(CLAMP.tip, handle_radius=80.0, handle_start=100.0, handle_end=80.0)
    swung = structs.replace(CLAMP, tip=tip)
    post = put(swung, seats(post=(6, 6)), reach=100.0, turn=30.0)
    low = solve_placement(grid(), rack(swung, RISER), post)
    high = solve_placement(grid(), rack(swung, RISER), structs.replace(post, lift=("riser",)))
    assert {s.role for s in low.solids} >= {"bar", "handle"}
    for part in ("bar", "handle"):
        (one,) = (s for s in low.solids if s.role == part)
        (other,) = (s for s in high.solids if s.role == part)
        assert (one.z_low, one.z_high) == (tip.bar_z_low, tip.bar_z_high)
        assert (other.z_low - one.z_low, other.z_high - one.z_high) == (50.0, 50.0)
        assert other.points == one.points
    (sweep,) = (Polygon(s.points) for s in low.solids if s.role == "handle")
    whole = math.pi * 80.0**2
    assert sweep.area == pytest.approx(whole * 340 / 360, rel=0.01)


def test_the_solids_of_a_stack_lie_one_on_another() -> None:
    """A riser with a head above its foot: each solid keeps its own height in the stack."""
    stepped = structs.replace(
        RISER,
        id="stepped",
        solids=(Solid(outline=BOX, z_low=0, z_high=20), Solid(outline=BOX, z_low=20, z_high=50)),
    )
    there = put(STOP, TWO, lift=("shim", "stepped", "stepped"))
    found = solve_placement(grid(), rack(STOP, SHIM, stepped), there)
    lifts = [(s.z_low, s.z_high) for s in found.solids if s.role == "lift"]
    assert lifts == [(0, 2), (2, 22), (22, 52), (52, 72), (72, 102)]
    assert found.z == 102.0


@pytest.mark.parametrize(("off", "had"), [(0.049, True), (0.051, False)])
def test_half_a_tenth_counts_as_attained_and_no_more(off: float, had: bool) -> None:
    slid = stood(put(STOP, TWO, slide=50.0 + off))
    assert (slid.slide, "slide" not in slid.off) == (50.0, had)
    post = put(CLAMP, seats(post=(6, 6)), reach=150.0 + off)
    assert ("reach" not in solve_placement(grid(), rack(CLAMP), post).off) == had
    turned = put(STOP, TWO, turn=off / 10)
    assert ("turn" not in stood(turned).off) == had


@pytest.mark.source(
    "method", "plane geometry: a point set out along a direction, turned and mirrored"
)
@pytest.mark.parametrize("flipped", [False, True])
@pytest.mark.parametrize("turn", [0.0, 35.0, -120.0])
def test_a_tip_set_beside_its_post_is_where_the_bar_ends(turn: float, flipped: bool) -> None:
    assert CLAMP.tip is not None
    tip = structs.replace(CLAMP.tip, at=(14.0, -33.0), direction=25.0, z_low=7.0)
    aside = structs.replace(CLAMP, tip=tip, flips=True)
    there = put(aside, seats(post=(6, 6)), reach=90.0, turn=turn, flipped=flipped, lift=("riser",))
    found = solve_placement(grid(), rack(aside, RISER), there)
    a, m = math.radians(25.0), -1.0 if flipped else 1.0
    x, y = 14.0 + 90.0 * math.cos(a), m * (-33.0 + 90.0 * math.sin(a))
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    wanted = (350.0 + c * x - s * y, 350.0 + s * x + c * y)
    assert found.fault is None
    assert found.tip is not None
    assert found.tip.at == pytest.approx(wanted)
    assert math.remainder(found.tip.direction - turn - 25.0 * m, 360.0) == pytest.approx(0.0)
    assert (found.tip.z_low, found.tip.z_high) == (57.0, tip.z_high + 50.0)
    (bar,) = (Polygon(one.points) for one in found.solids if one.role == "bar")
    assert bar.covers(Point(wanted).buffer(1.0))
