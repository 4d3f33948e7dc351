"""Stops that the list of faces offers can be set: they touch, and nothing is in their way."""

import math
from functools import cache

import pytest
from msgspec import structs

from gridjig.checks.conflicts import clashes, refusal
from gridjig.checks.stop_places import StopSearch, settable_holes, stop_before
from gridjig.contact.book import contacts
from gridjig.contact.shapes import placed_part
from gridjig.edits.lookup import new_id
from gridjig.edits.parts import add_part, rectangle
from gridjig.edits.placements import place
from gridjig.model import FaceOf, Hole, Job, Placement, Seat
from gridjig.sheets.text.layout_text import setting_lines
from gridjig.solve.layout.remainders import Remainder, remainders, the_stop
from gridjig.solve.packing.stops import stops
from gridjig.solve.placed.cache import PlacedPieces
from tests.trials.layout import INCH, empty, load, with_members
from tests.workshop import EMPTY, TABLE, pin


@cache
def trial(name: str) -> Job:
    data = load(name)
    return with_members(empty(data), data)


def searched(job: Job) -> list[tuple[Remainder, StopSearch]]:
    placed = PlacedPieces().of(job)
    return [(one, stop_before(job, placed, one)) for one in remainders(job).found]


def with_stop(job: Job, search: StopSearch) -> tuple[Job, str]:
    assert search.setting is not None
    name = new_id(job, "stop")
    return place(job, structs.replace(search.setting.placement, id=name)), name


@pytest.mark.source("method", "the contact model and the conflict relation, asked of each one set")
@pytest.mark.parametrize(
    ("name", "count"), [("T01", 8), ("T02", 8), ("T04", 6), ("T06", 4), ("T08", 9)]
)
def test_every_line_offers_a_stop_that_touches_it_and_clashes_with_nothing(
    name: str, count: int
) -> None:
    job = trial(name)
    every = searched(job)
    assert len(every) == count
    for one, search in every:
        assert search.setting is not None
        after, stop = with_stop(job, search)
        placed = PlacedPieces().of(after)
        assert placed[stop].fault is None
        assert not clashes(placed.values(), [placed_part(part) for part in after.parts])
        of = {face.of for face in one.line.faces}
        piece = contacts(after, placed).pieces[stop]
        touched = {
            FaceOf(c.part, c.face.number)
            for c in piece.contacts
            if c.touches and c.face.kind == "side"
        }
        assert touched & of


@pytest.mark.source("practice", "stops stand outside the weld zones, so that no bead holds them")
@pytest.mark.parametrize(("name", "clear"), [("T01", 8), ("T02", 8)])
def test_both_stops_of_a_line_keep_clear_of_its_joints(name: str, clear: int) -> None:
    """Nearer to a joint there are holes as well, further from each other."""
    kept = 0
    for one in remainders(trial(name)).found:
        job, k = trial(name), 1 if one.line.axis == "x" else 0
        for _ in range(2):
            search = stop_before(job, PlacedPieces().of(job), one)
            assert search.setting is not None
            at = job.table.at(search.setting.front)[k]
            ends = [
                face.a[k] + math.copysign(end, face.b[k] - face.a[k])
                for face in one.line.faces
                for joint in face.taken
                for end in (joint.low, joint.high)
            ]
            assert min((abs(at - end) for end in ends), default=25.0) >= 25.0
            job, _ = with_stop(job, search)
        kept += 1
    assert kept == clear


@pytest.mark.source("method", "trial: both far sides of the butted frame need exactly one inch")
def test_the_far_side_of_the_frame_is_packed_by_an_inch() -> None:
    far = next(s for one, s in searched(trial("T01")) if one.left > 0)
    assert far.setting is not None
    assert far.setting.placement.packing == ("packing-1",)
    assert far.setting.pinned == "two pins"


@pytest.mark.source("method", "brute force: each hole tried by itself against every piece and part")
def test_the_holes_offered_are_those_in_which_the_stop_can_stand() -> None:
    """A pin beside the left face takes away the holes next to it, and arithmetic does not know."""
    job = trial("T01")
    one = next(r for r in remainders(job).found if (r.line.axis, r.line.sign) == ("x", -1))
    free = settable_holes(job, PlacedPieces().of(job), one)
    assert len(free) >= 5
    assert set(free) <= set(one.holes)
    blocked = place(job, Placement(id="pin", piece="pin-1", seats=(Seat("shank", free[2]),)))
    placed = PlacedPieces().of(blocked)
    left = settable_holes(blocked, placed, one)
    assert free[2] in one.holes
    assert free[2] not in left
    assert left
    for front in left:
        back = Hole(front.col + one.line.sign, front.row)
        stop = Placement(
            id="s",
            piece=one.stop.piece,
            seats=(Seat("front", front), Seat("back", back)),
            turn=-90.0,
        )
        turned = [structs.replace(stop, turn=turn) for turn in (-90.0, 0.0, 90.0, 180.0)]
        assert any(refusal(blocked, placed, way) is None for way in turned)


