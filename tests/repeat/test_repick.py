"""The set-up picked again on another table: the same datums, what is kept, what is lost and why."""

import math

import pytest
from msgspec import structs

from gridjig.checks.conflicts import clashes
from gridjig.contact.accepted import open_gap
from gridjig.contact.book import contacts
from gridjig.contact.values import TOUCH
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import rack_for, ready_tables, samples
from gridjig.model import Hole, HoleMark, Job, Table
from gridjig.rack import Piece, Rack
from gridjig.repeat.others import MOST_OTHERS, others, turn_instead
from gridjig.repeat.repick import RepickedSetup, repick
from gridjig.sheets.text.repeat_text import repicked_lines, repicked_summary
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.face_distance import face_from_hole
from gridjig.units.progress import Cancelled, Progress
from tests.stock import bar
from tests.workshop import EMPTY, laid, pin, stop

SAMPLES = [load_job(path) for path in samples().values()]


def touches(job: Job) -> dict[str, set[str]]:
    found = contacts(job, PlacedPieces().of(job))
    return {piece: {c.part for c in own.touching} for piece, own in found.pieces.items()}


def require_sound(job: Job, made: RepickedSetup) -> None:
    """What holds of any answer: kept or named, nothing in the way, doing what it did or told."""
    assert [one.before for one in made.pieces] == list(job.placements)
    kept = [one for one in made.pieces if one.after is not None]
    assert tuple(one.after for one in kept) == made.job.placements
    assert all(one.why for one in made.lost)
    placed = PlacedPieces().of(made.job)
    assert all(placed[p.id].fault is None for p in made.job.placements)
    assert clashes(placed.values()) == ()
    before, now = touches(job), touches(made.job)
    for one in kept:
        assert one.why or now[one.before.id] >= before[one.before.id], one.before.id


@pytest.mark.parametrize("job", SAMPLES, ids=lambda job: job.name)
def test_on_its_own_table_all_of_it_is_as_it_was(job: Job) -> None:
    made = repick(job, job.table)
    assert (made.dx, made.dy) == (0.0, 0.0)
    assert made.job.placements == job.placements
    assert all(one.same and not one.why for one in made.pieces)
    assert repicked_lines(job, made) == ()


@pytest.mark.source("method", "arithmetic: the table's middle moves, in whole pitches")
def test_on_a_longer_table_of_the_same_pitch_only_the_holes_are_others() -> None:
    job = SAMPLES[0]
    table = ready_tables()["48x96-3/4"]
    made = repick(job, table)
    require_sound(job, made)
    assert made.lost == ()
    assert made.dx == pytest.approx(12 * 50.8)
    assert all(one.same for one in made.pieces)
    steps = {
        (b.hole.col - a.hole.col, b.hole.row - a.hole.row)
        for one in made.pieces
        if one.after is not None
        for a, b in zip(one.before.seats, one.after.seats, strict=True)
    }
    assert steps == {(12, 0)}
    assert "16 of 16 pieces are kept, 16 of them set as before" in repicked_summary(made)


@pytest.mark.source("method", "the datum stop's face is as far from its hole on either table")
@pytest.mark.parametrize("first", [10.0, 33.0])
def test_the_datums_stay_where_they_were_to_the_holes(first: float) -> None:
    job = SAMPLES[0]
    table = structs.replace(
        job.table, first_x=job.table.first_x + first, width=job.table.width + 50
    )
    made = repick(job, table)
    require_sound(job, made)
    assert made.lost == ()
    old, new = PlacedPieces().of(job), PlacedPieces().of(made.job)
    faces = [
        (face_from_hole(job.table, old[p.id]), face_from_hole(table, new[p.id]))
        for p in made.job.placements
    ]
    pairs = [(a.distance, b.distance) for a, b in faces if a is not None and b is not None]
    assert len(pairs) > 4
    assert all(a == pytest.approx(b, abs=0.01) for a, b in pairs)


@pytest.mark.parametrize("name", ["1200x1200-50", "2400x1200-50"])
def test_on_another_pitch_what_does_not_fit_is_named(name: str) -> None:
    job = SAMPLES[2]
    made = repick(job, ready_tables()[name])
    require_sound(job, made)
    assert 0 < len(made.lost) < len(made.pieces)
    told = repicked_lines(job, made)
    assert any("was not kept" in line and "does not match the pitch" in line for line in told)
    kept = [one for one in made.pieces if one.after is not None and not one.same]
    assert kept, "an adjustable stop or a clamp is set anew"


def test_a_blocked_hole_is_not_used() -> None:
    job = laid(bar(x=300.0, y=400.0), stop("s", 6, 4))
    marks = (HoleMark(Hole(6, 4), "blocked"),)
    table: Table = structs.replace(job.table, marks=marks)
    made = repick(job, table)
    used = {seat.hole for p in made.job.placements for seat in p.seats}
    assert Hole(6, 4) not in used


def taken_up(piece: Piece) -> Piece:
    """A piece of which the shop owns one."""
    return structs.replace(piece, owned=1)


