"""A piece put down near a face turns to it, slides to it or is packed so that it touches."""

import math
import random
from itertools import combinations_with_replacement

import pytest
from msgspec import structs

from gridjig.checks.conflicts import refusal
from gridjig.checks.needs import left_of, needs
from gridjig.contact.book import contacts
from gridjig.contact.touching import to_touch
from gridjig.contact.values import TOUCH
from gridjig.model import Hole, Job, Plate
from gridjig.rack import Rack, StraightSlot
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.touch.door import Wish, at_hole
from gridjig.tools.touch.faces import upright_faces
from gridjig.tools.touch.tries import Try
from gridjig.tools.touch.words import touch_words
from tests.contact.poses import FULL, PIECES, lay, shims
from tests.contact.test_by_hand import V
from tests.driver import Driver
from tests.stock import SQUARE, bar
from tests.tools.touch.kit import frame, hand, names, placing, touching
from tests.trials.keyed import KEYED
from tests.workshop import BORE, TABLE, pin, plate, put, seat, stop

INCH = 25.4


def last(d: Driver) -> tuple[Job, str]:
    return d.job, d.job.placements[-1].id


# -- one sentence each ---------------------------------------------------------------------------


def test_a_slotted_stop_stands_in_the_hole_where_it_belongs() -> None:
    """Half-way along its slot it would stand in the rail; slid back it touches."""
    d = hand("stop-adjustable", frame()).hover("V12").expect_hint("touches D right")
    d.click("V12")
    made = d.job.placements[-1]
    assert names(d.job, made) == ["V12", "W12"]
    assert made.slide == pytest.approx(1.0 * INCH)
    assert made.packing == ()
    assert [c.part for c in touching(d.job, made)] == ["part-4"]


def test_the_stop_at_w6_and_x6_is_found_by_clicking_w6() -> None:
    d = hand("stop-adjustable", frame()).hover("W6")
    seen = set()
    for _ in range(24):
        d.key("r")
        seen.add(" + ".join(w for w in d.words[:1]))
    assert "W6 + X6" in seen
    assert "W6 + V6" in seen
    while d.words[0] != "W6 + X6" or "touches D right" not in d.hint:
        d.key("r")
    d.key("enter")
    assert names(d.job, d.job.placements[-1]) == ["W6", "X6"]
    assert touching(d.job, d.job.placements[-1])


def test_r_goes_through_all_ways_and_comes_round() -> None:
    """A stop of two holes: four ways with either of them in the hole, the same backwards."""
    d = hand("stop", lay()).hover("H6")
    ways = []
    for _ in range(8):
        ways.append((d.words[0], d.words[1]))
        d.key("r")
    assert len(set(ways)) == 8
    assert (d.words[0], d.words[1]) == ways[0]
    d.expect_hint("Position 1 of 8").key("r", shift=True)
    assert (d.words[0], d.words[1]) == ways[-1]


def test_a_fixed_stop_is_packed_and_what_stays_open_is_said() -> None:
    """The rail stands 7.2 mm from the face of the stop; there are shims of 5, 2, 1 and 0.5."""
    job = lay(bar(SQUARE, x=400.0, y=500.0 + 12.0 + 7.2 + 25.0), rack=FULL)
    d = hand("turning", job).hover(TABLE.at(Hole(11, 9)))
    d.expect_hint("packing 5 mm + 2 mm", "gap 0.2 mm to bar").key("enter")
    made = d.job.placements[-1]
    assert made.packing == ("s5", "s2")
    assert refusal(job, PlacedPieces().of(job), made) is None


def test_the_rack_s_count_of_shims_is_kept() -> None:
    """Two shims of 5 mm: the third stop takes what is left, and its gap grows."""
    rack = Rack(name="few", pieces=(*(p for p in PIECES if p.kind != "shim"), *shims(5.0, 2.0)))
    job = lay(bar(SQUARE, x=300.0, y=500.0 + 12.0 + 5.0 + 25.0), rack=rack)
    d = hand("turning", job)
    for col in (7, 9, 11):
        d.click(TABLE.at(Hole(col, 9)))
    assert [p.packing for p in d.job.placements] == [("s5",), ("s5",), ("s2", "s2")]
    needed = needs(d.job)
    assert all(left_of(d.job.rack.piece(k), needed[k]) >= 0 for k in ("s5", "s2"))


