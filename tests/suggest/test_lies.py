"""Where the work may lie: along the grid, face down, and what the move is said to be."""

import math

import pytest
import shapely
from msgspec import structs

from gridjig.edits.members import add, between
from gridjig.edits.weldment import flip, middle, move, turn
from gridjig.files.library.sections import find_section
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.model.by_weldment import only
from gridjig.model.weldment import Weldment
from gridjig.solve.layout.places import weldment_places
from gridjig.suggest.lies import MOST, directions, each_by_itself, lies
from gridjig.suggest.values import Wishes
from gridjig.units.progress import SILENT
from tests.suggest.answers import made
from tests.suggest.test_pieces import TABLE, block, job_with


def frame() -> Job:
    return made("frame", {"width": 420.0, "depth": 310.0}, {"corners": "sides run through"})


def corners(job: Job) -> list[tuple[float, float]]:
    return [p for part in job.parts for p in part_ring(part)]


def test_the_directions_of_the_work() -> None:
    assert directions(frame()) == [0.0]
    job = frame()
    assert directions(turn(job, 30.0, middle(job))) == pytest.approx([30.0])
    assert directions(turn(job, 75.0, middle(job))) == pytest.approx([-15.0])
    legs = directions(made("a-frame", {"spread": 500.0, "height": 550.0, "bar": 180.0}))
    assert len(legs) == 2
    assert legs[0] == pytest.approx(-legs[1])
    assert directions(structs.replace(job, parts=())) == [0.0]


@pytest.mark.parametrize("by", [0.0, 30.0, 137.0])
def test_work_that_lies_askew_is_turned_along_the_grid(by: float) -> None:
    job = frame()
    job = turn(job, by, middle(job))
    found = lies(job, Wishes(), SILENT)
    assert 2 <= len(found) <= MOST + 1
    assert directions(found[0].job) == [0.0]


@pytest.mark.source("method", "the move done again, step by step, from where the work lay")
@pytest.mark.parametrize("by", [0.0, 30.0])
def test_the_move_that_is_told_is_the_move_that_was_made(by: float) -> None:
    job = frame()
    job = turn(job, by, middle(job))
    found = lies(job, Wishes(face_down=True), SILENT)
    assert {lie.flipped for lie in found} == {True, False}
    x, y = middle(job)
    for lie in found:
        there = flip(job, (x, y), (x, y + 1.0)) if lie.flipped else job
        there = move(turn(there, lie.turn, (x, y)), *lie.shift)
        off = [math.dist(p, q) for p, q in zip(corners(there), corners(lie.job), strict=True)]
        assert max(off) < 1e-6


def brace(job: Job, degrees: float, length: float = 150.0) -> Job:
    """A job with a short sloping bar more."""
    section = find_section("2x2x1/8", "square tube")
    assert section is not None
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    a = (500.0, 480.0)
    one = between(f"brace-{degrees}", "Brace", section, a, (a[0] + c * length, a[1] + s * length))
    return add(job, one)


def test_other_turns_lay_each_sloping_member_along_the_grid() -> None:
    job = brace(brace(frame(), 20.0), 33.0, 120.0)
    assert directions(job) == [0.0]  # both are too short to be tried unasked
    assert directions(job, every_one=True) == pytest.approx([0.0, 20.0, 33.0])
    assert {lie.turn % 90.0 for lie in lies(job, Wishes(), SILENT)} == {0.0}
    found = lies(job, Wishes(slopes=True), SILENT)
    assert {round(lie.turn % 90.0, 6) for lie in found} == {0.0, 70.0, 57.0}
    for number, turned in ((4, 70.0), (5, 57.0)):
        lain = [one.job.parts[number] for one in found if abs(one.turn % 90.0 - turned) < 1e-6]
        assert lain
        assert math.remainder(lain[0].turn, 90.0) == pytest.approx(0.0, abs=1e-9)


# -- several weldments -----------------------------------------------------------------------------


def two(first: float = 7.0, second: float = 19.0) -> Job:
    """Two square plates, each a weldment, off the grid by different amounts."""
    job = job_with(block(200.0, 200.0, 205.0 + first, 210.0 + first))
    other = structs.replace(
        block(200.0, 200.0, 600.0 + second, 500.0 + second), id="other", weldment="w2"
    )
    return structs.replace(
        job, parts=(*job.parts, other), weldments=(*job.weldments, Weldment(id="w2"))
    )


