"""The free value that makes a piece touch, the packing that fits, and moving the work."""

import math
import random

import pytest
from msgspec import structs

from gridjig.contact.book import contacts
from gridjig.contact.faults import MissesFace, NothingTouches
from gridjig.contact.moving import astride, shift_to_touch
from gridjig.contact.setting import Touching
from gridjig.contact.touching import to_touch, ways_to_touch
from gridjig.contact.values import TOUCH
from gridjig.edits.copies import moved
from gridjig.model import FaceOf, Hole, Job, Part, Placement
from gridjig.rack import Rack, RoundHole
from gridjig.solve.mounting.faults import HolesApart
from gridjig.solve.packing.pack import pack_down
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import BARE, FULL, PUSH, lay, look, shims
from tests.stock import ROUND, SQUARE, bar
from tests.workshop import BORE, CLAMP, LOCK, RISER, TABLE, pin, plate, put, seat, stop

AT = TABLE.at(Hole(11, 9))
INCH = 25.4

INCHES = Rack(name="Inches", pieces=(LOCK, *shims(*(INCH / n for n in (64, 32, 16, 8, 4)))))


def held(job: Job, placement: Placement) -> str:
    """What a piece does in a job."""
    there = structs.replace(job, placements=(placement,))
    found = PlacedPieces().of(there)
    return contacts(there, found).roles[placement.id].what


def what(made: Touching) -> str:
    """How a piece misses the face; "" if it touches."""
    assert made.why is None or isinstance(made.why, MissesFace)
    return "" if made.why is None else made.why.what


# -- packing --------------------------------------------------------------------------------------


@pytest.mark.source("method", "arithmetic: 1/4 + 1/8 + 1/32 = .40625")
def test_packing_is_rounded_down() -> None:
    made = pack_down(INCHES, 0.4140 * INCH)
    assert made.total / INCH == pytest.approx(0.40625)
    assert sorted(made.ids) == ["s0.79375", "s3.175", "s6.35"]
    assert made.residual / INCH == pytest.approx(0.00775)
    nothing = pack_down(INCHES, 0.0150 * INCH)
    assert nothing.pieces == ()
    assert nothing.residual / INCH == pytest.approx(0.0150)