@pytest.mark.source("method", "the gate touches on the other table what it touched on its own")
def test_on_another_pitch_pieces_of_that_rack_stand_in_for_those_that_do_not_fit() -> None:
    job = SAMPLES[1]
    table = ready_tables()["2400x1200-50"]
    with_its_own = repick(job, table)
    assert len(with_its_own.lost) == len(job.placements)  # every pin is too thick
    made = repick(job, table, rack_for(table))
    require_sound(job, made)
    assert made.lost == ()
    [told] = [line for line in repicked_lines(job, made) if "in place of" in line]
    assert told.startswith("Brace at 45 degrees: in ")
    assert touches(made.job) == touches(job)


def test_what_stands_in_looks_the_same_way_and_is_of_a_fitting_kind() -> None:
    job = SAMPLES[0]
    placed = PlacedPieces().of(job)
    stood = [one for one in placed.values() if one.faces and one.piece is not None]
    assert len(stood) > 4
    for one in stood:
        assert one.piece is not None
        turn = turn_instead(one.piece, one)
        assert math.remainder(turn - one.turn, 360.0) == pytest.approx(0.0, abs=1e-6)
    by_kind = {one.piece.kind: one.piece for one in placed.values() if one.piece is not None}
    assert {"clamp", "riser", "fixed stop"} <= set(by_kind)
    clamps = others(job.rack, by_kind["clamp"], {})
    assert clamps
    assert {one.kind for one in clamps} == {"clamp"}
    stops = others(job.rack, by_kind["fixed stop"], {})
    assert len(stops) == MOST_OTHERS
    assert stops[0].kind == "fixed stop"
    used = {one.id: one.owned for one in job.rack.pieces}
    assert others(job.rack, by_kind["fixed stop"], used) == ()


def test_pieces_and_packing_that_the_rack_lacks_are_named() -> None:
    job = laid(pin("p", 6, 6), stop("s", 12, 12))
    only_pins = structs.replace(
        EMPTY.rack, pieces=tuple(p for p in EMPTY.rack.pieces if p.id == "pin")
    )
    in_its_place = repick(job, job.table, only_pins)
    assert in_its_place.lost == ()
    [told] = repicked_lines(job, in_its_place)
    assert "in place of" in told
    made = repick(job, job.table, Rack(name="pins", pieces=(taken_up(only_pins.pieces[0]),)))
    [lost] = made.lost
    assert (lost.before.id, lost.why) == ("s", "It is not on this rack.")
    packed = structs.replace(
        job, placements=(structs.replace(job.placements[0], packing=("shim",)),)
    )
    bare = structs.replace(EMPTY.rack, pieces=tuple(p for p in EMPTY.rack.pieces if p.id != "shim"))
    [one] = repick(packed, job.table, bare).pieces
    assert one.why == "Not on this rack: shim."
    assert repick(EMPTY, EMPTY.table, Rack(name="bare")).pieces == ()


def test_a_job_without_a_weldment_keeps_its_holes_in_step() -> None:
    job = laid(pin("p", 6, 6), stop("s", 12, 12))
    wider = structs.replace(job.table, width=1300.0, columns=25)
    made = repick(job, wider)
    assert made.lost == ()
    assert {seat.hole for p in made.job.placements for seat in p.seats} == {
        Hole(7, 6), Hole(13, 12), Hole(14, 12)
    }  # fmt: skip


def test_it_stops_when_told() -> None:
    with pytest.raises(Cancelled):
        repick(SAMPLES[0], SAMPLES[0].table, progress=Progress(is_cancelled=lambda: True))


@pytest.mark.parametrize("pitch", [50.0, 47.0, 60.0])
def test_pins_with_accepted_gaps_are_set_to_the_work_again_or_named(pitch: float) -> None:
    """They touch nothing, and still they are not left as they stood."""
    away = 11.303 - 1.3  # to where one shim of 1 mm leaves 0.3 mm open
    nx, ny = math.sin(math.radians(20.0)), -math.cos(math.radians(20.0))
    rail = bar(x=300.0 + away * nx, y=400.0 + away * ny, turn=20.0, length=500.0)
    pins = (
        structs.replace(pin("p", 8, 7), turn=110.0, packing=("shim",), accepted_gap=0.4),
        structs.replace(pin("q", 11, 8), turn=110.0, packing=("shim",) * 4, accepted_gap=1.7),
    )
    job = laid(rail, *pins)
    assert not any(touches(job).values())
    found = contacts(job, PlacedPieces().of(job))
    assert [open_gap(found, one) for one in "pq"] == pytest.approx([0.3, 1.62], abs=0.01)
    table = structs.replace(job.table, pitch_x=pitch, pitch_y=pitch, columns=18, rows=15)
    made = repick(job, table)
    now = contacts(made.job, PlacedPieces().of(made.job))
    assert len(made.pieces) == 2
    for one in made.pieces:
        if one.after is None:
            assert one.why
        else:
            gap = now.pieces[one.after.id].contacts[0].gap
            assert gap <= one.before.accepted_gap + TOUCH, one.before.id
