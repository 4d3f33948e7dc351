"""Answers that can stand on a job: for a face, and for an angle anywhere on the table."""

import math
from functools import cache

import pytest
import shapely
from msgspec import structs

from gridjig.angle.places import first_place, room_for, with_answer
from gridjig.angle.question import ON_A_JOB, AngleQuestion, hold_face
from gridjig.angle.standing import answers_on, in_the_way
from gridjig.checks.conflicts import clashes, refusal
from gridjig.contact.shapes import placed_part
from gridjig.edits.placements import place
from gridjig.geometry.part_outline import part_ring
from gridjig.model import FaceOf, Hole, Job, Placement, Seat
from gridjig.model.labels import address
from gridjig.sheets.text.angle_coverage_text import missing_words
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits, AngleResult
from gridjig.solve.angles.faults import AngleFault, AskedWrong
from gridjig.solve.angles.finder import answer_placements
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.weldment.faces import faces
from tests.trials.layout import INCH, empty, load, with_members
from tests.workshop import EMPTY, laid, pin


@cache
def trial(name: str) -> Job:
    data = load(name)
    return with_members(empty(data), data)


def slanting(job: Job) -> list[FaceOf]:
    return [f.of for f in faces(job.parts) if f.axis is None and f.length > 150.0]


def held(job: Job, of: FaceOf, limits: AngleLimits = ON_A_JOB) -> AngleResult:
    question = hold_face(job, of, limits)
    wanted = question.wanted(job.display.unit)
    return answers_on(job, PlacedPieces().of(job), wanted, question.limits_on(job))


@pytest.mark.source("method", "the one conflict relation, and shapely's distance to the part")
@pytest.mark.parametrize(("name", "count"), [("T04", 2), ("T06", 2), ("T08", 4)])
def test_what_is_listed_for_a_face_can_be_set_as_it_says(name: str, count: int) -> None:
    job = trial(name)
    every = slanting(job)
    assert len(every) == count
    seen: set[str] = set()
    for of in every:
        part = shapely.Polygon(part_ring(next(p for p in job.parts if p.id == of.part)))
        answers = held(job, of).ranked
        assert answers
        for answer in answers:
            seen.add(answer.way)
            assert answer.fouled is False
            if answer.plate is not None:
                continue
            after, ids = with_answer(job, answer, answer.holes)
            stood = PlacedPieces().of(after)
            for one in ids:
                placement = next(p for p in after.placements if p.id == one)
                assert refusal(after, stood, placement) is None
            assert not clashes(stood.values(), [placed_part(p) for p in after.parts])
            for one, left in zip(sorted(ids), answer.open_mm, strict=True):
                here = stood[one]
                shapes: list[shapely.Geometry] = [
                    shapely.Polygon(s.points) for s in here.solids if s.role == "packing"
                ]
                shapes += [shapely.LineString((f.a, f.b)) for f in here.faces]
                shapes += [shapely.Point(r.centre).buffer(r.radius, 256) for r in here.rounds]
                nearest = min(part.distance(shape) for shape in shapes)
                assert nearest == pytest.approx(max(left, 0.0), abs=0.1)
    assert seen >= {"scale"}


@pytest.mark.parametrize("name", ["T04", "T06", "T08"])
def test_answers_for_a_face_are_sorted_as_the_list_says(name: str) -> None:
    job = trial(name)
    for of in slanting(job):
        found = held(job, of)
        assert len(found.ranked) > 3
        keys = [sorting(answer) for answer in found.ranked]
        assert keys == sorted(keys)


def sorting(answer: AngleAnswer) -> tuple[float, ...]:
    """Can stand; then the gap at the face; the error at the far end; the longest base."""
    well = answer.verdict.with_play is not None and answer.on_rack and answer.reaches
    level = 2 if answer.verdict.finest is None else int(not well or answer.way == "plate")
    assert answer.gap_mm is not None
    error = abs(answer.error_mm) + answer.setting_mm
    return (level, round(answer.gap_mm / 0.01), round(error / 0.01), -round(answer.base_mm, 3))


@pytest.mark.source("method", "trigonometry: a flat face off by an angle opens by its tangent")
def test_a_block_that_touches_at_one_end_only_says_so_and_is_not_listed_first() -> None:
    job = trial("T08")
    leg = next(p.id for p in job.parts if p.name == "LL leg")
    only = structs.replace(ON_A_JOB, ways=("arm",), top=200)
    blocks = [a for a in held(job, FaceOf(leg, 3), only).ranked if a.takes[0].piece == "bevel-15"]
    assert blocks
    piece = next(p for p in job.rack.pieces if p.id == "bevel-15")
    ends = [math.dist(face.a, face.b) for face in piece.faces]
    packed = blocks[0].shims_mm[0]
    for answer in blocks[:1]:
        assert answer.gap_mm is not None
        opens = answer.open_mm[0] + packed - answer.gap_mm
        slope = math.tan(math.radians(abs(answer.error_arcmin) / 60.0))
        assert any(opens == pytest.approx(long * slope, abs=0.02) for long in ends)
        assert not answer.reaches
    first = held(job, FaceOf(leg, 3)).ranked[0]
    assert first.reaches
    assert abs(first.error_arcmin) < 1.0


