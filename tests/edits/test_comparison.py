"""Two jobs compared: nothing for equal jobs, every difference of unequal ones, and by how much."""

import pytest
from hypothesis import given
from msgspec import structs

from gridjig.edits import parts, placements, selection, table
from gridjig.edits.comparison import compare, face_moved, holes_moved, shift_of
from gridjig.files.jobs.job_file import read_job, write_job
from gridjig.model import FaceOf, Hole, Job, Member, Placement, Plate, Seat, Weld
from tests.files.somejobs import jobs
from tests.stock import bar
from tests.workshop import laid, pin, plate, put, seat, stop

JOB = laid(stop("s", 3, 3), pin("p", 6, 6), plate("bar", 300, 300), plate("rib", 500, 300))


@given(jobs())
def test_a_job_compared_with_itself_or_its_copy_differs_in_nothing(job: Job) -> None:
    assert compare(job, job) == ()
    assert compare(job, read_job(write_job(job))) == ()


@given(jobs(), jobs())
def test_jobs_that_differ_never_give_an_empty_answer(one: Job, other: Job) -> None:
    assert bool(compare(one, other)) == (one != other)
    assert len(compare(one, other)) == len(compare(other, one))


@given(jobs(), jobs())
@pytest.mark.source("method", "brute force: every field of the job and every thing by its id")
def test_the_differences_are_complete(one: Job, other: Job) -> None:
    found = compare(one, other)
    taken = {name: getattr(d.new, name) for d in found if d.sort == "job" for name in d.fields}
    collected = ("table", "rack", "weldments", "parts", "placements", "welds", "critical")
    rest = {name: getattr(other, name) for name in collected}
    assert structs.replace(one, **taken, **rest) == other
    was = {thing.id: thing for thing in (*one.placements, *one.parts)}
    now = {thing.id: thing for thing in (*other.placements, *other.parts)}
    named = {d.thing.id for d in found if isinstance(d.thing, Placement | Plate | Member)}
    assert named == {k for k in was.keys() | now.keys() if was.get(k) != now.get(k)}


def test_added_removed_and_changed_are_told_apart() -> None:
    moved = selection.shift(selection.remove(JOB, {"rib"}), {"p"}, 1, 0)
    there = structs.replace(moved, placements=(*moved.placements, pin("q", 9, 9)))
    found = [(d.sort, d.does, getattr(d.thing, "id", "")) for d in compare(JOB, there)]
    assert found == [
        ("part", "removed", "rib"),
        ("placed piece", "changed", "p"),
        ("placed piece", "added", "q"),
    ]
    back = [(d.does, getattr(d.thing, "id", "")) for d in compare(there, JOB)]
    assert back == [("added", "rib"), ("changed", "p"), ("removed", "q")]


def test_the_order_alone_is_a_difference() -> None:
    there = structs.replace(JOB, parts=JOB.parts[::-1])
    assert [(d.sort, d.does) for d in compare(JOB, there)] == [("part", "order")]


def test_a_member_in_place_of_a_plate_is_one_removed_and_one_added() -> None:
    there = structs.replace(JOB, parts=(structs.replace(bar(), id="bar"), JOB.parts[1]))
    assert [(d.sort, d.does) for d in compare(JOB, there)] == [
        ("part", "added"),
        ("part", "removed"),
    ]


def test_a_weld_is_known_by_its_joint_whichever_part_comes_first() -> None:
    one = structs.replace(JOB, welds=(Weld(a="bar", b="rib", kind="fillet", leg=3),))
    other = structs.replace(JOB, welds=(Weld(a="rib", b="bar", kind="fillet", leg=6),))
    (found,) = compare(one, other)
    assert (found.sort, found.does, found.fields) == ("weld", "changed", ("a", "b", "leg"))


def test_marks_and_critical_faces_are_told_one_by_one() -> None:
    marked = table.mark_holes(JOB, {Hole(1, 1), Hole(2, 1)}, "blocked")
    there = structs.replace(marked, critical=(FaceOf("bar", 0),))
    assert [(d.sort, d.does) for d in compare(JOB, there)] == [
        ("critical face", "added"),
        ("hole", "added"),
        ("hole", "added"),
    ]


@pytest.mark.source("method", "by hand: what was moved by 12 and -7.5 mm moved by that")
def test_how_far_a_part_moved() -> None:
    before = JOB.parts[0]
    turned = parts.turn_about(JOB, "bar", 350.0, (before.x, before.y)).parts[0]
    after = structs.replace(turned, x=before.x + 12, y=before.y - 7.5)
    assert shift_of(before, after) == pytest.approx((12, -7.5, -10))


@pytest.mark.source("method", "by hand: what was moved by 2 columns and -1 row moved by that")
def test_how_many_holes_a_piece_moved() -> None:
    before = JOB.placements[0]
    after = selection.shift(JOB, {"s"}, 2, -1).placements[0]
    assert holes_moved(before, after) == Hole(2, -1)
    assert holes_moved(before, structs.replace(before, seats=before.seats[:1])) is None
    apart = tuple(
        Seat(one.feature, Hole(one.hole.col + n, one.hole.row))
        for n, one in enumerate(before.seats)
    )
    assert len(apart) == 2
    assert holes_moved(before, structs.replace(before, seats=apart)) is None


@pytest.mark.source("method", "by arithmetic: a shim 1 mm thick brings the face 1 mm further out")
def test_how_far_a_face_moved() -> None:
    slider = put("a", "slider", seat("s", 5, 5), slide=20)
    job = laid(slider, stop("s", 3, 3))
    drawn = placements.set_pose(job, "a", slide=27.5)
    moved = face_moved(job, drawn, job.placements[0], drawn.placements[0])
    assert moved is not None
    assert abs(moved.after - moved.before) == pytest.approx(7.5)
    packed = placements.set_packing(job, "s", ("shim",))
    moved = face_moved(job, packed, job.placements[1], packed.placements[1])
    assert moved is not None
    assert moved.after - moved.before == pytest.approx(1)
    assert face_moved(job, job, job.placements[0], job.placements[0]) is None
    lost = structs.replace(slider, piece="nothing")
    assert face_moved(job, job, lost, lost) is None