@pytest.mark.source("method", "brute force over every choice of shims")
def test_packing_against_every_choice() -> None:
    rng = random.Random(4)
    kinds = [(INCH / n, 2) for n in (64, 32, 16, 8, 4)]
    totals: dict[int, dict[float, int]] = {4: {}, 5: {}}
    for code in range(3**5):
        counts = [code // 3**k % 3 for k in range(5)]
        total = round(sum(n * t for n, (t, _) in zip(counts, kinds, strict=True)), 6)
        for most, made_of in totals.items():
            if sum(counts) <= most:
                made_of[total] = min(made_of.get(total, 9), sum(counts))
    fives = 0
    for _ in range(300):
        gap = rng.uniform(0.0, 23.0)
        best = max(t for t in totals[4] if t <= gap + 1e-6)
        most = 4 if gap - best < INCH / 64 - 1e-6 else 5
        best = max(t for t in totals[most] if t <= gap + 1e-6)
        made = pack_down(INCHES, gap, one_more=True)
        assert made.total == pytest.approx(best, abs=1e-6)
        assert made.count == totals[most][best]
        fives += made.count == 5
        assert made.residual >= 0.0
        assert made.total + made.residual == pytest.approx(gap, abs=2e-6)
    assert fives > 10


@pytest.mark.source("method", "arithmetic: 47/64 = 1/2 + 1/8 + 1/16 + 1/32 + 1/64, five shims")
def test_a_fifth_shim_goes_in_only_where_four_leave_room_for_it() -> None:
    rack = Rack(name="Inches", pieces=(LOCK, *shims(*(INCH / n for n in (64, 32, 16, 8, 2)))))
    assert pack_down(rack, 0.746 * INCH).count == 4
    made = pack_down(rack, 0.746 * INCH, one_more=True)
    assert made.count == 5
    assert made.total / INCH == pytest.approx(47 / 64)
    assert made.residual / INCH == pytest.approx(0.746 - 47 / 64)
    four = pack_down(rack, 0.7188 * INCH, one_more=True)  # 46/64 = .71875
    assert four.count == 4
    assert pack_down(rack, 0.746 * INCH, {"s0.396875": 2}, one_more=True).count == 4


def test_packing_counts_what_stands_elsewhere_and_takes_a_gap_that_is_just_filled() -> None:
    assert pack_down(INCHES, INCH / 4).ids == ("s6.35",)
    assert pack_down(INCHES, INCH / 4 - 1e-9).ids == ("s6.35",)
    assert pack_down(INCHES, INCH / 4, {"s6.35": 2}).ids == ("s3.175", "s3.175")
    assert pack_down(Rack(name="none"), 5.0).residual == 5.0
    assert pack_down(INCHES, -3.0).residual == 0.0


# -- slides, turns, reaches -----------------------------------------------------------------------


def work(dx: float, dy: float, turn: float = 0.0, z: float = 0.0) -> tuple[Part, FaceOf]:
    """A tube whose front face passes through the point dx, dy from the middle hole; that face."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    x, y = AT[0] + dx, AT[1] + dy
    part = bar(
        SQUARE, 400, id="rail", name="Rail", x=x - 200 * c - 25 * s, y=y - 200 * s + 25 * c,
        turn=turn, z_low=z,
    )  # fmt: skip
    return part, FaceOf("rail", 0)


@pytest.mark.source("method", "arithmetic: the face stands 12 mm plus the slide from the pin")
def test_an_adjustable_stop_slides_to_the_work() -> None:
    part, face = work(0.0, 12.0 + 23.3)
    before = put("a", "adjustable", seat("s", 11, 9), seat("s", 11, 8))
    job = lay(part, rack=FULL)
    made = to_touch(job, before, face)
    assert made.touches
    assert made.changes == ("slide",)
    assert made.placement.slide == pytest.approx(23.3)
    assert made.gap == pytest.approx(0.0, abs=1e-9)
    assert made.contact is not None
    assert made.contact.length == pytest.approx(40.0)
    assert held(job, made.placement) == "locates"


def test_a_stop_half_way_out_is_taken_back_from_inside_the_work() -> None:
    part, face = work(0.0, 12.0 + 5.0)
    before = put("a", "adjustable", seat("s", 11, 9), seat("s", 11, 8), slide=75.0)
    made = to_touch(lay(part, rack=FULL), before, face)
    assert made.touches
    assert made.placement.slide == pytest.approx(5.0)


@pytest.mark.source(
    "method", "arithmetic: 30 mm of slide, 33.3 mm to go: 5 mm of packing and 28.3 of slide"
)
def test_what_the_slide_leaves_is_packed_and_the_slide_takes_up_the_rest() -> None:
    """Two pins 50 mm apart leave a slot of 80 mm a slide of 30."""
    part, face = work(0.0, 12.0 + 33.3)
    before = put("a", "adjustable", seat("s", 11, 9), seat("s", 11, 8))
    made = to_touch(lay(part, rack=FULL), before, face)
    assert made.touches
    assert made.changes == ("slide", "packing")
    assert made.placement.packing == ("s5",)
    assert made.placement.slide == pytest.approx(28.3)


@pytest.mark.source(
    "method", "arithmetic: 30 mm of slide and four shims, 30 mm at most, for 61.3 mm"
)
def test_a_gap_that_cannot_be_filled_is_reported() -> None:
    part, face = work(0.0, 12.0 + 61.3)
    before = put("a", "adjustable", seat("s", 11, 9), seat("s", 11, 8))
    made = to_touch(lay(part, rack=FULL), before, face)
    assert made.placement.slide == pytest.approx(30.0)
    assert made.packing.total == 30.0
    assert made.gap == pytest.approx(1.3)
    assert isinstance(made.why, MissesFace)
    assert (made.why.part, made.why.what) == ("rail", "gap not filled")
    assert made.why.by == pytest.approx(1.3)
    assert made.stands
    bare = to_touch(lay(part, rack=BARE), before, face)
    assert what(bare) == "gap without packing"


@pytest.mark.source("method", "plane geometry: a face at any angle")
@pytest.mark.parametrize("turn", [0.0, 10.0, 37.5, 90.0, 143.2, 180.0, -62.0])
def test_a_one_pin_stop_turns_to_the_work_and_slides_to_it(turn: float) -> None:
    far = 12.0 + 20.0
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    part, face = work(-s * far, c * far, turn)
    job = lay(part, rack=FULL)
    slid = to_touch(job, put("a", "adjustable", seat("s", 11, 9), turn=70.0), face)
    assert slid.touches
    assert slid.placement.turn == pytest.approx(turn, abs=1e-6)
    assert slid.placement.slide == pytest.approx(20.0, abs=1e-6)
    packed = to_touch(job, put("t", "turning", seat("h", 11, 9), turn=70.0), face)
    assert packed.touches
    assert sorted(packed.placement.packing) == ["s10", "s10"]
    assert packed.placement.turn == pytest.approx(turn, abs=1e-6)


@pytest.mark.source("method", "arithmetic: 25 mm off the work less a radius of 15 mm")
def test_a_pin_is_turned_so_that_its_packing_looks_at_the_work() -> None:
    part, face = work(0.0, 25.0)
    made = to_touch(lay(part, rack=FULL), pin("p", 11, 9), face)
    assert made.touches
    assert made.placement.turn == pytest.approx(90.0)
    assert made.placement.packing == ("s10",)
    assert held(lay(part, rack=FULL), made.placement) == "locates"


def test_what_touches_already_is_left_alone() -> None:
    part, face = work(25.0, -20.0)
    across = FaceOf("rail", 2)
    below = structs.replace(part, y=part.y - 50.0)
    assert isinstance(below, type(part))
    before = stop("s", 11, 9)
    made = to_touch(lay(below, rack=FULL), before, across)
    assert made.touches
    assert made.changes == ()
    assert made.placement == before
    assert to_touch(lay(part, rack=FULL), before, face).why is not None


def test_nothing_free_and_in_the_work() -> None:
    part, _ = work(25.0, -20.0)
    into = structs.replace(part, y=AT[1] - 20.0 - 25.0 + 3.0)
    made = to_touch(lay(into, rack=FULL), stop("s", 11, 9), FaceOf("rail", 2))
    assert made.gap == pytest.approx(-3.0)
    assert not made.stands or made.gap < -TOUCH
    assert isinstance(made.why, MissesFace)
    assert made.why.what == "overlaps"
    assert made.why.by == pytest.approx(3.0)


def test_beside_the_work_and_across_it() -> None:
    part, _ = work(25.0, -60.0)
    beside = structs.replace(part, x=AT[0] + 300.0)
    made = to_touch(lay(beside, rack=BARE), stop("s", 11, 9), FaceOf("rail", 2))
    assert what(made) == "passes beside"


@pytest.mark.source(
    "method", "plane geometry: a two-pin stop meets a face at 20 degrees with one corner"
)
def test_a_stop_that_cannot_turn_meets_a_slope_with_its_corner() -> None:
    """Its face points to the front and is 90 mm long; its left corner is nearest to the slope."""
    c, s = math.cos(math.radians(20)), math.sin(math.radians(20))
    x, y = AT[0] + 70.0, AT[1] - 20.0  # its right corner, where the face of the slope passes
    slope = bar(SQUARE, 400, id="rail", name="Rail", turn=20.0, x=x - 200 * c + 25 * s,
                y=y - 200 * s - 25 * c)  # fmt: skip
    made = to_touch(lay(slope, rack=BARE), stop("s", 11, 9), FaceOf("rail", 2))
    assert made.gap == pytest.approx(0.0, abs=1e-9)
    assert made.contact is not None
    assert made.contact.kind == "corner on face"
    assert what(made) == "corner only"
    point = plate("lug", x - 45.0, y - 60.0, 40, 40)
    tip = structs.replace(point, name="Lug", turn=45.0)
    found = to_touch(lay(tip, rack=BARE), stop("s", 11, 9), FaceOf("lug", 1))
    assert found.contact is not None
    assert found.contact.kind == "face on corner"


@pytest.mark.source("method", "arithmetic: an arm set to the slope of a face")
@pytest.mark.parametrize("turn", [20.0, 60.0, 135.0])
def test_a_leaf_is_turned_to_the_face(turn: float) -> None:
    """The leaf's face lies 15 mm to the right of its own axis, and the face above it."""
    pivot = (AT[0] + 50.0, AT[1])
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    out = 15.0
    # A tube along the leaf, 100 mm out, on its right-hand side.
    x, y = pivot[0] + 100 * c + out * s, pivot[1] + 100 * s - out * c
    part = bar(SQUARE, 150, id="rail", name="Rail", turn=turn, z_low=10.0, x=x + 25 * s - 75 * c,
               y=y - 25 * c - 75 * s)  # fmt: skip
    before = put("h", "hinge", seat("h1", 11, 9), seat("h2", 13, 9), leaf=90.0)
    made = to_touch(lay(part, rack=FULL), before, FaceOf("rail", 2))
    assert made.touches
    assert made.placement.leaf == pytest.approx(turn)
    assert made.contact is not None
    assert made.contact.length == pytest.approx(150.0)


@pytest.mark.source("method", "arithmetic: the reach is the distance from the post to the face")
def test_a_push_clamp_reaches_the_face() -> None:
    part, face = work(0.0, 83.0)
    made = to_touch(lay(part, rack=FULL), put("c", "push", seat("p", 11, 9), reach=150.0), face)
    assert made.touches
    assert made.placement.reach == pytest.approx(83.0)
    assert made.placement.turn == pytest.approx(90.0)
    near, face = work(0.0, 50.0)
    short = to_touch(lay(near, rack=FULL), put("c", "push", seat("p", 11, 9)), face)
    assert short.placement.reach == 60.0
    assert short.gap == pytest.approx(-10.0)
    assert what(short) == "overlaps"


@pytest.mark.source("method", "arithmetic: the middle of a 50 mm tube")
@pytest.mark.parametrize(("turn", "off"), [(90.0, 0.0), (90.0, 40.0), (0.0, 0.0)])
def test_a_clamp_reaches_the_middle_of_a_member(turn: float, off: float) -> None:
    part, face = work(off, 85.0)
    made = to_touch(lay(part, rack=FULL), put("c", "clamp", seat("p", 11, 9), turn=turn), face)
    assert made.touches
    assert made.placement.turn == pytest.approx(90.0)
    assert made.placement.reach == pytest.approx(110.0)
    assert made.contact is not None
    assert made.contact.kind == "pad on top"
    far, face = work(0.0, 170.0)
    short = to_touch(lay(far, rack=FULL), put("c", "clamp", seat("p", 11, 9), turn=90.0), face)
    assert short.placement.reach == 160.0
    assert what(short) in ("tip short", "edge only")
    high, face = work(0.0, 85.0, z=40.0)
    tall = to_touch(lay(high, rack=FULL), put("c", "clamp", seat("p", 11, 9), turn=90.0), face)
    assert isinstance(tall.why, MissesFace)
    assert tall.why.what == "top above reach"
    assert tall.why.by == pytest.approx(20.0)


@pytest.mark.source("method", "plane geometry: 10 mm aside at a reach of 110 is asin(1/11)")
def test_a_clamp_beside_the_middle_of_a_member_turns_clear_of_a_higher_neighbour() -> None:
    post = put("c", "clamp", seat("p", 11, 9), turn=90.0, reach=110.0)
    rail = bar(SQUARE, 300, id="rail", name="Rail", x=AT[0] - 10.0, y=AT[1] + 60.0, turn=90.0)
    side = bar(SQUARE, 300, id="side", name="Side", x=AT[0] + 40.0, y=AT[1] + 60.0, turn=90.0,
               z_low=10.0)  # fmt: skip
    alone = to_touch(lay(rail, rack=FULL), post, FaceOf("rail", 3))
    assert alone.touches
    assert alone.placement.turn == pytest.approx(90.0)
    assert CLAMP.tip is not None
    wide = structs.replace(CLAMP.tip, pad_radius=20.0)
    rack = structs.replace(FULL, pieces=tuple(
        structs.replace(p, tip=wide) if p is CLAMP else p for p in FULL.pieces))  # fmt: skip
    job = structs.replace(lay(rail, rack=rack), parts=(rail, side))
    made = to_touch(job, post, FaceOf("rail", 3))
    assert made.touches
    assert made.placement.turn == pytest.approx(90.0 + math.degrees(math.asin(1 / 11)))
    assert made.placement.reach == pytest.approx(110.0)
    assert held(job, made.placement) == "clamps"
    # Where it cannot turn, what it would press on is not claimed.
    both = structs.replace(CLAMP, id="fixed", tip=wide, mounts=(
        RoundHole("a", (0, 0), BORE), RoundHole("b", (0, -50), BORE)), takes=("bolt",))  # fmt: skip
    job = structs.replace(job, rack=structs.replace(rack, pieces=(*rack.pieces, both)))
    stuck = put("c", "fixed", seat("a", 11, 9), seat("b", 12, 9), turn=90.0, reach=110.0)
    missed = to_touch(job, stuck, FaceOf("rail", 3))
    assert not missed.touches
    assert what(missed) == "pad on another"


@pytest.mark.source("method", "plane geometry: a rest two holes to the side is at 45 degrees")
@pytest.mark.parametrize("made_of", ["member", "plate"])
@pytest.mark.parametrize("turn", [90.0, 0.0])
def test_a_part_off_the_table_is_pressed_over_a_rest_within_reach(
    made_of: str, turn: float
) -> None:
    x, y = TABLE.at(Hole(11, 11))
    assert CLAMP.tip is not None
    high = structs.replace(CLAMP, tip=structs.replace(CLAMP.tip, z_high=120.0))
    rack = Rack(name="High", pieces=(high, RISER))
    low: Part = bar(SQUARE, 600, id="w", name="work", x=x - 300.0, y=y)
    if made_of == "plate":
        low = plate("w", x - 300.0, y - 25.0, 600.0, 50.0)
    part = moved(low, 0.0, 0.0, 50.0)
    post = put("c", "clamp", seat("p", 11, 9), turn=turn)
    under, far = (put("r", "riser", seat("p", column, 11)) for column in (13, 18))
    made = to_touch(lay(part, under, rack=rack), post, FaceOf("w", 1))
    assert made.touches
    assert made.placement.turn == pytest.approx(45.0)
    assert made.placement.reach == pytest.approx(2.0 * math.hypot(TABLE.pitch_x, TABLE.pitch_y))
    # A rest out of reach, or one beside a part that lies on the table, changes nothing.
    for job in (lay(part, far, rack=rack), lay(low, under, rack=rack)):
        plain = to_touch(job, post, FaceOf("w", 1))
        alone = to_touch(structs.replace(job, placements=()), post, FaceOf("w", 1))
        assert plain.placement == alone.placement


@pytest.mark.source("method", "plane geometry")
def test_a_clamp_slanting_over_a_plate_reaches_the_middle_of_what_it_crosses() -> None:
    part = plate("lug", AT[0] + 60, AT[1] - 30, 80, 60)
    job = lay(part, rack=FULL)
    made = to_touch(job, put("c", "clamp", seat("p", 11, 9)), FaceOf("lug", 3))
    assert made.touches
    assert made.placement.reach == pytest.approx(100.0)


def test_a_clamp_that_points_past_the_work() -> None:
    part, face = work(0.0, 85.0)
    fixed = structs.replace(CLAMP, id="fixed", mounts=(
        RoundHole("a", (0, 0), BORE), RoundHole("b", (50, 0), BORE)), takes=("bolt",))  # fmt: skip
    job = lay(part, rack=structs.replace(FULL, pieces=(*FULL.pieces, fixed)))
    made = to_touch(job, put("c", "fixed", seat("a", 11, 9), seat("b", 12, 9)), face)
    assert what(made) == "points past"
    along = structs.replace(part, x=AT[0] + 40.0, y=AT[1])
    job = structs.replace(job, parts=(along,))
    made = to_touch(job, put("c", "fixed", seat("a", 11, 9), seat("b", 12, 9), reach=77.0), face)
    assert made.touches
    assert made.placement.reach == 77.0  # its bar runs along the tube: any reach will do


def test_a_push_clamp_that_looks_away_and_cannot_turn() -> None:
    part, face = work(0.0, 85.0)
    fixed = structs.replace(PUSH, id="fixed", mounts=(
        RoundHole("a", (0, 0), BORE), RoundHole("b", (50, 0), BORE)), takes=("bolt",))  # fmt: skip
    job = lay(part, rack=structs.replace(FULL, pieces=(*FULL.pieces, fixed)))
    made = to_touch(job, put("c", "fixed", seat("a", 11, 9), seat("b", 12, 9)), face)
    assert made.why is not None
    assert made.changes == ()


def test_a_piece_that_stands_nowhere_says_why() -> None:
    part, face = work(0.0, 40.0)
    job = lay(part, rack=FULL)
    (made,) = ways_to_touch(job, put("a", "stop", seat("h1", 11, 9), seat("h2", 15, 9)), face)
    assert isinstance(made.why, HolesApart)
    assert not made.touches
    (riser,) = ways_to_touch(job, put("r", "riser", seat("p", 11, 9)), face)
    assert riser.why == NothingTouches("riser")
    with pytest.raises(ValueError, match="side=8"):
        to_touch(job, stop("s", 11, 9), FaceOf("rail", 8))
    with pytest.raises(ValueError, match="gone"):
        to_touch(job, stop("s", 11, 9), FaceOf("gone", 0))


@pytest.mark.source("method", "plane geometry: a chord of a circle")
def test_a_low_stop_slides_under_the_middle_of_a_pipe() -> None:
    pipe = structs.replace(ROUND, width=100.0, height=100.0)
    part = bar(pipe, 400, id="rail", name="Pipe", x=AT[0] - 200, y=AT[1] + 12.0 + 20.0 + 50.0)
    before = put("a", "adjustable", seat("s", 11, 9), seat("s", 11, 8))
    made = to_touch(lay(part, rack=FULL), before, FaceOf("rail", 0))
    out = 50.0 - math.sqrt(50.0**2 - 20.0**2)
    assert made.placement.slide == pytest.approx(20.0 + out)
    assert what(made) == "rounded edge only"


@pytest.mark.source("method", "the contacts of the job with the answer put into it")
def test_every_answer_that_touches_does() -> None:
    rng = random.Random(9)
    count = 0
    for _ in range(600):
        turn = rng.uniform(-180, 180)
        part, face = work(rng.uniform(-60, 60), rng.uniform(-60, 60), turn, rng.choice((0.0, 6.0)))
        job = lay(part, rack=FULL)
        name, feature = rng.choice(
            (("adjustable", "s"), ("turning", "h"), ("pin", "p"), ("push", "p"), ("arm", "h"))
        )
        before = put("a", name, seat(feature, 11, 9), turn=rng.uniform(-180, 180), reach=80.0)
        for made in ways_to_touch(job, before, face):
            if made.touches:
                there = structs.replace(job, placements=(made.placement,))
                found = contacts(there, PlacedPieces().of(there))
                assert any(c.face.number == 0 for c in found.pieces["a"].touching)
                count += 1
    assert count > 40


# -- moving the work, pins astride ----------------------------------------------------------------


@pytest.mark.source("method", "arithmetic: two equations with two unknowns")
def test_moving_the_work_to_two_faces() -> None:
    normals = [(-5 / 13, 12 / 13), (5 / 13, 12 / 13)]
    shift = shift_to_touch(normals, [0.3, 0.1])
    assert shift is not None
    assert shift == pytest.approx((-0.26, 0.216667), abs=1e-6)
    one = shift_to_touch(normals[:1], [0.3])
    assert one == pytest.approx((0.3 * -5 / 13, 0.3 * 12 / 13))
    assert shift_to_touch([], []) == (0.0, 0.0)
    assert shift_to_touch([(0.0, 1.0), (0.0, -1.0)], [1.0, 1.0]) is None
    assert shift_to_touch([(0.0, 1.0), (0.0, 1.0)], [1.0, 1.0]) == pytest.approx((0.0, 1.0))


@pytest.mark.source("method", "plane geometry: asin((r1 + r2 + w) / L)")
def test_pins_astride_a_member() -> None:
    found = astride((0.0, 0.0), (10.0, 0.0), 0.5, 0.5, 2.0)
    assert found == pytest.approx((-17.457603, 17.457603), abs=1e-6)
    assert astride((0.0, 0.0), (2.0, 0.0), 0.5, 0.5, 2.0) is None
    assert astride((1.0, 1.0), (1.0, 1.0), 0.0, 0.0, 0.0) is None


@pytest.mark.source("method", "the contacts of two pins with a member laid so")
@pytest.mark.parametrize("which", [0, 1])
def test_a_member_astride_touches_both_pins(which: int) -> None:
    a, b = TABLE.at(Hole(9, 9)), TABLE.at(Hole(14, 11))
    found = astride(a, b, 15.0, 15.0, 50.0)
    assert found is not None
    turn = found[which]
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    side = 1.0 if which == 0 else -1.0  # the first has pin a on its right: the middle is left of it
    off = 15.0 + 25.0
    start = (a[0] - side * off * s - 100 * c, a[1] + side * off * c - 100 * s)
    part = bar(SQUARE, 600, id="rail", x=start[0], y=start[1], turn=turn)
    for k, one in enumerate((pin("p", 9, 9), pin("p", 14, 11))):
        (contact,) = look(one, part).pieces["p"].contacts
        assert contact.gap == pytest.approx(0.0, abs=1e-9), k
        assert contact.means == "touches"
