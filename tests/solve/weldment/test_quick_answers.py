"""What joints and faces answer without a library's geometry, against that library."""

import math
import random
import time

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.edits.parts import polygon
from gridjig.model import Job
from gridjig.solve.layout.remainders import remainders
from gridjig.solve.weldment.faces import _touched
from gridjig.solve.weldment.joints import Joint, _shared, _wide
from tests.workshop import RACK, TABLE

size = st.floats(0.01, 40)
place = st.floats(-50, 50)


def ragged(number: int) -> shapely.Polygon:
    """A star of odd points, often very thin, sometimes with holes."""
    chance = random.Random(number)
    count = chance.randint(3, 9)
    thin = chance.choice([1.0, 0.1, 0.01])
    turns = sorted(chance.uniform(0, math.tau) for _ in range(count))
    far = [chance.uniform(0.1, 5.0) for _ in turns]
    ring = [(r * math.cos(t), thin * r * math.sin(t)) for r, t in zip(far, turns, strict=True)]
    made = shapely.make_valid(shapely.Polygon(ring))
    whole = max(shapely.get_parts(made), key=lambda part: part.area)
    assert isinstance(whole, shapely.Polygon | shapely.LineString | shapely.Point)
    if not isinstance(whole, shapely.Polygon):
        return shapely.box(0, 0, 3, thin)
    spots = range(chance.randint(0, 30))
    bits = shapely.MultiPoint(
        [(chance.uniform(-2, 2), thin * chance.uniform(-2, 2)) for _ in spots]
    )
    left = whole.difference(bits.buffer(0.05, quad_segs=2))
    if isinstance(left, shapely.Polygon) and not left.is_empty:
        return left
    return whole


@pytest.mark.source("library", "shapely 2.1", "a negative buffer, which leaves nothing of a strip")
@pytest.mark.untraced
def test_an_area_is_wide_where_something_is_left_of_it_after_a_buffer() -> None:
    answers = []
    for number in range(1500):
        piece = ragged(number)
        for deep in (0.05, 0.2, 1.0):
            left = piece.buffer(-deep / 2.0, join_style="mitre")
            answers.append(_wide(piece, deep))
            assert answers[-1] == (not left.is_empty), (number, deep)
    assert 300 < sum(answers) < len(answers) - 300


@given(place, place, place, place, place, place, st.floats(0, 3))
@pytest.mark.source("library", "shapely 2.1", "distance and projection of a point on a line")
def test_where_a_corner_joint_reaches_a_face(
    ax: float, ay: float, bx: float, by: float, x: float, y: float, gap: float
) -> None:
    a, b = (ax, ay), (bx, by)
    length = math.dist(a, b)
    assume(length > 1e-3)
    joint = Joint("j", "p", "q", 0, "corner", (x, y), 0.0, 1.0, gap=gap)
    face, point = shapely.LineString((a, b)), shapely.Point(x, y)
    off = face.distance(point) - (gap / 2.0 + 0.05)
    found = _touched(a, b, length, joint)
    assume(abs(off) > 1e-9)
    assert len(found) == (off < 0.0)
    at = face.project(point)
    assert all(low == high == pytest.approx(at, abs=1e-9) for low, high in found)


@given(place, place, size, size, place, place, size, size)
@pytest.mark.source("library", "shapely 2.1", "the box that two boxes have in common")
def test_what_two_boxes_share(
    x: float, y: float, w: float, d: float, x2: float, y2: float, w2: float, d2: float
) -> None:
    one, other = (x, y, x + w, y + d), (x2, y2, x2 + w2, y2 + d2)
    common = shapely.box(*one).intersection(shapely.box(*other))
    shared = _shared(one, other)
    assert (shared < 0.0) == common.is_empty
    if not common.is_empty:
        left, front, right, back = common.bounds
        assert shared == pytest.approx(min(right - left, back - front), abs=1e-9)


@pytest.mark.untraced
def test_remainders_of_a_thousand_scattered_plates_take_a_fraction_of_a_second() -> None:
    """Ten thousand take about ten times as long: nothing compares every plate with every other."""
    chance = random.Random(1)

    def scattered(count: int, room: float) -> Job:
        made = []
        for k in range(count):
            x, y = chance.uniform(0, room), chance.uniform(0, room)
            w, d = chance.uniform(3, 30), chance.uniform(3, 30)
            ring = [(x, y), (x + w, y), (x + w, y + d), (x, y + d)]
            made.append(polygon(f"p{k}", f"p{k}", ring, (0, 10)))
        return Job(name="plates", table=TABLE, rack=RACK, parts=tuple(made))

    def took(job: Job) -> float:
        begun = time.process_time()
        assert len(remainders(job).found) > len(job.parts)
        return time.process_time() - begun

    few, many = scattered(500, 400.0), scattered(4000, 400.0 * math.sqrt(8.0))
    took(structs.replace(few, parts=few.parts[:20]))
    assert took(many) < 8.0 * 2.5 * took(few)
