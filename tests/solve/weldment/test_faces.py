"""Faces, datum proposals, and how accurately two datum stops set the angle."""

import math
import tracemalloc

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits.parts import polygon, turned
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Datum, EndCut, FaceOf, Part
from gridjig.solve.weldment.datum import angle_error, datum_faces, propose, span
from gridjig.solve.weldment.faces import TakenSpan, WorkFace, faces
from gridjig.solve.weldment.joints import joints
from tests.solve.weldments import bar, coped, frame, job_of
from tests.workshop import plate


def face(parts: tuple[Part, ...], part: str, side: int) -> WorkFace:
    return next(f for f in faces(parts) if f.of == (part, side))


def test_the_faces_of_a_frame() -> None:
    parts = frame()
    assert faces(parts) is faces(parts)
    assert len(faces(parts)) == 16
    front = face(parts, "front", 0)
    assert (front.axis, front.sign, front.at) == ("y", -1, 200)
    assert (front.mill, front.outer, front.clear) == (True, True, True)
    inner = face(parts, "front", 2)
    assert not inner.outer
    assert inner.free == ((40.0, 360.0),)
    assert face(parts, "left", 3).free == ()
    end = face(parts, "front", 1)
    assert (end.mill, end.axis, end.sign, end.at) == (False, "x", 1, 500)


def test_a_face_behind_a_higher_part_is_outer() -> None:
    low, high = bar("low", 0, 20, 300), bar("high", 0, -50, 300, z=40)
    assert face((low, high), "low", 0).outer
    assert not face((low, bar("high", 0, -50, 300, z=39)), "low", 0).outer


