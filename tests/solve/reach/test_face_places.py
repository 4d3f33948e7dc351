"""Where on a table a wanted face is possible: every answer is right, and none is missed."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gridjig.model import Hole, HoleMark, Seat, Table
from gridjig.rack import ArcSlot, Face, Piece, Pivot, StraightSlot
from gridjig.solve.placed.placed_piece import PlacedFace, PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.reach.face_places import FacePlace, face_places
from gridjig.solve.reach.reach import held_angles
from tests.solve.grid_kit import PIN, grid, hole, piece, put, rack, slot

FACE = Face(id="f", a=(0, -20), b=(250, -20), z_low=0, z_high=25)
END = Face(id="end", a=(250, -20), b=(250, 20), z_low=0, z_high=25)
ARM = piece(hole("h", 0, 0), slot("s", 100, 10, 300, 10), faces=(FACE, END), id="arm")
RING = piece(
    hole("h", 0, 0),
    ArcSlot(id="c", centre=(0, 0), radius=100, start=-30, end=30, width=PIN),
    faces=(FACE,),
    flips=False,
    id="ring",
)
LEAF = piece(
    hole("l", 0, 0),
    hole("r", 50, 0),
    StraightSlot(id="lock", a=(60, 0), b=(180, 0), width=PIN, body=1),
    pivot=Pivot(at=(25, 25), low=0, high=180, accuracy=0.25),
    faces=(
        Face(id="f", a=(0, -10), b=(200, -10), z_low=0, z_high=25, body=1),
        Face(id="base", a=(0, -40), b=(50, -40), z_low=0, z_high=25),
    ),
    id="leaf",
)
STOP = piece(
    slot("s", 0, 0, 120, 0),
    faces=(Face(id="f", a=(140, -20), b=(140, 20), z_low=0, z_high=25),),
    flips=False,
    id="stop",
)
RACK = rack(ARM, RING, LEAF, STOP)
MARKS = (
    HoleMark(hole=Hole(4, 4), state="blocked"),
    HoleMark(hole=Hole(1, 1), state="reserved"),
)
TABLE = grid(columns=9, rows=8, marks=MARKS)
TAKEN = {Hole(2, 2), Hole(40, 2)}
Held = tuple[tuple[Seat, ...], bool]  # by which seats, flipped or not


def stood(table: Table, thing: Piece, place: FacePlace) -> PlacedPiece:
    found = solve_placement(
        table,
        RACK,
        put(
            thing,
            place.seats,
            flipped=place.flipped,
            turn=place.turn,
            slide=place.slide,
            leaf=place.leaf,
        ),
    )
    assert (found.fault, found.off) == (None, ())
    return found


def lies(found: PlacedPiece, angle: float, face: int = 0) -> float:
    (ax, ay), (bx, by) = found.faces[face].a, found.faces[face].b
    return math.remainder(math.degrees(math.atan2(by - ay, bx - ax)) - angle, 180)


def asked_one_by_one(thing: Piece, angle: float, within: float) -> set[Held]:
    """Where the first face is within the tolerance of the angle, hole by hole."""
    (ax, ay), (bx, by) = thing.faces[0].a, thing.faces[0].b
    turn = angle - math.degrees(math.atan2(by - ay, bx - ax))
    theirs = set()
    for col in range(TABLE.columns):
        for row in range(TABLE.rows):
            held, _ = held_angles(TABLE, RACK, thing, Hole(col, row), TAKEN)
            theirs |= {
                (a.seats, a.flipped)
                for a, _ in held
                if any(
                    a.low - within <= turn + k <= a.high + within
                    for k in (-540, -360, -180, 0, 180, 360)
                )
            }
    return theirs


def off_line(face: PlacedFace, point: tuple[float, float]) -> float:
    """How far a point is to the left of the line of a face."""
    (ax, ay), (bx, by) = face.a, face.b
    cross = (bx - ax) * (ay - point[1]) - (by - ay) * (ax - point[0])
    return cross / math.dist((ax, ay), (bx, by))


@settings(max_examples=25)
@given(
    st.sampled_from([ARM, RING, LEAF, STOP]),
    st.floats(-180, 180),
    st.tuples(st.floats(50, 450), st.floats(50, 400)),
)
@pytest.mark.untraced
def test_every_answer_stands_with_its_face_where_it_says(
    thing: Piece, angle: float, point: tuple[float, float]
) -> None:
    theirs = asked_one_by_one(thing, angle, 2.0)
    assume(theirs)
    every = face_places(TABLE, RACK, thing, angle, 2.0, taken=TAKEN).found
    assert theirs <= {(p.seats, p.flipped) for p in every}
    lines = {(p.seats, p.flipped): stood(TABLE, thing, p).faces[0] for p in every}
    through = {key for key, face in lines.items() if abs(off_line(face, point)) <= 5.0 - 1e-6}
    found = face_places(TABLE, RACK, thing, angle, 2.0, point=point, within=5.0, taken=TAKEN)
    assert through <= {(p.seats, p.flipped) for p in found.found} <= lines.keys()
    for place in found.found:
        there = stood(TABLE, thing, place)
        assert not set(there.holes) & {Hole(4, 4), Hole(2, 2)}
        assert lies(there, angle) == pytest.approx(place.error, abs=1e-6)
        assert abs(place.error) <= 2.0
        assert off_line(there.faces[0], point) == pytest.approx(place.off, abs=1e-6)
        assert abs(place.off) <= 5.0


@pytest.mark.source("method", "brute force: the reach of every hole of the table")
@pytest.mark.parametrize("thing", [ARM, RING, LEAF])
@pytest.mark.parametrize("angle", [0.0, 30.0, 37.5, 126.87])
@pytest.mark.untraced
def test_none_is_missed(thing: Piece, angle: float) -> None:
    theirs = asked_one_by_one(thing, angle, 0.8)
    found = face_places(TABLE, RACK, thing, angle, 0.8, taken=TAKEN)
    assert {(p.seats, p.flipped) for p in found.found} == theirs
    assert found.pairs >= len(theirs)


def test_answers_lie_nearest_first() -> None:
    found = face_places(grid(), RACK, ARM, 33.0, 3.0).found
    errors = [round(abs(p.error), 9) for p in found]
    assert errors == sorted(errors)
    assert errors[0] < errors[-1]


def test_a_stop_is_slid_to_the_wanted_line() -> None:
    found = face_places(TABLE, RACK, STOP, 90.0, 0.1, point=(333.3, 200.0), within=0.1).found
    assert found
    for place in found:
        assert stood(TABLE, STOP, place).faces[0].a[0] == pytest.approx(333.3, abs=0.1)
    assert any(p.off == pytest.approx(0, abs=1e-9) and p.slide not in (0, 50) for p in found)


def test_a_face_by_its_name_and_faces_that_do_not_count() -> None:
    ends = face_places(TABLE, RACK, ARM, 90.0, 1.0, face="end").found
    assert all(abs(lies(stood(TABLE, ARM, p), 90.0, 1)) <= 1.0 + 1e-6 for p in ends)
    assert face_places(TABLE, RACK, LEAF, 0.0, face="base").found == ()
    assert face_places(TABLE, RACK, ARM, 0.0, face="none").looked_at == 0
    assert face_places(TABLE, RACK, piece(hole("h", 0, 0)), 0.0).found == ()


def test_a_piece_that_turns_all_round_has_its_face_on_either_side() -> None:
    post = piece(hole("h", 0, 0), faces=(FACE,), id="post", flips=False)
    one = grid(columns=1, rows=1)
    found = face_places(one, rack(post), post, 30.0).found
    assert sorted(p.turn for p in found) == [-150.0, 30.0]
    assert face_places(one, rack(ARM), ARM, 30.0, 5.0).found == ()
    far = piece(hole("h", 0, 0), hole("k", 450, 0), faces=(FACE,), id="far")
    table = grid(columns=9, rows=9)
    assert face_places(table, rack(far), far, 0.0).found == ()


def test_of_the_same_angle_the_nearest_line_comes_first() -> None:
    point = (260.0, 215.0)
    found = face_places(TABLE, RACK, ARM, 36.87, 1.0, point=point, within=40.0).found
    keys = [(round(abs(p.error), 9), round(abs(p.off), 9), p.seats[0].hole) for p in found]
    assert keys == sorted(keys)
    assert any(p.off < 0 for p in found)
    assert any(p.off > 0 for p in found)
    anywhere = face_places(TABLE, RACK, ARM, 36.87, 1.0).found
    assert {p.off for p in anywhere} == {0.0}
    assert len(anywhere) > len(found)


def test_a_slot_that_runs_aslant_to_its_face_slides_it_all_the_same() -> None:
    """A millimetre of slide moves the face by less, and it still reaches the wanted line."""
    aslant = piece(
        slot("s", 0, 0, 90, 60),
        faces=(Face(id="f", a=(140, -20), b=(140, 20), z_low=0, z_high=25),),
        flips=False,
        id="aslant",
    )
    two = rack(aslant)
    table = grid(pitch=50.0, columns=9, rows=8)
    (held, *_), _ = held_angles(table, two, aslant, Hole(4, 4))
    angle = held.angle.low + 90.0
    found = face_places(table, two, aslant, angle, 0.1, point=(310.0, 233.0), within=30.0).found
    drawn = [p for p in found if abs(p.off) < 1e-9]
    assert drawn
    for place in found:
        there = solve_placement(
            table, two, put(aslant, place.seats, turn=place.turn, slide=place.slide)
        )
        (face,) = there.faces
        nx, ny = face.normal
        off = (face.a[0] - 310.0) * nx + (face.a[1] - 233.0) * ny
        assert abs(off) == pytest.approx(abs(place.off), abs=1e-6)


def test_of_millions_of_places_the_nearest_are_told_and_all_are_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    whole = face_places(grid(), RACK, ARM, 33.0, 3.0)
    assert whole.every == len(whole.found) > 20
    monkeypatch.setattr("gridjig.solve.reach.face_places.MOST_KEPT", 20)
    some = face_places(grid(), RACK, ARM, 33.0, 3.0)
    assert some.every == whole.every
    assert some.found == whole.found[:20]
    assert (some.pairs, some.looked_at) == (whole.pairs, whole.looked_at)
