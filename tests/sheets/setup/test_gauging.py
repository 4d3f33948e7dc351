"""Readings that set the turn of a piece that stands on one pin."""

import math

import pytest
from msgspec import structs

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Hole, Job
from gridjig.sheets.setup.gauging import Gauge, gauges
from gridjig.sheets.setup.paper import SheetChoices
from gridjig.sheets.setup.sheet import setup_sheet
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.solver import solve_placement

from .randomjobs import random_job
from .test_sheet import found_fast, words_of

BRACKET = load_job(samples()["3-lantern-bracket"])
STOP = next(p for p in BRACKET.placements if p.name == "Strut, end")


def found_in(job: Job) -> tuple[Gauge, ...]:
    return gauges(job, [p.id for p in job.placements], PlacedPieces().of(job))


@pytest.mark.source("method", "the stop turned by one degree is seen in the reading")
def test_the_reading_tells_the_turn() -> None:
    [one] = found_in(BRACKET)
    assert one.placement == STOP.id
    table = BRACKET.table
    assert one.distance == pytest.approx(math.dist(table.at(one.hole), one.end), abs=1e-5)
    turned = solve_placement(table, BRACKET.rack, structs.replace(STOP, turn=STOP.turn + 1.0))
    ends = [p for face in turned.faces[:1] for p in (face.a, face.b)]
    end = min(ends, key=lambda p: math.dist(p, one.end))
    pin = math.dist(one.end, table.at(STOP.seats[0].hole))
    seen = abs(math.dist(table.at(one.hole), end) - one.distance)
    assert seen > 0.65 * pin * math.radians(1.0)


def test_the_hole_can_be_seen_and_is_not_pinned() -> None:
    [one] = found_in(BRACKET)
    used = {seat.hole for p in BRACKET.placements for seat in p.seats}
    assert one.hole not in used
    marked = structs.replace(
        STOP, id="over", seats=(structs.replace(STOP.seats[0], hole=one.hole),), name="Over it"
    )
    covered = structs.replace(BRACKET, placements=(*BRACKET.placements, marked))
    again = {g.placement: g for g in found_in(covered)}
    assert STOP.id not in again or again[STOP.id].hole != one.hole


def test_what_stands_square_or_is_held_by_two_pins_needs_none() -> None:
    square = structs.replace(STOP, turn=90.0)
    others = [p for p in BRACKET.placements if p.id != STOP.id]
    assert found_in(structs.replace(BRACKET, placements=(square, *others))) == ()
    assert found_in(load_job(samples()["1-market-trestle"])) == ()


def test_the_sheet_says_it_with_the_other_readings() -> None:
    words = words_of(setup_sheet(BRACKET, SheetChoices(), found=found_fast(BRACKET)).pages)
    assert "To turn No " in words
    assert "end of its face" in words


def test_random_set_ups_have_them_on_the_table() -> None:
    every = [(job, g) for job in map(random_job, range(12)) for g in found_in(job)]
    assert len(every) > 3
    for job, one in every:
        assert job.table.has(one.hole)
        assert one.hole != Hole(-1, -1)
        assert one.distance <= 4.0 * max(job.table.pitch_x, job.table.pitch_y)