@pytest.mark.source("method", "arithmetic: 47/64 in of shims before a gap of .746 in, five of them")
def test_the_brace_of_a_bracket_is_held_by_equal_pins_packed_with_five_shims() -> None:
    job = trial("T04")
    brace = next(p for p in job.parts if p.name == "K brace")
    outer = max(
        (f for f in faces(job.parts) if f.of.part == brace.id and f.axis is None),
        key=lambda f: f.a[0] + f.a[1],
    )
    first = held(job, outer.of).ranked[0]
    assert first.way == "pins"
    assert first.error_arcmin == 0.0
    assert first.shims_mm[0] / INCH == pytest.approx(47 / 64)
    assert max(first.open_mm) / INCH == pytest.approx(0.0119, abs=2e-4)


@pytest.mark.source("published", "ISO 13920:1996", "table 2, as a contract fabricator has it")
def test_a_class_leaves_out_what_does_not_meet_it_and_says_so_of_equal_pins() -> None:
    job = trial("T08")
    leg = next(p.id for p in job.parts if p.name == "LL leg")
    limits = structs.replace(ON_A_JOB, angle_class="A", ways=("pins", "shims"))
    found = held(job, FaceOf(leg, 3), limits)
    assert len(found.ranked) > 3
    assert all(answer.verdict.finest == "A" for answer in found.ranked)
    said = " ".join(map(missing_words, found.notes))
    assert "Two equal pins give nothing within class A: the nearest pair of holes (" in said
    assert ") is +16.1′ off." in said


def test_a_piece_in_the_way_takes_an_answer_off_the_list() -> None:
    job = trial("T08")
    leg = next(p.id for p in job.parts if p.name == "LL leg")
    limits = structs.replace(ON_A_JOB, ways=("pins", "shims", "two sizes"))
    before = held(job, FaceOf(leg, 3), limits).ranked
    first = before[0]
    stop = Placement(id="in-the-way", piece="pin-1", seats=(Seat("shank", first.holes[0]),))
    beside = structs.replace(
        stop, seats=(Seat("shank", Hole(first.holes[0].col - 1, first.holes[0].row)),)
    )
    taken = held(place(job, stop), FaceOf(leg, 3), limits)
    assert len(taken.ranked) > 3
    assert all(first.holes[0] not in answer.holes for answer in taken.ranked)
    still = held(place(job, beside), FaceOf(leg, 3), limits)
    assert still.ranked[0].holes == first.holes


def test_what_fouls_is_counted_with_the_first_reason() -> None:
    job = trial("T04")
    found = held(job, slanting(job)[0])
    assert found.fouled > 5
    assert found.why_fouled.startswith("It would overlap ")


def test_a_face_that_is_none_and_one_that_its_joints_cover_are_refused() -> None:
    job = trial("T06")
    with pytest.raises(AngleFault) as fault:
        hold_face(job, FaceOf("nobody", 0), ON_A_JOB)
    assert fault.value.reason == AskedWrong("not a straight face")
    strut = next(p.id for p in job.parts if p.name == "S strut")
    question = hold_face(job, FaceOf(strut, 1), ON_A_JOB)
    assert question.limits.leg == pytest.approx(20 * INCH, rel=0.1)
    assert question.limits.along is not None
    assert question.limits.along.width == pytest.approx(1.5 * INCH, rel=0.4) or (
        question.limits.along.width == 0.0
    )


# -- an angle anywhere ---------------------------------------------------------------------------


@pytest.mark.source("method", "the same question put to each place one by one")
def test_an_angle_is_offered_in_the_first_hole_pair_where_it_can_stand() -> None:
    job = laid(pin("a", 10, 10), pin("b", 12, 10), pin("c", 11, 9))
    placed = PlacedPieces().of(job)
    near = job.table.at(Hole(11, 10))
    question = AngleQuestion(text="0", limits=structs.replace(ON_A_JOB, base_to=150.0))
    limits = question.limits_on(job, near)
    found = answers_on(job, placed, question.wanted(job.display.unit), limits)
    assert found.ranked
    for answer in found.ranked:
        assert answer.fouled is False
        assert room_for(job, placed, answer, limits).at(0) == answer.holes
        ids = [f"x{k}" for k in range(len(answer.standing))]
        for placement in answer_placements(answer, ids):
            assert refusal(job, placed, placement) is None


def test_what_fouls_wherever_it_stands_is_left_out() -> None:
    crowded = EMPTY
    for row in range(0, EMPTY.table.rows):
        for col in range(EMPTY.table.columns):
            if (col, row) not in ((3, 3), (4, 3)):
                crowded = structs.replace(
                    crowded, placements=(*crowded.placements, pin(f"p{col}-{row}", col, row))
                )
    placed = PlacedPieces().of(crowded)
    question = AngleQuestion(text="0", limits=AngleLimits(ways=("pins", "arm")))
    limits = question.limits_on(crowded)
    found = answers_on(crowded, placed, question.wanted("millimetres"), limits)
    for answer in found.ranked:
        assert set(answer.holes) == {Hole(3, 3), Hole(4, 3)}
    assert len(found.ranked) + found.fouled >= 1


def test_pieces_of_an_answer_that_stand_in_each_other_are_in_the_way() -> None:
    job = trial("T08")
    leg = next(p.id for p in job.parts if p.name == "LL leg")
    answer = held(job, FaceOf(leg, 3), structs.replace(ON_A_JOB, ways=("shims",))).ranked[0]
    asked = in_the_way(job, {})
    assert asked(answer) is None
    one = answer.holes[0]
    upon = structs.replace(answer, holes=(one, one))
    fouled = asked(upon)
    assert fouled is not None
    assert "two pieces" in fouled.why
    assert first_place(job, {}, upon, AngleLimits())[0]
    assert math.isfinite(answer.base_mm)
    assert address(job.table, one)
    assert solve_placement(job.table, job.rack, answer_placements(answer, ["a", "b"])[0]).piece
