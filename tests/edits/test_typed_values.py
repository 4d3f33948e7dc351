import pytest
from msgspec import structs

from gridjig.edits import typed_values
from gridjig.edits.lookup import placement_of
from gridjig.edits.placements import set_pose
from gridjig.model import Hole, Job, Seat
from gridjig.session.document import Document
from gridjig.solve.placed.face_distance import face_distance
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from tests.workshop import laid, pin, put, seat, stop

JOB = laid(
    stop("s", 3, 3),
    pin("p", 10, 10),
    put("slider", "slider", seat("s", 8, 15), seat("s", 7, 15), slide=80.0),
    put("arm", "arm", seat("h", 15, 3), seat("a", 17, 3)),
    put("hinge", "hinge", seat("h1", 2, 9), seat("h2", 4, 9), leaf=90.0),
    put("clamp", "clamp", seat("p", 16, 15), reach=100.0),
)
STANDS = Document(JOB).placed_pieces
NONE: frozenset[Hole] = frozenset()


def stood(job: Job, thing: str) -> PlacedPiece:
    return solve_placement(job.table, job.rack, placement_of(job, thing))


@pytest.mark.expectation(28)
def test_a_possible_turn_is_taken() -> None:
    answer = typed_values.type_turn(JOB, "arm", 37.5, NONE)
    assert answer.job is not None
    assert stood(answer.job, "arm").turn == 37.5
    answer = typed_values.type_turn(JOB, "s", 450, NONE)
    assert answer.job is not None
    assert placement_of(answer.job, "s").seats[1].hole == Hole(3, 4)


@pytest.mark.expectation(30)
def test_an_impossible_turn_is_not_taken_but_the_nearest_is_offered() -> None:
    answer = typed_values.type_turn(JOB, "s", 67, NONE)
    assert answer.job is None
    assert answer.says == "67° is not possible here; the nearest is 90°, pinned in D4 + D5."
    assert answer.nearest == "90°"
    assert answer.offer is not None
    assert stood(answer.offer, "s").turn == 90
    answer = typed_values.type_turn(JOB, "s", 37, NONE)
    assert answer.says == "37° is not possible here; the nearest is 0°, as it stands."
    assert (answer.job, answer.offer) == (None, None)
    every = frozenset({Hole(4, 3), Hole(3, 4), Hole(2, 3), Hole(3, 2)})
    answer = typed_values.type_turn(JOB, "s", 90, every)
    assert (answer.job, answer.offer) == (None, None)
    assert answer.says


def test_an_angle_taken_in_other_holes_tells_them() -> None:
    answer = typed_values.type_turn(JOB, "s", 90, NONE)
    assert answer.told == "Turned to 90°, now pinned in D4 + D5."
    answer = typed_values.type_turn(JOB, "s", 128, NONE)
    assert answer.says == "128° is not possible here; the nearest is 90°, pinned in D4 + D5."
    assert answer.told == "Turned to 90°, now pinned in D4 + D5."
    assert answer.offer is not None
    assert placement_of(answer.offer, "s").seats[1].hole == Hole(3, 4)


def test_the_two_ways_round_are_told_apart() -> None:
    """The hole to the back is taken: 90° is not possible, −90° would be."""
    answer = typed_values.type_turn(JOB, "s", 91, frozenset({Hole(3, 4)}))
    assert answer.job is None
    assert answer.nearest == "180°"
    assert "91° is not possible here; the nearest is 180°, pinned in D4 + C4." in answer.says
    assert "The other way round, −90°, pinned in D4 + D3, is closer." in answer.says
    assert answer.other is not None
    assert answer.other.nearest == "−90°"
    assert answer.other.told == "Turned to −90°, now pinned in D4 + D3."
    assert answer.other.offer is not None
    assert stood(answer.other.offer, "s").turn == -90
    told = typed_values.type_turn(JOB, "s", 128, NONE)
    assert "other way" not in told.says
    assert told.other is None


def test_the_other_way_round_is_told_where_the_piece_stands_so_or_cannot_turn() -> None:
    """What it stands in already is said to be so, and has no button."""
    back, left, front = Hole(3, 4), Hole(2, 3), Hole(3, 2)
    answer = typed_values.type_turn(JOB, "s", 182, frozenset({left}))
    assert answer.says.startswith("182° is not possible here; the nearest is −90°, pinned in")
    assert answer.says.endswith(" The other way round, 0°, as it stands, is closer.")
    assert answer.other is not None
    assert (answer.other.offer, answer.offer is None) == (None, False)
    turned = structs.replace(JOB, placements=tuple(
        structs.replace(p, turn=90.0, seats=(p.seats[0], Seat(p.seats[1].feature, back)))
        if p.id == "s" else p for p in JOB.placements
    ))  # fmt: skip
    answer = typed_values.type_turn(turned, "s", 181, frozenset({left, front}))
    assert (answer.offer, answer.nearest) == (None, "")
    assert answer.says.startswith("181° is not possible here; the nearest is 90°, as it stands. ")
    assert answer.other is not None
    assert answer.other.nearest == "0°"
    assert answer.says.endswith(" The other way round, 0°, pinned in D4 + E4, is closer.")


