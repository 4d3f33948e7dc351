"""Where the work may lie: along the grid, face down, and what the move is said to be."""

import math

import pytest
from msgspec import structs

from gridjig.edits.weldment import flip, middle, move, turn
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.suggest.lies import MOST, directions, lies
from gridjig.suggest.values import Wishes
from gridjig.units.progress import SILENT
from tests.suggest.answers import made
from tests.suggest.test_pieces import block, job_with


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