def packed(job: Job, weldment: str) -> int:
    return weldment_places(only(job, weldment), flips=False, turns=(0,), top=1).now.packed


@pytest.mark.source("method", "each weldment looked at as if it were the only one")
def test_each_weldment_is_moved_to_where_it_needs_the_least_packing() -> None:
    job = two()
    names = [one.id for one in job.weldments]
    lie = each_by_itself(job)
    assert lie is not None
    assert {one.weldment for one in lie.moves} == set(names)
    for name in names:
        assert packed(job, name) > 0
        alone = weldment_places(only(job, name), flips=False, top=1).found[0]
        assert packed(lie.job, name) == alone.packed
    assert lies(job, Wishes(), SILENT)[0].moves == lie.moves
    shifts = {one.shift for one in lie.moves}
    assert len(shifts) == 2  # one shift for both would not do


@pytest.mark.source("method", "the moves done again, weldment by weldment")
def test_the_moves_that_are_told_are_those_that_were_made() -> None:
    job = two()
    job = turn(job, 12.0, middle(job, "w2"), "w2")
    lie = each_by_itself(job)
    assert lie is not None
    there = job
    for one in lie.moves:
        about = middle(there, one.weldment)
        there = move(turn(there, one.turn, about, one.weldment), *one.shift, one.weldment)
    off = [math.dist(p, q) for p, q in zip(corners(there), corners(lie.job), strict=True)]
    assert max(off) < 1e-6
    assert directions(only(lie.job, "w2")) == [0.0]


@pytest.mark.source("method", "the distance between the plates, as shapely measures it")
@pytest.mark.parametrize("between_them", [0.0, 3.0, 30.0, 49.0])
def test_weldments_that_move_come_no_nearer_to_one_another(between_them: float) -> None:
    job = two()
    first, other = job.parts
    x0, y0 = first.x + 200.0 + between_them, first.y
    job = structs.replace(job, parts=(first, structs.replace(other, x=x0, y=y0)))
    lie = each_by_itself(job)
    if between_them == 0.0:
        assert lie is None or len(lie.moves) >= 1
    assert lie is not None
    a, b = (shapely.Polygon(part_ring(part)) for part in lie.job.parts)
    assert a.distance(b) >= min(between_them, TABLE.pitch_x) - 1e-6
    assert a.intersection(b).area < 1e-6


def test_one_weldment_and_those_that_lie_well_stay() -> None:
    assert each_by_itself(frame()) is None
    job = two()
    lie = each_by_itself(job)
    assert lie is not None
    assert each_by_itself(lie.job) is None


def test_it_stays_where_it_lies_if_it_may_not_move() -> None:
    job = frame()
    for wishes in (Wishes(move=False), Wishes(keep=True)):
        (only,) = lies(job, wishes, SILENT)
        assert only.job.parts == job.parts
        assert (only.shift, only.turn, only.flipped) == ((0.0, 0.0), 0.0, False)


def test_work_without_a_place_stays() -> None:
    wide = job_with(block(5000.0, 200.0, 0.0, 100.0))
    (only,) = lies(wide, Wishes(), SILENT)
    assert only.job.parts == wide.parts


def test_face_down_comes_first_where_less_is_then_raised() -> None:
    """A plate on top of another: face down, only the smaller one is raised, so it is no better."""
    low, high = block(300.0, 200.0, 400.0, 400.0), block(200.0, 100.0, 450.0, 450.0, 50.8)
    second = structs.replace(high, id="second", z_low=25.4)
    third = structs.replace(second, id="third", x=460.0, y=460.0, z_high=50.8)
    top = structs.replace(low, id="top", z_low=25.4, z_high=50.8)
    foot = structs.replace(second, id="foot", z_low=0.0, z_high=25.4)
    other = structs.replace(third, id="other", x=700.0)
    two_up = job_with(foot, top, structs.replace(other, x=480.0))
    assert lies(two_up, Wishes(face_down=True), SILENT)[0].flipped
    assert not lies(job_with(low, second), Wishes(face_down=True), SILENT)[0].flipped
