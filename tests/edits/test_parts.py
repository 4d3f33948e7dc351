import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon
from shapely.affinity import rotate, translate

from gridjig.edits import parts as edits
from gridjig.geometry import Pose
from gridjig.model import Job, Part, require_whole
from gridjig.rack import Point
from tests.workshop import laid, pin, plate

JOB = laid(pin("p", 2, 2), plate("bar", 100, 100))
MM = st.floats(-3000, 3000).map(lambda v: round(v, 3))


def ring(part: Part) -> tuple[Point, ...]:
    return Pose(part.x, part.y, part.turn).points(part.corners)


@given(MM, MM, MM, MM)
def test_a_rectangle_spans_its_two_points(ax: float, ay: float, bx: float, by: float) -> None:
    if round(abs(bx - ax), 6) == 0 or round(abs(by - ay), 6) == 0:
        with pytest.raises(ValueError, match="width and a depth"):
            edits.rectangle("r", "r", (ax, ay), (bx, by), (0, 6))
        return
    made = edits.rectangle("r", "r", (ax, ay), (bx, by), (0, 6))
    bounds = Polygon(ring(made)).bounds
    assert bounds == pytest.approx((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
    assert Polygon(made.corners).exterior.is_ccw


def test_a_typed_size_is_kept_as_typed() -> None:
    inch = 25.4
    made = edits.rectangle("r", "r", (0, 0), (5.375 * inch, 2 * inch), (0, 6))
    assert made.corners[2] == (5.375 * inch, 2 * inch)


def test_a_polygon_runs_counter_clockwise_whichever_way_it_was_given() -> None:
    points = [(10.0, 10.0), (10.0, 40.0), (50.0, 10.0)]
    made = edits.polygon("t", "t", points, (0, 6))
    assert (made.x, made.y) == (10.0, 10.0)
    assert made.corners == ((0.0, 0.0), (40.0, 0.0), (0.0, 30.0))
    assert edits.polygon("t", "t", [*points, points[0]], (0, 6)) == made


@pytest.mark.parametrize(
    ("points", "says"),
    [
        ([], "three different corners"),
        ([(0, 0), (1, 0), (1, 0)], "three different corners"),
        ([(0, 0), (1, 1), (2, 2)], "on one line"),
        ([(0, 0), (4, 4), (4, 0), (0, 5)], "sides cross"),
    ],
)
def test_corners_that_bound_nothing_are_refused_in_words(points: list[Point], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        edits.polygon("t", "t", points, (0, 6))


def test_adding_and_changing_keeps_the_job_whole() -> None:
    job = edits.add_part(JOB, plate("rib", 5, 5))
    require_whole(job)
    for taken in ("bar", "p"):
        with pytest.raises(ValueError, match="already"):
            edits.add_part(JOB, plate(taken, 0, 0))
    job = edits.set_corners(job, "rib", [(0, 0), (10, 0), (0, 10)])
    job = edits.set_heights(job, "rib", 6, 12)
    job = edits.rename_part(job, "rib", " Rib plate ")
    rib = job.parts[1]
    assert (rib.name, rib.z_low, rib.z_high) == ("Rib plate", 6, 12)
    assert rib.corners == ((0, 0), (10, 0), (0, 10))
    assert job.parts[0] is JOB.parts[0]
    with pytest.raises(ValueError, match="its top must be higher"):
        edits.set_heights(job, "rib", 6, 6)


def test_a_place_is_set_exactly_and_what_is_not_named_stays() -> None:
    job = edits.set_place(JOB, "bar", x=1.25)
    job = edits.set_place(job, "bar", y=-3, turn=270)
    bar = job.parts[0]
    assert (bar.x, bar.y, bar.turn) == (1.25, -3, -90)
    assert edits.set_place(job, "bar") is job


@pytest.mark.source("library", "shapely 2.1", "affinity.rotate and affinity.translate")
@given(st.floats(-360, 360), MM, MM)
def test_turning_about_a_point_agrees_with_a_rigid_turn(deg: float, x: float, y: float) -> None:
    start = Polygon(ring(JOB.parts[0]))
    job = edits.turn_about(JOB, "bar", deg, (x, y))
    assert job.parts[0].corners is JOB.parts[0].corners
    expected = translate(rotate(start, deg, origin=(x, y)), 0, 0)
    assert Polygon(ring(job.parts[0])).symmetric_difference(expected).area < 1e-3


@given(st.integers(1, 200), MM, MM)
def test_quarter_turns_do_not_drift(times: int, x: float, y: float) -> None:
    job: Job = JOB
    for _ in range(4 * times):
        job = edits.turn_about(job, "bar", 90, (x, y))
    bar = job.parts[0]
    assert math.dist((bar.x, bar.y), (100, 100)) < 1e-6
    assert bar.turn == 0