@pytest.mark.source("method", "brute force over every stack of up to four shims")
def test_pins_at_a_rafter_of_four_in_twelve() -> None:
    """Every pin put down beside it touches, or leaves what no stack of shims can close."""
    base = frame()
    slope = math.degrees(math.atan2(4.0, 12.0))
    rafter = bar(SQUARE, length=900.0, x=150.0, y=400.0, turn=slope)
    job = structs.replace(base, parts=(rafter,))
    thick = [p.thickness for p in job.rack.shims]
    stacks = {sum(some) for many in range(5) for some in combinations_with_replacement(thick, many)}
    d = hand("pin-1", job)
    stood = 0
    for col in range(3, 20):
        hole = next(
            (Hole(col, row) for row in range(23, -1, -1) if _below(job, rafter.turn, col, row)),
            None,
        )
        assert hole is not None
        before = len(d.job.placements)
        d.click(job.table.at(hole))
        if len(d.job.placements) == before:
            continue
        made = d.job.placements[-1]
        found = [c for c in touching(d.job, made) if c.part == "bar"]
        said = d.hint
        assert found or "to bar" in said, said
        if not found:
            there = PlacedPieces().of(d.job)[made.id]
            assert there.fault is None
            stood += 1
            left = _open(d.job, made.id)
            packed = sum(job.rack.piece(k).thickness for k in made.packing)
            best = max(total for total in stacks if total <= packed + left)
            assert packed == pytest.approx(best)
        d.undo()
    assert stood >= 3


def _below(job: Job, turn: float, col: int, row: int) -> bool:
    """True of the holes in front of the rafter's lower side with a pin's radius between."""
    x, y = job.table.at(Hole(col, row))
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return -s * (x - 150.0) + c * (y - 400.0) < -25.0 - 0.5 * INCH


def _open(job: Job, thing_id: str) -> float:

    found = contacts(job, PlacedPieces().of(job)).pieces[thing_id].contacts
    return min(c.gap for c in found if c.part == "bar" and c.gap >= -TOUCH)


def test_a_clamp_that_the_work_is_too_low_or_too_high_for_says_so() -> None:
    """The tall clamp comes down to 2 in, the low one opens to 3-1/2 in; the frame is 1-1/2 in."""
    said = 'A bottom is .500" too low for its tip'
    hand("clamp-down-tall", frame()).hover("M5").expect_hint(said).click("M5").expect_hint(said)
    higher = (structs.replace(part, z_high=3.6 * INCH) for part in frame().parts)
    high = structs.replace(frame(), parts=tuple(higher))
    (face, *_) = (f for f in upright_faces(high.parts).near(high.table.at(Hole(12, 5)), 200.0))
    clamp = put("c", "clamp-down-low", seat("post", 12, 4), turn=90.0, reach=120.0)
    made = to_touch(high, clamp, face.of)
    assert touch_words(high, Try(made.placement, made, face)).endswith(
        ' is .100" too high for its tip'
    )


def test_a_clamp_reaches_the_middle_of_a_member() -> None:
    d = hand("clamp-down-low", frame()).hover("M5").expect_hint("presses on A bottom")
    d.click("M5")
    made = d.job.placements[-1]
    tip = PlacedPieces().of(d.job)[made.id].tip
    assert tip is not None
    assert tip.at[1] / INCH == pytest.approx(11.5 + 0.75)
    assert [c.kind for c in touching(d.job, made)] == ["pad on top"]


def test_a_riser_says_what_it_carries_or_how_far_below_it_is() -> None:
    """Checked against the contacts of the job once it stands there."""
    top = next(piece for piece in PIECES if piece.id == "riser").rests[0].z
    under = lay(
        plate("w", TABLE.at(Hole(5, 6))[0] - 60.0, TABLE.at(Hole(5, 6))[1] - 60.0, 120, 120)
    )
    at = "F7"
    for low, said in (
        (top, "supports w"),
        (top + 2.0, "2 mm below w: supports nothing"),
    ):
        lifted = structs.replace(
            under,
            parts=tuple(structs.replace(p, z_low=low, z_high=low + 10.0) for p in under.parts),
        )
        d = hand("riser", lifted).hover(at).expect_hint(said)
        d.click(at)
        roles = contacts(d.job, PlacedPieces().of(d.job)).roles
        carries = roles[d.job.placements[-1].id].what == "carries"
        assert carries == said.startswith("supports")


def test_a_v_comes_to_a_round_post() -> None:
    """A post with flats every 5 degrees: the V slides until it lies on both sides of it."""
    v = structs.replace(
        V, id="v-slot", mounts=(StraightSlot("s", (0.0, -25.0), (0.0, -95.0), BORE),),
        solids=(*V.solids, structs.replace(V.solids[0], outline=(
            (-20.0, -110.0), (20.0, -110.0), (20.0, -30.0), (-20.0, -30.0)))),
    )  # fmt: skip
    r = 20.0
    flats = tuple(
        (r * math.cos(math.radians(a + 2.5)), r * math.sin(math.radians(a + 2.5)))
        for a in range(0, 360, 5)
    )
    x, y = TABLE.at(Hole(11, 9))
    post = Plate(id="post", name="post", corners=flats, x=x, y=y + 55.0, z_high=40.0)
    job = lay(post, rack=Rack(name="v", pieces=(*PIECES, v)))
    d = hand("v-slot", job).hover((x, y)).expect_hint("touches post").key("enter")
    made = d.job.placements[-1]
    assert {c.feature for c in touching(d.job, made)} == {"left", "right"}


