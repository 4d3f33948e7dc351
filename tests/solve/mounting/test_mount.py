"""The mount solver: freedoms, exact quarter turns, further pins, reasons in words."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.geometry import Pose
from gridjig.model import Hole, HoleMark, Seat
from gridjig.rack import ArcSlot, Piece, Shank
from gridjig.solve.mounting.faults import HolesApart, HolesDisagree
from gridjig.solve.mounting.mount import mount
from gridjig.solve.mounting.ways import Way
from gridjig.units import Display
from tests.solve.grid_kit import PIN, grid, hole, mounted, piece, said, seats, slot

ARC = ArcSlot(id="c", centre=(0, 0), radius=250, start=0, end=90, width=PIN)
ARM = piece(hole("h", 0, 0), slot("s", 100, 10, 300, 10), ARC)
SQUARE = piece(hole("o", 0, 0), hole("x", 100, 0), hole("y", 0, 100))


def one(*ways: Way) -> Way:
    (way,) = ways
    return way


def test_one_hole_turns() -> None:
    way = one(*mounted(ARM, h=(5, 5)).ways)
    assert (way.kind, way.turn_low, way.turn_high) == ("turns", -180.0, 180.0)
    assert (way.slide_low, way.slide_high, way.play_deg) == (0.0, 0.0, 0.0)
    assert way.pose(90, 7).point((10, 0)) == (300.0, 310.0)


def test_one_slot_slides_and_turns() -> None:
    way = one(*mounted(ARM, s=(5, 5)).ways)
    assert (way.kind, way.slide_low, way.slide_high) == ("slides and turns", 0.0, 200.0)
    assert way.pose(0, 50).point((150, 10)) == (300.0, 300.0)
    assert way.nearest(270, 500) == (-90.0, 200.0)


def test_two_slot_pins_slide_either_way_round() -> None:
    ways = mounted(ARM, s=(5, 5), s_=(8, 5)).ways
    assert [(w.kind, w.turn_low, w.slide_low, w.slide_high) for w in ways] == [
        ("slides", 0.0, 0.0, 50.0),
        ("slides", 180.0, 150.0, 200.0),
    ]
    assert ways[0].pose(0, 20).point((120, 10)) == (300.0, 300.0)


def test_an_arc_about_the_hole_leaves_a_range_of_turn() -> None:
    way = one(*mounted(ARM, h=(5, 5), c=(10, 5)).ways)
    assert (way.kind, way.turn_low, way.turn_high) == ("turns", -90.0, 0.0)
    turn, slide = way.nearest(-30, 0)
    assert turn == -30
    assert slide == pytest.approx(250 * math.radians(30))
    assert way.nearest(100, 0)[0] == 0.0
    assert way.nearest(-130, 0)[0] == -90.0
    over = one(*mounted(ARM, None, True, h=(5, 5), c=(0, 5)).ways)
    assert (over.turn_low, over.turn_high) == (180.0, 270.0)
    assert over.nearest(-100, 0)[0] == pytest.approx(-100)
    assert over.nearest(-45, 0)[0] == -90.0


def test_a_full_arc_turns_all_round() -> None:
    ring = ArcSlot(id="r", centre=(0, 0), radius=100, start=0, end=360, width=PIN)
    way = one(*mounted(piece(hole("h", 0, 0), ring), h=(5, 5), r=(7, 5)).ways)
    assert (way.turn_low, way.turn_high) == (-180.0, 180.0)
    assert way.nearest(77, 0) == pytest.approx((77.0, 100 * math.radians(283)))


@pytest.mark.source("method", "exact rationals: whole steps turned by quarter turns")
@pytest.mark.parametrize("pitch", [50.0, 50.8, 100.0, 25.4])
@pytest.mark.parametrize("flipped", [False, True])
def test_quarter_turns_are_exact(pitch: float, flipped: bool) -> None:
    table = grid(pitch, 30, 30)
    for a, b in ((1, 0), (2, 1), (3, 4), (7, 5)):
        thing = piece(hole("h", 0, 0), hole("k", a * pitch, b * pitch))
        m = -1 if flipped else 1
        for quarter, (x, y) in enumerate(((a, b * m), (-b * m, a), (-a, -b * m), (b * m, -a))):
            placed = {"h": (15, 15), "k": (15 + x, 15 + y)}
            way = one(*mounted(thing, table, flipped, **placed).ways)
            pose = way.pose(0, 0)
            assert pose.turn == (0.0, 90.0, 180.0, -90.0)[quarter]
            assert (pose.x, pose.y) == table.at(Hole(15, 15))
            assert Fraction(pose.x) == Fraction(table.at(Hole(15, 15))[0])


def test_third_pin_must_agree() -> None:
    placed = {"o": (5, 5), "x": (7, 5)}
    assert one(*mounted(SQUARE, **placed, y=(5, 7)).ways).pose(0, 0).turn == 0.0


def test_third_pin_on_the_wrong_side_is_refused_in_words() -> None:
    wrong = mounted(SQUARE, o=(5, 5), x=(7, 5), y=(5, 3))
    assert said(wrong.why) == "The piece does not fit these 3 holes all at once; leave one out."


@pytest.mark.source(
    "method", "brute force: shift and turn searched on a fine grid, worst pin measured"
)
@pytest.mark.parametrize(("off", "fits"), [(0.1, True), (0.2, True), (0.75, False)])
def test_third_pin_within_play(off: float, fits: bool) -> None:
    table = grid(hole=PIN + 0.4)
    thing = piece(hole("o", 0, 0), hole("x", 100, 0), hole("y", 0, 100 + off))
    placed = seats(o=(5, 5), x=(7, 5), y=(5, 7))
    least = min(
        max(
            math.hypot(dx, dy),
            math.hypot(dx, dy + 100 * a),
            math.hypot(dx - 100 * a, dy + off),
        )
        for dx in (-0.1, 0.0, 0.1)
        for dy in (-0.4, -0.35, -0.3, -0.2, -0.1, -0.05, 0.0)
        for a in (-0.002, -0.001, 0.0, 0.001, 0.002)
    )
    assert (least <= 0.2) == fits
    ways = mount(table, thing, placed, PIN).ways
    assert bool(ways) == fits
    for way in ways:
        pose = way.pose(0, 0)
        for seat in placed:
            at = pose.point(thing.mount(seat.feature).at)  # type: ignore[union-attr]
            assert math.dist(at, table.at(seat.hole)) <= 0.2 + 1e-6


def test_hole_arc_and_slot_together_pin_the_piece() -> None:
    arm = piece(hole("h", 0, 0), slot("s", 100, 0, 300, 0), ARC)
    way = one(*mounted(arm, h=(5, 5), s=(8, 5), c=(8, 9)).ways)
    assert (way.kind, way.turn_low, way.slide_low) == ("pinned", 0.0, 50.0)
    late = one(*mounted(arm, h=(5, 5), c=(8, 9), s=(8, 5)).ways)
    assert late.turn_low == 0.0
    assert late.slide_low == pytest.approx(250 * math.atan2(4, 3))


def test_two_arcs_about_the_hole_leave_what_both_allow() -> None:
    inner = ArcSlot(id="i", centre=(0, 0), radius=100, start=0, end=60, width=PIN)
    arm = piece(hole("h", 0, 0), ARC, inner)
    way = one(*mounted(arm, h=(5, 5), c=(10, 5), i=(7, 5)).ways)
    assert (way.turn_low, way.turn_high) == (-60.0, 0.0)
    apart = mounted(arm, h=(5, 5), c=(10, 5), i=(3, 5))
    assert apart.ways == ()
    assert apart.why == HolesDisagree(3)
    wide = ArcSlot(id="w", centre=(0, 0), radius=100, start=0, end=350, width=PIN)
    broad = ArcSlot(id="b", centre=(0, 0), radius=50, start=0, end=350, width=PIN)
    both = mounted(piece(hole("h", 0, 0), wide, broad), h=(5, 5), w=(7, 5), b=(4, 5)).ways
    assert sorted((w.turn_low, w.turn_high) for w in both) == [(-170.0, 0.0), (10.0, 180.0)]


def test_three_pins_in_one_slot_slide() -> None:
    ways = mounted(ARM, s=(5, 5), s_=(7, 5), s__=(6, 5)).ways
    assert [(w.turn_low, w.slide_low, w.slide_high) for w in ways] == [
        (0.0, 0.0, pytest.approx(100)),
        (180.0, pytest.approx(100), 200.0),
    ]


def test_a_third_slot_pin_narrows_or_pins_the_slide() -> None:
    cross = piece(slot("s", 0, 0, 200, 0), slot("t", 60, -100, 60, 100))
    ways = mounted(cross, s=(5, 5), s_=(7, 5), t=(6, 6)).ways
    assert [(w.kind, w.turn_low) for w in ways] == [("pinned", 0.0), ("pinned", 180.0)]
    assert ways[0].slide_low == pytest.approx(10)
    assert ways[1].slide_low == pytest.approx(110)
    short = piece(slot("s", 0, 0, 200, 0), slot("t", 120, 50, 150, 50))
    narrowed = mounted(short, s=(5, 5), s_=(7, 5), t=(7, 6)).ways
    assert [w.kind for w in narrowed] == ["slides"]
    assert (narrowed[0].slide_low, narrowed[0].slide_high) == pytest.approx((20, 50))
    assert mounted(short, s=(5, 5), s_=(7, 5), t=(7, 7)).ways == ()


def test_a_third_pin_settles_a_linked_slide() -> None:
    cross = piece(slot("s", 0, 0, 200, 0), slot("t", 0, 60, 0, 260))
    free = mounted(cross, s=(12, 12), t=(14, 15)).ways[0]
    assert free.kind == "slides"
    assert free.turn_high > free.turn_low
    table = grid()
    slide = (free.slide_low + free.slide_high) / 2
    x, y = free.pose(0, slide).back(table.at(Hole(17, 9)))
    third = piece(*cross.mounts[:2], slot("u", x, y - 40, x, y + 60))
    ways = mounted(third, s=(12, 12), t=(14, 15), u=(17, 9)).ways
    assert "pinned" in {w.kind for w in ways}
    assert any(w.slide_low == pytest.approx(slide) for w in ways)
    for way in ways:
        for seat in way.seats:
            bx, by = way.pose(0, way.slide_low).back(table.at(seat.hole))
            off = {"s": by, "t": bx, "u": bx - x}[seat.feature]
            assert off == pytest.approx(0, abs=1e-6)


def test_pins_as_far_apart_as_the_slot_is_long_pin_it() -> None:
    way = mounted(piece(slot("s", 0, 0, 150, 0)), s=(5, 5), s_=(8, 5)).ways[0]
    assert (way.kind, way.slide_low, way.slide_high) == ("pinned", 0.0, 0.0)
    loose = grid(hole=PIN + 0.4)
    over = mounted(piece(slot("s", 0, 0, 149.9, 0)), loose, s=(5, 5), s_=(8, 5)).ways[0]
    assert over.kind == "pinned"
    assert mounted(piece(slot("s", 0, 0, 149, 0)), loose, s=(5, 5), s_=(8, 5)).ways == ()


@pytest.mark.parametrize(("length", "fits"), [(158.0, True), (157.9, True), (157.4, False)])
def test_an_end_passed_within_play_is_shared_by_both_pins(length: float, fits: bool) -> None:
    table = grid(hole=PIN + 0.3)
    thing = piece(slot("s", 0, 0, length, 0))
    ways = mounted(thing, table, s=(9, 9), s_=(6, 10)).ways
    assert len(ways) == (2 if fits else 0)
    for way in ways:
        ends = sorted(way.pose(0, 0).back(table.at(seat.hole))[0] for seat in way.seats)
        over = (math.hypot(150, 50) - length) / 2
        assert ends == pytest.approx([-over, length + over], abs=1e-9)
    two = piece(slot("s", 0, 0, 50, 0), slot("t", 110, 30, 200, 30))
    for way in mounted(two, grid(hole=PIN + 1.0), s=(9, 9), t=(10, 9)).ways:
        for seat in way.seats:
            x, y = way.pose(0, way.slide_low).back(table.at(seat.hole))
            far = math.hypot(min(50 - x, 0) if seat.feature == "s" else max(110 - x, 0), 0)
            assert math.hypot(far, y - (0 if seat.feature == "s" else 30)) <= 0.5 + 1e-6


def test_parallel_slots_that_just_touch() -> None:
    two = piece(slot("s", 0, 0, 200, 0), slot("t", 0, 100, 200, 100))
    way = one(*mounted(two, s=(5, 5), t=(5, 7)).ways)
    assert (way.turn_low, way.slide_low, way.slide_high) == (0.0, 0.0, 200.0)
    assert mounted(two, s=(5, 5), t=(5, 6)).ways == ()
    loose = grid(hole=PIN + 0.4)
    near = piece(slot("s", 0, 0, 200, 0), slot("t", 0, 100.2, 200, 100.2))
    assert one(*mounted(near, loose, s=(5, 5), t=(5, 7)).ways).kind == "slides"


def test_a_shank_has_no_play_of_its_own() -> None:
    thing = piece(
        Shank(id="a", at=(0, 0), diameter=15.8), Shank(id="b", at=(100, 0), diameter=15.8)
    )
    way = one(*mount(grid(), thing, seats(a=(5, 5), b=(7, 5)), 0.0).ways)
    assert way.play_mm == pytest.approx(0.1)


def test_an_oversize_hole_counts_as_marked() -> None:
    table = grid(marks=[HoleMark(hole=Hole(5, 5), state="oversize", size=17.0)])
    assert one(*mounted(ARM, table, h=(5, 5)).ways).play_mm == 0.5
    thick = piece(Shank(id="a", at=(0, 0), diameter=17.0))
    assert mount(table, thick, seats(a=(5, 5)), 0.0).ways
    other = said(mount(table, thick, seats(a=(6, 5)), 0.0).why)
    thicker = piece(Shank(id="a", at=(0, 0), diameter=18.0))
    assert "17 mm across" in said(mount(table, thicker, seats(a=(5, 5)), 0.0).why)
    assert other == "A 17 mm shank does not fit hole G6, which is 16 mm across."


@pytest.mark.parametrize(
    ("thing", "holes", "why"),
    [
        (
            ARM,
            {"h": (5, 5), "s": (5, 5)},
            "Hole F6 is used twice; give each pin its own hole.",
        ),
        (ARM, {"h": (5, 5), "h_": (6, 5)}, "h of test piece is used twice; it takes one pin."),
        (ARM, {"q": (5, 5)}, "test piece has no hole or slot called q."),
        (ARM, {}, "The base of test piece is in no hole; pin it first."),
        (ARM, {"h": (25, 5)}, "A pin would be off the table, 1 hole past its right edge."),
        (ARM, {"h": (5, -2)}, "A pin would be off the table, 2 holes past its front edge."),
        (ARM, {"h": (24, -2)}, "A pin would be off the table, 2 holes past its front edge."),
        (ARM, {"h": (0, 25)}, "A pin would be off the table, 1 hole past its back edge."),
        (
            ARM,
            {"h": (-1, 26)},
            "A pin would be off the table, 1 hole past its left edge and 2 holes past its"
            " back edge.",
        ),
        (
            SQUARE,
            {"o": (5, 5), "x": (9, 5)},
            "Holes F6 and J6 are 200 mm apart; this piece needs 100 mm.",
        ),
        (
            ARM,
            {"h": (5, 5), "s": (6, 5)},
            "Holes F6 and G6 are 50 mm apart; this piece needs ≈100.5 mm to ≈300.2 mm.",
        ),
        (
            piece(slot("s", 0, 0, 200, 0)),
            {"s": (5, 5), "s_": (10, 5)},
            "Holes F6 and K6 are 250 mm apart; this piece needs 200 mm or less.",
        ),
        (
            piece(hole("a", 0, 0), hole("b", 100.02, 0)),
            {"a": (5, 5), "b": (7, 5)},
            "Holes F6 and H6 are 100 mm apart; this piece needs ≈100 mm,"
            " and play does not make up the rest.",
        ),
        (
            piece(hole("a", 0, 0, 15.0)),
            {"a": (5, 5)},
            "A 16 mm pin does not fit a of test piece, which is 15 mm wide.",
        ),
    ],
)
def test_refusals_say_what_and_where(
    thing: Piece, holes: dict[str, tuple[int, int]], why: str
) -> None:
    refused = mounted(thing, **holes)
    assert refused.ways == ()
    assert refused.nearest(0, 0) is None
    assert said(refused.why) == why


def test_refusals_spell_lengths_as_the_person_reads_them() -> None:
    inch = grid(50.8)
    thing = piece(hole("a", 0, 0), hole("b", 50.8, 0))
    placed = seats(a=(7, 5), b=(10, 5))
    why = mount(inch, thing, placed, PIN).why
    assert said(why, inch, Display()) == 'Holes H6 and K6 are 6" apart; this piece needs 2".'


def test_a_missing_locking_pin_and_a_thick_one_are_refused() -> None:
    assert "needs a locking pin" in said(mount(grid(), ARM, seats(h=(5, 5)), 0.0).why)
    assert (
        said(mount(grid(), ARM, seats(h=(5, 5)), 20.0).why)
        == "A 20 mm pin does not fit hole F6, which is 16 mm across."
    )
    rounding = piece(hole("h", 0, 0, PIN - 1e-9))
    assert mount(grid(), rounding, seats(h=(5, 5)), PIN).ways
    for thicker, fits in ((1e-9, True), (1e-3, False)):
        post = piece(Shank(id="a", at=(0, 0), diameter=PIN + thicker))
        ways = mount(grid(), post, seats(a=(5, 5)), 0.0).ways
        assert [way.play_mm for way in ways] == ([0.0] if fits else [])


def test_a_piece_that_does_not_flip_is_refused_turned_over() -> None:
    stiff = piece(hole("h", 0, 0), flips=False)
    why = mounted(stiff, None, True, h=(5, 5)).why
    assert said(why) == "test piece does not work turned over."


def test_features_in_one_place_are_refused() -> None:
    same = piece(hole("a", 0, 0), hole("b", 0, 0))
    assert mounted(same, a=(5, 5), b=(6, 5)).why == HolesApart(
        (Hole(5, 5), Hole(6, 5)), 50.0, 0.0, 0.0
    )


def test_values_do_not_change() -> None:
    way = mounted(ARM, h=(5, 5)).ways[0]
    with pytest.raises(AttributeError):
        way.turn_low = 3.0  # type: ignore[misc]


ARMS = st.sampled_from([ARM, SQUARE])
FEATURES = {ARM: ("h", "s"), SQUARE: ("o", "x")}
STEPS = st.tuples(st.integers(-6, 6), st.integers(-6, 6)).filter(lambda d: d != (0, 0))


@pytest.mark.source("method", "symmetry: mirroring the plane")
@given(ARMS, STEPS)
def test_mirrored_pieces_on_mirrored_holes_stand_mirrored(
    thing: Piece, step: tuple[int, int]
) -> None:
    a, b = ("h", "s") if thing is ARM else ("o", "x")
    up = mounted(thing, **{a: (12, 12), b: (12 + step[0], 12 + step[1])}).ways
    down = mounted(thing, None, True, **{a: (12, 12), b: (12 + step[0], 12 - step[1])}).ways
    assert len(up) == len(down)
    mirrored = sorted((-w.turn_low) % 360.0 for w in up)
    assert sorted(w.turn_low % 360.0 for w in down) == pytest.approx(mirrored, abs=1e-9)
    for w in up:
        twin = min(down, key=lambda d: abs(math.remainder(d.turn_low + w.turn_low, 360.0)))
        assert (twin.slide_low, twin.play_deg) == pytest.approx((w.slide_low, w.play_deg))


@pytest.mark.source("method", "symmetry: translation by whole pitches")
@given(ARMS, STEPS, st.integers(6, 17), st.integers(6, 17))
def test_moving_by_whole_pitches_changes_no_turn(
    thing: Piece, step: tuple[int, int], col: int, row: int
) -> None:
    a, b = ("h", "s") if thing is ARM else ("o", "x")
    here = mounted(thing, **{a: (8, 8), b: (8 + step[0], 8 + step[1])}).ways
    there = mounted(thing, **{a: (col, row), b: (col + step[0], row + step[1])}).ways
    assert [(w.turn_low, w.slide_low, w.play_deg) for w in here] == [
        (w.turn_low, w.slide_low, w.play_deg) for w in there
    ]


def test_the_order_of_pins_makes_no_difference_to_the_turn() -> None:
    one_way = one(*mounted(ARM, h=(5, 5), s=(8, 9)).ways)
    other = one(
        *mount(
            grid(),
            ARM,
            (Seat(feature="s", hole=Hole(8, 9)), Seat(feature="h", hole=Hole(5, 5))),
            PIN,
        ).ways
    )
    assert (one_way.turn_low, one_way.slide_low) == (other.turn_low, other.slide_low)


@pytest.mark.parametrize("off", [0.0, 0.1])
def test_a_third_pin_in_a_slot_or_an_arc_settles_within_play(off: float) -> None:
    table = grid(hole=PIN + 0.3)
    line = slot("c", -50, 100 + off, 50, 100 + off)
    arc = ArcSlot(id="c", centre=(0, 50), radius=50 + off, start=30, end=150, width=PIN)
    for third in (line, arc):
        thing = piece(hole("a", 0, 0), hole("b", 100, 0), third)
        placed = seats(a=(5, 5), b=(7, 5), c=(5, 7))
        pose = one(*mount(table, thing, placed, PIN).ways).pose(0, 0)
        assert math.dist(pose.point((0, 0)), table.at(Hole(5, 5))) <= 0.15 + 1e-6
        assert math.dist(pose.point((100, 0)), table.at(Hole(7, 5))) <= 0.15 + 1e-6
        x, y = pose.back(table.at(Hole(5, 7)))
        far = y - 100 - off if third is line else math.hypot(x, y - 50) - 50 - off
        assert abs(far) <= 0.15 + 1e-6
        assert (pose == Pose(300.0, 300.0, 0.0)) == (off == 0.0)


@pytest.mark.source("method", "brute force: the slide in 400 steps, each distance measured")
def test_a_slot_through_the_middle_of_an_arc() -> None:
    ring = ArcSlot(id="c", centre=(100, 0), radius=150, start=0, end=360, width=PIN)
    thing = piece(slot("s", 0, 0, 200, 0), ring)
    ways = mounted(thing, s=(12, 12), c=(15, 12)).ways
    assert len(ways) == 4
    table = grid()
    for way in ways:
        last = None
        for k in range(1, 400):
            slide = way.slide_low + (way.slide_high - way.slide_low) * k / 400
            pose = way.pose(0, slide)
            x, y = pose.back(table.at(Hole(15, 12)))
            assert math.hypot(x - 100, y) == pytest.approx(150, abs=1e-6)
            assert last is None or abs(math.remainder(pose.turn - last, 360)) < 3
            last = pose.turn


def test_a_slot_from_the_middle_of_an_arc_as_far_as_the_pins_are_apart() -> None:
    ring = ArcSlot(id="c", centre=(0, 0), radius=150, start=0, end=340, width=PIN)
    thing = piece(slot("s", 0, 0, 200, 0), ring)
    ways = mounted(thing, s=(12, 12), c=(15, 12)).ways
    assert ways
    for way in ways:
        for slide in (way.slide_low, way.slide_high):
            x, y = way.pose(0, slide).back(grid().at(Hole(15, 12)))
            assert math.hypot(x, y) == pytest.approx(150, abs=1e-6)


def test_the_wanted_turn_takes_precedence_if_it_depends_on_the_slide() -> None:
    cross = piece(slot("s", 0, 0, 200, 0), slot("t", 0, 60, 0, 260))
    way = mounted(cross, s=(12, 12), t=(14, 15)).ways[0]
    wish = (way.turn_low + way.turn_high) / 2
    turn, slide = way.turn_to(wish, 0.0)
    assert turn == pytest.approx(wish, abs=1e-6)
    assert way.slide_low < slide < way.slide_high
    plain = mounted(ARM, s=(5, 5), s_=(8, 5)).ways[0]
    assert plain.turn_to(12.0, 30.0) == (0.0, 30.0)


def test_a_slot_that_ends_in_the_middle_of_an_arc_slot() -> None:
    ring = ArcSlot(id="c", centre=(0, 0), radius=100, start=0, end=180, width=PIN)
    thing = piece(ring, slot("s", 0, 0, 0, -80))
    (way,) = mounted(thing, c=(5, 5), s=(8, 5)).ways
    x, y = way.pose(0, way.slide_low).back(grid().at(Hole(8, 5)))
    assert x == pytest.approx(0, abs=1e-6)
    assert -80 - 1e-6 <= y <= 1e-6


def test_equal_turns_differ_by_their_slide() -> None:
    bow = ArcSlot(id="c", centre=(100, 0), radius=60, start=10, end=170, width=PIN)
    thing = piece(slot("s", 0, 0, 250, 0), bow)
    found = mounted(thing, s=(5, 5), s_=(7, 5), c=(6, 6))
    level = [w for w in found.ways if w.turn_low == 0.0]
    assert len(level) == 2
    for way in level:
        near = found.nearest(0.0, way.slide_low)
        assert near is way
