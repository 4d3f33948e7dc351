"""The whole weldment: moved, turned, laid on a line, turned face down, mirrored."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from shapely import affinity

from gridjig.edits import weldment as edits
from gridjig.edits.copies import mirrored_side
from gridjig.edits.joints import set_welds
from gridjig.geometry.part_mass import load
from gridjig.geometry.part_outline import part_edge, part_ring
from gridjig.model import Datum, EndCut, FaceOf, Job, Part, Plate, Weldment
from gridjig.rack import Point
from gridjig.solve.weldment.faces import faces
from gridjig.solve.weldment.joints import joints
from gridjig.solve.weldment.welds import welded
from tests.solve.weldments import ANGLE, bar, coped, frame, job_of
from tests.workshop import laid, pin

WEDGE = Plate(
    id="wedge",
    name="wedge",
    corners=((0, 0), (90, 0), (60, 40), (0, 25)),
    x=130,
    y=250,
    turn=15,
    z_low=12,
    z_high=20,
)
PARTS: tuple[Part, ...] = (
    *frame(),
    WEDGE,
    bar("leg", 480, 300, 90, 200, z=40, section=ANGLE, start=EndCut("mitre", 20)),
    bar("notched", 300, 240, 120, 90, end=EndCut("notch", along=15, across=10, side="right")),
)
JOB = structs.replace(
    set_welds(job_of(*PARTS), leg=4),
    weldments=(
        Weldment(id="weldment-1", datum=Datum(long=FaceOf("front", 0), end=FaceOf("wedge", 3))),
    ),
    critical=(FaceOf("notched", 3), FaceOf("leg", 1)),
)
DEGREES = st.floats(-180, 180)
NUMBER = st.floats(-2000, 2000)


def plan(part: Part) -> shapely.Polygon:
    return shapely.Polygon(part_ring(part))


def require_alike(one: Job, other: Job) -> None:
    """The same parts in the same places, apart from rounding."""
    for p, q in zip(one.parts, other.parts, strict=True):
        assert plan(p).symmetric_difference(plan(q)).area < 1e-3
        assert (p.z_low, p.z_high) == pytest.approx((q.z_low, q.z_high), abs=1e-9)
        a, b = load(p), load(q)
        assert (a.mass, a.x, a.y, a.z) == pytest.approx((b.mass, b.x, b.y, b.z), abs=1e-6)
    assert (one.weldments[0].datum, one.critical, one.welds) == (
        other.weldments[0].datum,
        other.critical,
        other.welds,
    )


@pytest.mark.source("library", "shapely 2", "affinity, mirrored about a line")
@given(DEGREES, NUMBER, NUMBER)
def test_flipping_mirrors_the_plan_and_turns_the_heights_round(
    angle: float, x: float, y: float
) -> None:
    c, s = math.cos(math.radians(2 * angle)), math.sin(math.radians(2 * angle))
    line = ((x, y), (x + math.cos(math.radians(angle)), y + math.sin(math.radians(angle))))
    over = edits.flip(JOB, *line)
    assert len(over.parts) == 7
    for old, new in zip(JOB.parts, over.parts, strict=True):
        at_zero = affinity.translate(plan(old), -x, -y)
        mirrored = affinity.translate(affinity.affine_transform(at_zero, [c, s, s, -c, 0, 0]), x, y)
        assert plan(new).symmetric_difference(mirrored).area < 1e-3
        assert plan(new).exterior.is_ccw
        assert (new.z_low, new.z_high) == pytest.approx((90 - old.z_high, 90 - old.z_low))
        before, after = load(old), load(new)
        assert after.mass == pytest.approx(before.mass)
        assert after.z == pytest.approx(90 - before.z)
        middle = shapely.Point(before.x - x, before.y - y)
        image = affinity.affine_transform(middle, [c, s, s, -c, x, y])
        assert (after.x, after.y) == pytest.approx((image.x, image.y), abs=1e-6)


@given(DEGREES, NUMBER, NUMBER)
def test_flipping_twice_over_one_line_is_nothing(angle: float, x: float, y: float) -> None:
    line = ((x, y), (x + math.cos(math.radians(angle)), y + math.sin(math.radians(angle))))
    require_alike(edits.flip(edits.flip(JOB, *line), *line), JOB)
    require_alike(edits.mirror(edits.mirror(JOB, *line), *line), JOB)


@given(DEGREES, NUMBER, NUMBER)
def test_moving_and_turning_back_is_nothing(angle: float, x: float, y: float) -> None:
    there = edits.turn(edits.move(JOB, x, y), angle, (x, y))
    require_alike(edits.move(edits.turn(there, -angle, (x, y)), -x, -y), JOB)


def test_nothing_to_do_is_the_same_job() -> None:
    assert edits.move(JOB, 0, 0) is JOB
    assert edits.turn(JOB, 360, (3, 4)) is JOB
    empty = job_of()
    assert edits.move(empty, 1, 1) is empty
    assert edits.flip(empty, (0, 0), (1, 0)).parts == ()


def test_pieces_stay_in_their_holes() -> None:
    job = laid(pin("p", 3, 3), job=JOB)
    for moved in (
        edits.move(job, 5, 5),
        edits.turn(job, 90, (0, 0)),
        edits.flip(job, (0, 0), (1, 0)),
    ):
        assert moved.placements == job.placements


@given(DEGREES)
def test_faces_are_followed_when_it_is_turned_over(angle: float) -> None:
    a, b = (0.0, 0.0), (math.cos(math.radians(angle)), math.sin(math.radians(angle)))
    for change in (edits.flip, edits.mirror):
        over = change(JOB, a, b)
        for old, new in zip(chosen(JOB), chosen(over), strict=True):
            p, q = part_edge(JOB.parts[index(JOB, old)], old.side)
            u, v = part_edge(over.parts[index(over, new)], new.side)
            assert image(p, angle) == pytest.approx(v, abs=1e-6)
            assert image(q, angle) == pytest.approx(u, abs=1e-6)


def chosen(job: Job) -> list[FaceOf]:
    assert job.weldments[0].datum.long is not None
    assert job.weldments[0].datum.end is not None
    return [job.weldments[0].datum.long, job.weldments[0].datum.end, *job.critical]


def index(job: Job, face: FaceOf) -> int:
    return next(k for k, part in enumerate(job.parts) if part.id == face.part)


def image(p: Point, angle: float) -> Point:
    c, s = math.cos(math.radians(2 * angle)), math.sin(math.radians(2 * angle))
    return (c * p[0] + s * p[1], s * p[0] - c * p[1])


def test_every_side_of_a_coped_and_a_notched_member_is_followed() -> None:
    for part in (coped(76.1, 300, 20)[1], PARTS[6], WEDGE):
        job = job_of(part)
        over = edits.mirror(job, (0, 0), (1, 0))
        sides = {mirrored_side(part, k) for k in range(len(part.corners))}
        assert sides == set(range(len(part.corners)))
        for k in range(len(part.corners)):
            p, q = part_edge(part, k)
            u, v = part_edge(over.parts[0], mirrored_side(part, k))
            assert (p[0], -p[1]) == pytest.approx(v, abs=1e-9)
            assert (q[0], -q[1]) == pytest.approx(u, abs=1e-9)


def test_joints_keep_ids_names_and_welds() -> None:
    for over in (edits.flip(JOB, (3, 4), (9, 5)), edits.mirror(JOB, (3, 4), (9, 5))):
        assert over.welds == JOB.welds
        assert [(w.joint.id, w.name, w.leg) for w in welded(over)] == [
            (w.joint.id, w.name, w.leg) for w in welded(JOB)
        ]


def test_hands_a_flip_keeps_them_and_a_mirror_changes_them() -> None:
    line = ((0.0, 0.0), (0.0, 1.0))
    old = JOB.parts[5]
    flipped, mirrored = (change(JOB, *line).parts[5] for change in (edits.flip, edits.mirror))
    assert isinstance(old, type(flipped))
    assert getattr(flipped, "mirrored") is False  # noqa: B009
    assert getattr(flipped, "way_up") == 180  # noqa: B009
    assert getattr(mirrored, "mirrored") is True  # noqa: B009
    assert getattr(edits.flip(JOB, *line).parts[0], "way_up") == 0  # noqa: B009


@given(DEGREES, NUMBER, NUMBER, st.sampled_from(["front", "wedge", "leg"]), st.booleans())
def test_a_face_is_laid_on_a_line(angle: float, x: float, y: float, part: str, start: bool) -> None:
    face = FaceOf(part, 0)
    laid_ = edits.lay(JOB, face, (x, y), angle, start=start)
    found = next(f for f in faces(laid_.parts) if f.of == face)
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    for p in (found.a, found.b):
        assert (p[0] - x) * s - (p[1] - y) * c == pytest.approx(0, abs=1e-6)
    assert found.normal == pytest.approx((s, -c), abs=1e-9)
    a, _ = part_edge(JOB.parts[index(JOB, face)], 0)
    along = (found.a[0] - x) * c + (found.a[1] - y) * s
    assert along == pytest.approx(0 if start else (a[0] - x) * c + (a[1] - y) * s, abs=1e-6)
    assert len(joints(laid_.parts)) == len(joints(JOB.parts))


def test_the_middle() -> None:
    assert edits.middle(job_of(*frame())) == (300, 350)
    with pytest.raises(ValueError, match="no weldment"):
        edits.middle(job_of())
    with pytest.raises(ValueError, match="two different points"):
        edits.flip(JOB, (1, 1), (1, 1))
    with pytest.raises(KeyError):
        edits.lay(JOB, FaceOf("none", 0), (0, 0), 0)