@pytest.mark.untraced
def test_a_thousand_round_plates_fit_in_memory() -> None:
    """Drawings can have this many; comparing all faces with all corners would take gigabytes."""
    turns = [math.radians(10 * k) for k in range(36)]
    parts = tuple(
        polygon(
            f"p{k}",
            "",
            [(60 * (k % 32) + 25 * math.cos(t), 60 * (k // 32) + 25 * math.sin(t)) for t in turns],
            (0.0, 10.0),
        )
        for k in range(1000)
    )
    tracemalloc.start()
    found = faces(parts)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert len(found) == 36_000
    assert 0 < sum(f.outer for f in found) < 400
    assert peak < 200e6


def test_a_saddle_has_no_face() -> None:
    parts = coped(76.1, 300)
    assert {f.of.side for f in faces(parts) if f.of.part == "branch"} == {0, 1, 2}
    assert face(parts, "branch", 1).mill is False


def test_slopes_lie_along_no_axis() -> None:
    assert face((bar("a", 0, 0, 100, 30),), "a", 0).axis is None


@pytest.mark.source("library", "shapely 2", "distance of every corner beyond the line of a face")
@given(st.floats(-180, 180), st.integers(0, 3))
def test_outer_faces_have_all_corners_behind_them(turn: float, side: int) -> None:
    parts = tuple(turned(p, turn, (0, 0)) for p in frame())
    found = face(parts, "left", side)
    hull = shapely.MultiPoint([p for part in parts for p in part_ring(part)]).convex_hull
    edge = shapely.LineString([found.a, found.b])
    assert found.outer == (hull.boundary.buffer(0.01).covers(edge))


def test_datum_as_proposed_and_as_chosen() -> None:
    parts = frame()
    assert propose(parts) == Datum(long=FaceOf("front", 0), end=FaceOf("left", 2))
    assert propose(()) == Datum()
    job = job_of(*parts)
    assert datum_faces(job).proposed == {"long", "end"}
    found = datum_faces(structs.replace(job, datum=Datum(long=FaceOf("right", 0))))
    assert found.long is not None
    assert found.end is not None
    assert found.proposed == {"end"}
    assert found.long.of == FaceOf("right", 0)
    assert found.end.of == FaceOf("front", 0)
    gone = datum_faces(job_of())
    assert (gone.long, gone.end) == (None, None)


def test_a_datum_face_that_is_no_more_is_proposed_anew() -> None:
    datum = Datum(long=FaceOf("p", 77), end=FaceOf("q", 0))
    lost = structs.replace(job_of(plate("p", 0, 0)), datum=datum)
    assert datum_faces(lost).proposed == {"long", "end"}


def test_a_sawn_end_only_for_want_of_another() -> None:
    lone = (bar("a", 0, 0, 500),)
    assert propose(lone) == Datum(long=FaceOf("a", 0), end=FaceOf("a", 3))
    with_post = (*lone, bar("post", 20, 20, 100, 90))
    assert propose(with_post).end == FaceOf("post", 2)


@pytest.mark.source(
    "method", "plane trigonometry: 0.1 mm over 1000 mm is 0.34 arc-minutes, over 100 mm 3.4"
)
def test_what_a_stop_error_turns() -> None:
    assert angle_error(0.1, 1000) == pytest.approx(0.34, abs=0.005)
    assert angle_error(0.1, 100) == pytest.approx(3.4, abs=0.05)
    for spacing, degrees in ((50, 0.229183), (100, 0.114592), (200, 0.057296), (400, 0.028648)):
        assert angle_error(0.2, spacing) / 60 == pytest.approx(degrees, abs=2e-6)
    assert angle_error(-0.1, 100) == -angle_error(0.1, 100)
    with pytest.raises(ValueError, match="not positive"):
        angle_error(0.1, 0)


def test_stops_stand_as_far_apart_as_corners_and_welds_leave() -> None:
    parts = frame()
    front = span(face(parts, "front", 0))
    assert front is not None
    assert front.spacing == pytest.approx(350)
    assert (front.one, front.other) == ((125, 200), (475, 200))
    inner = span(face(parts, "front", 2), clear=10)
    assert inner is not None
    assert inner.spacing == pytest.approx(300)
    assert math.dist(inner.one, inner.other) == pytest.approx(300)
    side = span(face(parts, "left", 2), clear=10)
    assert side is not None
    assert side.one[0] == side.other[0] == pytest.approx(face(parts, "left", 2).a[0])
    ends = sorted((side.one[1], side.other[1]))
    low, high = sorted((face(parts, "left", 2).a[1], face(parts, "left", 2).b[1]))
    assert low < ends[0] < ends[1] < high
    assert ends[1] - ends[0] == pytest.approx(side.spacing)
    assert span(face(parts, "front", 1)) is None
    assert span(face(parts, "left", 3)) is None


@pytest.mark.source(
    "library", "shapely 2", "distance of points of a face from the seams at its part"
)
@given(st.floats(-180, 180), st.sampled_from([0.0, 5.0, 25.0, 90.0]), st.integers(0, 3))
def test_room_is_what_keeps_off_every_seam(turn: float, clear: float, side: int) -> None:
    parts = tuple(
        turned(p, turn, (0, 0))
        for p in (*frame(), bar("rib", 300, 240, 220, 90), bar("far", 0, 0, 9))
    )
    seams = shapely.MultiLineString(
        [joint.seam for joint in joints(parts) if "front" in (joint.a, joint.b)]
    )
    found = face(parts, "front", side)
    edge, room = shapely.LineString([found.a, found.b]), found.room(clear)
    meets = edge.distance(seams) < 1e-6
    told = []
    for step in range(1, 80):
        at = found.length * step / 80 + 0.123
        away = edge.interpolate(at).distance(seams) if meets else math.inf
        if abs(away - clear) > 0.1:
            told.append(any(low <= at <= high for low, high in room) == (away > clear))
    assert len(told) >= 50  # all but those at the limit: under three bars of 40 on a face of 400
    assert all(told)


def test_room_along_a_face() -> None:
    parts = (*frame(), bar("rib", 300, 240, 220, 90))
    inner = face(parts, "front", 2)
    assert inner.room(25) == ((65, 155), (245, 335))
    assert inner.room(60) == ((100, 120), (280, 300))
    assert inner.room(200) == ()
    assert face(parts, "front", 0).room(25) == ((0, 400),)
    assert face(parts, "front", 0).room(25, corners=30) == ((30, 370),)
    assert face(parts, "left", 0).taken == (
        TakenSpan("front/left", 0.0, 0.0),
        TakenSpan("back/left", 220.0, 220.0),
    )
    assert face(parts, "left", 0).room(30) == ((30, 190),)


def test_a_corner_that_stands_on_a_face_is_kept_off_too() -> None:
    parts = (bar("rail", 0, 0, 400), turned(plate("leaf", 150, 20, 50, 50), 45, (150, 20)))
    assert face(parts, "rail", 2).taken == (TakenSpan("leaf/rail", 250.0, 250.0),)
    assert face(parts, "rail", 2).free == ((0.0, 400.0),)
    assert face(parts, "rail", 2).room(30) == ((0, 220), (280, 400))
    assert face(parts, "rail", 0).taken == ()


def test_a_seam_round_a_corner_covers_each_face_by_its_own_part() -> None:
    notched = bar("rail", 0, 0, 300, end=EndCut("notch", along=15, across=20, side="left"))
    parts = (notched, bar("post", 305, 0, 200, 90))
    covered = {f.of.side: f.free for f in faces(parts) if f.of.part == "rail" and not f.clear}
    assert len(covered) == 2
    assert all(free == () for free in covered.values())
