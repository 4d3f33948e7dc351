"""Where an answer can be placed, compared with checking every place, and placing it there."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs
from msgspec.structs import replace

from gridjig.angle.places import (
    FreePlaces,
    at_angle,
    nearest_in,
    off_line,
    own_direction,
    reached,
    reaching_way,
    room_for,
    with_answer,
)
from gridjig.angle.question import ON_A_JOB, AngleQuestion
from gridjig.checks.conflicts import refusal
from gridjig.geometry.lines import line_angle
from gridjig.model import Hole, HoleMark, Job
from gridjig.solve.angles.answers import AlongFace, AngleAnswer, AngleLimits
from gridjig.solve.angles.finder import answer_placements, answer_places, find_angles
from gridjig.solve.angles.wanted import as_edge
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.reach.reach import ReachAngle, reach
from tests.workshop import ARM, EMPTY, HINGE, RACK, TABLE, laid, pin, plate, put, seat, stop

BUSY = laid(pin("a", 4, 4), stop("s", 8, 8), stop("t", 14, 3), plate("part", 500, 500, 300, 60))


def all_of(room: FreePlaces) -> list[tuple[Hole, ...]]:
    return [room.at(index) for index in range(len(room))]


def asked(job: Job, angle: float, **limits: object) -> tuple[tuple[AngleAnswer, ...], AngleLimits]:
    question = AngleQuestion(edge=angle, limits=structs.replace(ON_A_JOB, **limits))
    made = question.limits_on(job, (TABLE.width / 2, TABLE.depth / 2))
    return find_angles(job.table, job.rack, as_edge(angle), made).nearest, made


@pytest.mark.source("method", "brute force: every place asked one by one")
@settings(max_examples=12)
@given(st.floats(0.0, 179.9), st.booleans())
@pytest.mark.untraced
def test_the_room_is_every_place_that_is_not_refused(angle: float, only_free: bool) -> None:
    job = structs.replace(
        BUSY, table=structs.replace(TABLE, marks=(HoleMark(Hole(10, 10), "blocked"),))
    )
    placed_pieces = PlacedPieces().of(job)
    answers, limits = asked(job, angle, base_to=250.0, only_free=only_free)
    placed = [answer for answer in answers if answer.way != "plate"]
    assert {"pins", "shims", "arm", "scale"} == {answer.way for answer in placed}
    for answer in placed:
        room = room_for(job, placed_pieces, answer, limits)
        every = answer_places(job.table, answer, limits=limits)
        ids = [f"x{k}" for k in range(len(answer.standing))]
        open_ = {
            holes
            for holes in every
            if all(
                refusal(job, placed_pieces, p) is None
                for p in answer_placements(answer, ids, holes)
            )
        }
        assert set(all_of(room)) == open_
        assert room.places == len(every)
        assert bool(room.why) == (len(open_) < len(every))


@pytest.mark.parametrize("near", [(100.0, 100.0), (900.0, 700.0), (620.0, 150.0)])
def test_the_nearest_place_comes_first(near: tuple[float, float]) -> None:
    answers, limits = asked(EMPTY, 45.0)
    room = room_for(EMPTY, {}, answers[0], replace(limits, near=near))
    away = [
        math.dist(
            near,
            [sum(TABLE.at(h)[k] for h in holes[:2]) / 2 for k in (0, 1)],
        )
        for holes in all_of(room)
    ]
    assert [round(a, 3) for a in away] == sorted(round(a, 3) for a in away)
    plain = room_for(EMPTY, {}, answers[0], replace(limits, near=None))
    assert plain.at(0) == answer_places(TABLE, answers[0], limits=limits)[0]


def test_an_answer_without_places_has_no_room() -> None:
    answers, limits = asked(EMPTY, 45.0, ways=("pins",))
    taken = frozenset(Hole(c, r) for c in range(TABLE.columns) for r in range(1, TABLE.rows))
    room = room_for(EMPTY, {}, answers[0], replace(limits, taken=taken))
    assert (len(room), room.places, room.why) == (0, 0, "")


@pytest.mark.source(
    "library", "shapely 2", "area of overlap of the plate with all that stands lower"
)
def test_a_plate_fouls_what_it_would_lie_in() -> None:
    job = structs.replace(
        BUSY,
        parts=(*BUSY.parts, structs.replace(plate("high", 700, 100), z_low=6.0, z_high=30.0)),
    )
    placed_pieces = PlacedPieces().of(job)
    (answer,), limits = asked(job, 37.0, ways=("plate",), base_to=400.0)
    assert answer.plate is not None
    low = [
        shapely.Polygon(solid.points)
        for one in placed_pieces.values()
        for solid in one.solids
        if solid.z_low < 6.0
    ]
    low.append(shapely.box(500, 500, 800, 560))  # not what is higher than the plate
    everything = shapely.unary_union(low)
    room = room_for(job, placed_pieces, answer, limits)
    open_ = set()
    for holes in answer_places(TABLE, answer, limits=limits):
        x, y = TABLE.at(holes[0])
        ring = shapely.Polygon([(x + dx, y + dy) for dx, dy in answer.plate.corners])
        if ring.intersection(everything).area < 1.0:
            open_.add(holes)
    assert set(all_of(room)) == open_
    assert 0 < len(room) < room.places == answer.places
    assert room.why.startswith("It would overlap")


@pytest.mark.parametrize("way", ["pins", "shims", "arm", "scale"])
def test_setting_puts_pieces_with_ids_of_their_own_that_stand(way: str) -> None:
    answers, limits = asked(BUSY, 37.5, ways=(way,))
    (answer,) = answers
    room = room_for(BUSY, PlacedPieces().of(BUSY), answer, limits)
    after, ids = with_answer(BUSY, answer, room.at(len(room) - 1), "measured")
    fresh = [p for p in after.placements if p.id in ids]
    assert len(fresh) == len(answer.standing) == len(after.placements) - len(BUSY.placements)
    assert [p.note for p in fresh] == ["measured", *[""] * (len(fresh) - 1)]
    placed_pieces = PlacedPieces().of(after)
    for placement in fresh:
        assert placed_pieces[placement.id].fault is None
        assert refusal(after, placed_pieces, placement) is None
    assert {s.hole for p in fresh for s in p.seats} <= set(room.at(len(room) - 1))


@pytest.mark.source("method", "the stand of the placement, asked for its own face")
@pytest.mark.parametrize("piece", [ARM, HINGE])
def test_an_arm_goes_to_every_angle_that_it_reaches(piece: object) -> None:
    which = "arm" if piece is ARM else "hinge"
    features = ("h", "a") if piece is ARM else ("h1", "h2")
    placement = put("it", which, seat(features[0], 10, 10), seat(features[1], 12, 10))
    angles = reach(TABLE, RACK, RACK.piece(which), Hole(10, 10)).angles
    assert len(angles) == 8
    for angle in angles:
        for share in (0.0, 0.3, 1.0):
            wanted = angle.low + share * (angle.high - angle.low)
            found = solve_placement(TABLE, RACK, at_angle(placement, angle, wanted))
            assert found.fault is None
            turn = found.poses[-1].turn
            assert abs(math.remainder(turn - wanted, 360.0)) < 0.01


@given(st.floats(-180, 180), st.floats(0, 360), st.floats(0, 180), st.floats(-90, 90))
def test_the_nearest_body_angle_of_a_range(
    low: float, wide: float, line: float, own: float
) -> None:
    angle = ReachAngle(low, low + wide, (), False, 0.0)
    found = nearest_in(angle, line, own)
    assert low - 1e-9 <= found <= low + wide + 1e-9

    def off(body: float) -> float:
        return abs((body + own - line + 90.0) % 180.0 - 90.0)

    steps = [low + wide * k / 400 for k in range(401)]
    assert off(found) <= min(map(off, steps)) + 1e-6


def test_an_answer_along_a_face_has_its_own_place_alone() -> None:
    face = AlongFace((300.0, 267.0), (700.0, 267.0), "right", most=80.0)
    answers, limits = asked(EMPTY, 0.0, along=face, ways=("pins",))
    room = room_for(EMPTY, {}, answers[0], limits)
    assert all_of(room) == [answers[0].holes]


def test_places_are_checked_one_by_one_if_the_first_is_blocked() -> None:
    table = structs.replace(TABLE, marks=(HoleMark(Hole(11, 9), "blocked"),))
    off = pin("off", 40, 40)
    job = laid(off, job=structs.replace(EMPTY, table=table))
    answers, limits = asked(job, 0.0, only_free=False, ways=("pins",), base_to=100.0)
    at = table.at(Hole(11, 9))
    placed_pieces = PlacedPieces().of(job)
    assert placed_pieces["off"].fault is not None
    room = room_for(job, placed_pieces, answers[0], replace(limits, near=at))
    assert "blocked" in room.why
    assert len(room) == room.places - 2


@pytest.mark.source("method", "the stand of the placement, asked for its own face")
@pytest.mark.parametrize("which", ["arm", "hinge"])
def test_a_reached_angle_is_set_by_a_line_or_left_as_it_is(which: str) -> None:
    features = ("h", "a") if which == "arm" else ("h1", "h2")
    placement = put("it", which, seat(features[0], 10, 10), seat(features[1], 12, 10))
    job, piece = laid(placement), RACK.piece(which)
    now = solve_placement(TABLE, RACK, placement).poses[-1].turn
    angles = reach(TABLE, RACK, piece, Hole(10, 10)).angles
    assert len(angles) == 8
    for angle in angles:
        for line in (10.0, 75.0, 160.0):
            face = solve_placement(TABLE, RACK, reached(job, placement, piece, angle, line)).faces[
                0
            ]
            off = math.remainder(line_angle(face.a, face.b) - line, 180.0)
            assert abs(off) == pytest.approx(off_line(piece, angle, line), abs=0.01)
        kept = (
            solve_placement(TABLE, RACK, reached(job, placement, piece, angle, None)).poses[-1].turn
        )
        holds = (now - angle.low) % 360.0 <= angle.high - angle.low
        assert abs(math.remainder(kept - (now if holds else angle.low), 360.0)) < 0.01


@pytest.mark.source("method", "the conflict relation and the stand of the placement it is set to")
def test_a_way_to_reach_an_angle_says_how_it_looks_and_what_is_in_the_way() -> None:
    placement = put("it", "arm", seat("h", 10, 10), seat("a", 12, 10))
    bare = structs.replace(RACK, pieces=(*RACK.pieces, structs.replace(ARM, id="bare", faces=())))
    job = structs.replace(laid(placement, plate("w", 500.0, 500.0, 600.0, 600.0)), rack=bare)
    angle = reach(TABLE, RACK, ARM, Hole(10, 10)).angles[0]
    for now, why in ((job, True), (structs.replace(job, parts=()), False)):
        found = reaching_way(now, PlacedPieces().of(now), placement, ARM, angle, 30.0)
        there = solve_placement(TABLE, RACK, reached(now, placement, ARM, angle, 30.0)).faces[0]
        assert found.line == pytest.approx(line_angle(there.a, there.b))
        assert found.looks == pytest.approx(
            math.degrees(math.atan2(there.normal[1], there.normal[0]))
        )
        assert bool(found.why) == why
    faceless = structs.replace(placement, piece="bare")
    found = reaching_way(job, PlacedPieces().of(job), faceless, bare.piece("bare"), angle, 30.0)
    assert (found.looks, found.line) == (None, None)


@pytest.mark.parametrize("flipped", [False, True])
def test_the_direction_of_a_face_in_its_body(flipped: bool) -> None:
    tapered = structs.replace(
        ARM, faces=(structs.replace(ARM.faces[0], a=(10.0, 40.0), b=(210.0, 10.0)),)
    )
    there = ReachAngle(0.0, 90.0, (), flipped, 0.0)
    wanted = math.degrees(math.atan2(-30.0, 200.0)) * (-1 if flipped else 1)
    assert own_direction(tapered, there) == pytest.approx(wanted)
    assert own_direction(structs.replace(ARM, faces=()), there) == 0.0