def test_an_arm_opens_to_a_typed_angle_within_its_scale() -> None:
    answer = typed_values.type_leaf(JOB, "hinge", 36.5, NONE)
    assert answer.job is not None
    assert stood(answer.job, "hinge").leaf == 36.5
    answer = typed_values.type_leaf(JOB, "hinge", 200, NONE)
    assert (answer.job, answer.nearest) == (None, "180°")


def test_a_clamp_reaches_as_typed_or_says_how_far_it_does() -> None:
    answer = typed_values.type_reach(JOB, STANDS["clamp"], 120)
    assert answer.job == set_pose(JOB, "clamp", reach=120)
    answer = typed_values.type_reach(JOB, STANDS["clamp"], 500)
    assert answer.job is None
    assert answer.offer == set_pose(JOB, "clamp", reach=160)
    assert "160 mm" in answer.says
    assert "no reach" in typed_values.type_reach(JOB, STANDS["s"], 5).says


def test_a_face_is_set_to_a_typed_distance_from_its_hole() -> None:
    there = STANDS["slider"]
    # The face is 130 mm out, the pin 80 mm along the slot from its end a; that leaves a pitch.
    distance = face_distance(JOB, there)
    assert distance is not None
    assert (distance.now, distance.low, distance.high) == pytest.approx((50, 20, 80))
    answer = typed_values.type_face_distance(JOB, there, 62.5)
    assert answer.job is not None
    moved = face_distance(answer.job, stood(answer.job, "slider"))
    assert moved is not None
    assert moved.now == pytest.approx(62.5)
    answer = typed_values.type_face_distance(JOB, there, 500)
    assert answer.job is None
    assert answer.nearest == "80 mm"
    assert "can be 20 mm to 80 mm" in answer.says


def test_what_does_not_slide_or_has_no_face_has_no_such_distance() -> None:
    assert face_distance(JOB, STANDS["s"]) is None
    assert face_distance(JOB, STANDS["clamp"]) is None
    assert "does not slide" in typed_values.type_face_distance(JOB, STANDS["s"], 5).says
    sideways = structs.replace(
        JOB.rack.piece("slider"),
        id="side",
        faces=(structs.replace(JOB.rack.piece("slider").faces[0], a=(0, -20), b=(100, -20)),),
    )
    job = structs.replace(JOB, rack=JOB.rack.with_piece(sideways), placements=())
    job = laid(put("x", "side", seat("s", 8, 15), seat("s", 7, 15), slide=80.0), job=job)
    assert face_distance(job, stood(job, "x")) is None


def test_a_typed_hole_moves_the_piece_or_its_other_pin() -> None:
    answer = typed_values.type_hole(JOB, "s", 0, Hole(7, 7))
    assert answer.job is not None
    assert [s.hole for s in placement_of(answer.job, "s").seats] == [Hole(7, 7), Hole(8, 7)]
    answer = typed_values.type_hole(JOB, "s", 1, Hole(3, 4))
    assert answer.job is not None
    assert placement_of(answer.job, "s").seats[1].hole == Hole(3, 4)
    answer = typed_values.type_hole(JOB, "s", 1, Hole(9, 9))
    assert answer.job is None
    assert "apart" in answer.says


def test_the_turns_that_a_piece_can_take_are_listed_and_can_be_taken() -> None:
    every = typed_values.turn_choices(JOB, "s", NONE)
    assert [(a.turn, a.holes) for a in every] == [
        (-90, "D4 + D3"),
        (-90, "D4 + D5"),
        (0, "D4 + E4"),
        (0, "D4 + C4"),
        (90, "D4 + D3"),
        (90, "D4 + D5"),
        (180, "D4 + C4"),
        (180, "D4 + E4"),
    ]
    for choice in every:
        job = typed_values.take_turn_choice(JOB, "s", choice, NONE)
        assert stood(job, "s").turn == pytest.approx(choice.turn)
        assert stood(job, "s").fault is None
        assert {s.hole for s in placement_of(job, "s").seats} == {s.hole for s in choice.pose.seats}
    without = typed_values.turn_choices(JOB, "s", frozenset({Hole(3, 4)}))
    assert [a.holes for a in without if "D5" in a.holes] == []
    assert len(without) == 6
    assert typed_values.turn_choices(JOB, "p", NONE) == ()


def test_of_equal_turns_the_present_holes_come_first() -> None:
    present = {s.hole for s in placement_of(JOB, "slider").seats}
    same = [a for a in typed_values.turn_choices(JOB, "slider", NONE) if abs(a.turn) < 1e-6]
    assert len(same) > 1
    assert {s.hole for s in same[0].pose.seats} == present