def test_what_cannot_stand_is_refused_with_the_reason_of_the_best_pose() -> None:
    d = hand("pin-1", frame()).hover("G9")  # in the middle of the frame there is room
    d.expect_hint("Click or press Enter to put")
    wide = structs.replace(frame(), parts=(plate("slab", 0.0, 0.0, 1200.0, 1200.0),))
    d = hand("pin-1", wide).hover("G7").expect_hint("not fit at G7", "overlap slab")
    assert "clash" in d.roles
    d.click("G7").expect_untouched(wide)


def test_alt_leaves_the_face_alone() -> None:
    d = hand("stop-adjustable", frame()).hover("M5").expect_hint("touches A bottom", "Alt")
    at = d.at("M5")
    d.move(at, free=True)
    assert "touches" not in d.hint
    d.move(at).expect_hint("touches A bottom")


def test_a_turn_that_was_chosen_holds_along_a_face() -> None:
    job = frame()
    d = hand("stop-adjustable", job).hover("M5").key("r").key("r")
    turn = d.words[1].partition(",")[0]
    d.hover("N5")
    assert d.words[1].partition(",")[0] == turn


def test_taken_holes_are_passed_over_and_named() -> None:
    job = lay(pin("a", 8, 5), pin("b", 7, 6), pin("c", 6, 5), pin("d", 7, 4))
    hand("stop", job).hover("H6").expect_hint("not fit at H6", "taken")


# -- whatever is placed by touching touches ------------------------------------------------------


PLACED = ("pin", "stop", "turning", "adjustable", "slider", "clamp")


@pytest.mark.parametrize("seed", range(6))
def test_what_is_placed_by_touching_touches_and_conflicts_with_nothing(seed: int) -> None:
    rng = random.Random(seed)
    parts = [
        structs.replace(
            bar(SQUARE, length=rng.uniform(250, 500)),
            id=f"bar{k}",
            name=f"bar{k}",
            x=rng.uniform(200, 700),
            y=200.0 + 250.0 * k,
            turn=rng.choice((0.0, 90.0, rng.uniform(0, 180))),
        )
        for k in range(3)
    ]
    job = lay(*parts, put("s", "stop", seat("h1", 2, 2), seat("h2", 3, 2)), rack=FULL)
    pieces = PlacedPieces().of(job)
    placed = packed = 0
    for _ in range(60):
        piece = job.rack.piece(
            rng.choice(("pin", "stop", "turning", "adjustable", "slider", "clamp"))
        )
        hole = Hole(rng.randrange(TABLE.columns), rng.randrange(TABLE.rows))
        wish = Wish(rng.choice((0.0, 90.0, 37.0)))
        one = at_hole(job, pieces, piece, hole, TABLE.at(hole), wish, "new").best()
        if one is None or one.why:
            continue
        assert refusal(job, pieces, one.placement) is None
        after = structs.replace(job, placements=(*job.placements, one.placement))
        needed = needs(after)
        assert all(left_of(job.rack.find(k), needed[k]) >= 0 for k in one.placement.packing)
        if one.touches:
            placed += 1
            found = touching(after, one.placement)
            assert one.face is not None
            assert one.face.part in {c.part for c in found}
        elif one.packed:
            packed += 1
            assert one.open > TOUCH
    assert placed + packed >= 3


def test_what_nothing_is_in_the_way_of_stands_as_it_was_held() -> None:
    d = hand("stop", lay(stop("a", 2, 2))).hover("H6").expect_hint("put fixed stop in H6 at 0°")
    d.tool(placing("pin")).hover("H6").expect_hint("locating pin")


def test_a_piece_that_something_keeps_from_the_face_says_what() -> None:
    """A riser stands where the packing in front of the pin would be."""
    job = KEYED["T06"]()
    d = hand("riser-1-4", job).click("N11").tool(placing("pin-1")).hover("N12")
    d.expect_hint("put Round pin in N12 at 0°: it does not touch S strut, where it would overlap")
    d.expect(lambda d: "Alt to ignore" not in d.hint)
    clear = hand("pin-1", job).hover("N12").expect_hint("packing", "gap")
    assert "does not touch" not in clear.hint
    far = hand("pin-1", job).hover("A24")
    assert "does not touch" not in far.hint