def test_a_stop_of_which_none_is_left_is_said_to_be_used_up() -> None:
    job = trial("T01")
    one, search = searched(job)[0]
    assert not search.none_left
    pieces = tuple(
        structs.replace(p, owned=0) if p.id == one.stop.piece else p for p in job.rack.pieces
    )
    short = structs.replace(job, rack=structs.replace(job.rack, pieces=pieces))
    none = stop_before(short, PlacedPieces().of(short), one)
    assert none.none_left
    assert none.setting is not None
    said = "; ".join(setting_lines(short, one, none))
    assert "is left on the rack" in said
    assert "does not fit" not in said


def test_a_second_stop_goes_as_far_from_the_first_as_can_be() -> None:
    job = trial("T01")
    one, search = searched(job)[0]
    assert search.set_already == 0
    first, _ = with_stop(job, search)
    again = next(s for o, s in searched(first) if o.line == one.line)
    assert again.set_already == 1
    assert again.setting is not None
    assert search.setting is not None
    rows = (search.setting.front.row, again.setting.front.row)
    # The left side is 24 in long: the two stand 18 in apart or more.
    assert abs(rows[1] - rows[0]) * job.table.pitch_y >= 18 * INCH
    placed = PlacedPieces().of(first)
    assert refusal(first, placed, again.setting.placement) is None


def lug(z_high: float = 25.4, rack_without: tuple[str, ...] = ()) -> Job:
    """A plate between two others, so that nothing wider than a pin goes in before it."""
    job = empty(load("T01"))
    at = job.table.at
    x, y = at(Hole(10, 10))
    parts = (
        rectangle("lug", "Lug", (x + 0.5 * INCH, y - 20.0), (x + 3 * INCH, y + 20.0), (0, z_high)),
        rectangle("low", "Low", (x - 30.0, y - 90.0), (x + 60.0, y - 22.0), (0, z_high)),
        rectangle("high", "High", (x - 30.0, y + 22.0), (x + 60.0, y + 90.0), (0, z_high)),
        rectangle("back", "Back", (x - 90.0, y - 90.0), (x - 22.0, y + 90.0), (0, z_high)),
    )
    for part in parts:
        job = add_part(job, part)
    kept = tuple(p for p in job.rack.pieces if p.id not in rack_without)
    return structs.replace(job, rack=structs.replace(job.rack, pieces=kept))


def left_of_lug(job: Job) -> StopSearch:
    return next(
        s
        for one, s in searched(job)
        if one.line.axis == "x"
        and one.line.sign == -1
        and any(face.of.part == "lug" for face in one.line.faces)
    )


def test_where_no_two_pin_stop_fits_a_one_pin_stop_or_a_round_pin_is_tried() -> None:
    job = lug()
    found = left_of_lug(job)
    assert found.setting is not None
    assert found.setting.pinned in ("one pin", "round pin")
    single = {s.piece for s in stops(job.rack) if not s.other and not s.slot}
    none = left_of_lug(lug(rack_without=tuple(single)))
    assert none.setting is None
    assert none.why.startswith("It would overlap ")
    assert none.tried > 3


def test_a_face_that_no_stop_comes_up_to_is_told_so() -> None:
    job = empty(load("T01"))
    high = rectangle("h", "High", (200.0, 200.0), (400.0, 300.0), (400.0, 450.0))
    found = searched(add_part(job, high))
    assert len(found) == 4
    for _, search in found:
        assert search.setting is None
        assert "is higher or lower" in search.why


def test_what_the_rack_has_no_more_of_is_not_offered() -> None:
    job = trial("T01")
    fixed = the_stop(job.rack)
    gone = tuple(structs.replace(p, owned=0) if p.id == fixed.piece else p for p in job.rack.pieces)
    bare = structs.replace(job, rack=structs.replace(job.rack, pieces=gone))
    placed = PlacedPieces().of(bare)
    found = [stop_before(bare, placed, one) for one in remainders(bare, fixed).found]
    assert len(found) == 8
    assert all(s.setting is None or s.setting.stop.piece != fixed.piece for s in found)
    assert any(s.setting is not None for s in found)


@pytest.mark.source("method", "arithmetic: a pin of radius r touches a face at r from its centre")
def test_pins_at_a_line_count_as_set_and_what_cannot_stand_does_not() -> None:
    """A block whose left face lies 15 mm from the middle of a pin of 15 mm radius."""
    x, y = TABLE.at(Hole(5, 9))
    job = add_part(EMPTY, rectangle("b", "block", (x + 15, y - 60), (x + 215, y + 60), (0.0, 40.0)))
    left = next(one for one, _ in searched(job) if one.line.axis == "x" and one.line.sign < 0)
    for things, count in (
        ((pin("p", 5, 9),), 1),
        ((pin("p", 5, 9), pin("q", 5, 10)), 2),
        ((pin("p", 5, 9), pin("off", 99, 9), pin("far", 4, 9)), 1),
    ):
        held = structs.replace(job, placements=things)
        assert stop_before(held, PlacedPieces().of(held), left).set_already == count
