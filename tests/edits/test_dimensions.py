import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from shapely import LineString

from gridjig.edits.dimensions import chain, gap, set_gap
from gridjig.edits.members import add, between, member_of, set_cut
from gridjig.geometry.part_outline import part_edge
from gridjig.model import Display, EndCut, FaceOf, Job
from tests.stock import SQUARE, bar
from tests.workshop import laid, plate

MM = Display(unit="millimetres")


def two_rails(turn: float = 0.0, apart: float = 300.0) -> Job:
    """A rail, and another to its left as seen along it, centre lines that far apart."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    job = laid(plate("rib", 900, 900))
    for name, left in (("one", 0.0), ("two", apart)):
        a = (50 - s * left, 80 + c * left)
        job = add(job, between(name, name, SQUARE, a, (a[0] + 700 * c, a[1] + 700 * s)))
    return job


def lines(job: Job, one: FaceOf, other: FaceOf) -> float:
    parts = [job.find(f.part) for f in (one, other)]
    a, b = (part_edge(p, f.side) for p, f in zip(parts, (one, other), strict=True))  # type: ignore[arg-type]
    middle = LineString(b).interpolate(0.5, normalized=True)
    ax, ay = a[1][0] - a[0][0], a[1][1] - a[0][1]
    long = LineString([(a[0][0] - 9 * ax, a[0][1] - 9 * ay), (a[1][0] + 9 * ax, a[1][1] + 9 * ay)])
    return long.distance(middle)


@pytest.mark.source("library", "shapely 2.1", "distance between lines")
@given(st.floats(-180, 180).map(lambda v: round(v, 2)), st.floats(0, 900))
def test_typing_a_distance_moves_the_second_part(turn: float, value: float) -> None:
    job = two_rails(turn)
    inside = (FaceOf("one", 2), FaceOf("two", 0))
    assert gap(job, *inside) == pytest.approx(250, abs=1e-3)
    moved = set_gap(job, *inside, value)
    assert gap(moved, *inside) == pytest.approx(value, abs=1e-6)
    assert lines(moved, *inside) == pytest.approx(value, abs=1e-3)
    assert moved.parts[0] is job.parts[0]
    assert moved.parts[1] is job.parts[1]
    assert set_gap(moved, *inside, value) is moved


def test_the_part_stays_on_the_side_where_it_is() -> None:
    job = two_rails()
    down = set_gap(job, FaceOf("two", 2), FaceOf("one", 0), 500)
    assert member_of(down, "one").y == 80 + 325 - 500 + 25
    over = set_gap(job, FaceOf("one", 0), FaceOf("two", 2), 400)
    assert member_of(over, "two").y == 80 - 25 + 400 - 25


def test_from_faces_that_touch_it_goes_to_the_outside() -> None:
    job = set_gap(two_rails(), FaceOf("one", 2), FaceOf("two", 0), 0)
    assert member_of(job, "two").y == pytest.approx(130)
    apart = set_gap(job, FaceOf("one", 2), FaceOf("two", 0), 40)
    assert member_of(apart, "two").y == pytest.approx(170)


def test_others_go_along_but_never_the_fixed_one() -> None:
    job = set_gap(two_rails(), FaceOf("one", 2), FaceOf("two", 0), 260, along={"rib", "one"})
    assert job.parts[0].y == 910
    assert member_of(job, "one").y == 80


@pytest.mark.parametrize("angle", [0.0, 30.0])
def test_between_its_own_ends_it_sets_the_length(angle: float) -> None:
    cut = EndCut("mitre", angle) if angle else EndCut()
    job = add(laid(), bar(start=cut, end=cut.opposite, x=10, y=20, turn=50))
    start, end = FaceOf("bar", 3), FaceOf("bar", 1)
    assert gap(job, start, end) == pytest.approx(500 * math.cos(math.radians(angle)))
    longer = set_gap(job, start, end, 600)
    assert gap(longer, start, end) == pytest.approx(600)
    assert (member_of(longer, "bar").x, member_of(longer, "bar").y) == (10, 20)
    back = set_gap(job, end, start, 600)
    assert member_of(back, "bar").length == pytest.approx(member_of(longer, "bar").length)
    assert member_of(back, "bar").x != 10


@pytest.mark.parametrize(
    ("one", "other", "says"),
    [
        (FaceOf("one", 0), FaceOf("one", 0), "choose another face"),
        (FaceOf("one", 0), FaceOf("two", 1), "are not parallel"),
        (FaceOf("one", 0), FaceOf("one", 2), "its width is that of its section"),
        (FaceOf("rib", 0), FaceOf("rib", 2), "change its corners"),
        (FaceOf("notched", 1), FaceOf("notched", 3), "at one end of notched"),
    ],
)
def test_impossible_edits_are_refused_with_a_sentence(
    one: FaceOf, other: FaceOf, says: str
) -> None:
    notch = EndCut("notch", along=30, across=20)
    job = add(two_rails(), between("notched", "notched", SQUARE, (0, 500), (700, 500)))
    job = set_cut(job, "notched", "end", notch)
    with pytest.raises(ValueError, match=says):
        set_gap(job, one, other, 100)
    with pytest.raises(ValueError, match="cannot be less than 0"):
        set_gap(job, one, other, -1)


@pytest.mark.parametrize("turn", [0.02, 5.0, 45.0, 80.0])
def test_a_distance_needs_faces_that_are_parallel(turn: float) -> None:
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    slope = between("slope", "slope", SQUARE, (50, 480), (50 + 700 * c, 480 + 700 * s))
    job = add(two_rails(), slope)
    with pytest.raises(ValueError, match="one and slope are not parallel"):
        gap(job, FaceOf("one", 2), FaceOf("slope", 0))
    nearly = add(two_rails(), structs.replace(slope, turn=0.009))
    assert gap(nearly, FaceOf("one", 2), FaceOf("slope", 0)) == pytest.approx(350, abs=0.1)


@pytest.mark.source("method", "ordinates of a chain added by hand")
def test_a_chain_becomes_ordinates_from_its_datum() -> None:
    made = chain([19.05, 304.8, 101.6, 304.8, 19.05])
    assert made.ordinates == (0, 19.05, 323.85, 425.45, 730.25, 749.3)
    assert (made.misclosure, made.says) == (0, "")
    assert chain([]).ordinates == (0,)


def test_a_chain_that_closes_says_nothing() -> None:
    made = chain([0.1] * 10, 1.0, MM)
    assert (made.misclosure, made.says) == (0, "")
    assert chain([100, 200.004], 300, MM).says == ""


def test_a_chain_that_does_not_close_says_by_how_much() -> None:
    made = chain([100, 250, 100], 452, MM)
    assert made.misclosure == -2
    assert made.says == (
        'The chain does not close: it adds up to 450 mm (≈17.717"), the total is 452 mm'
        ' (≈17.795"); 2 mm (≈.079") short.'
    )
    over = chain([10, 20.5, 4], 34)
    assert "(0.5 mm) over." in over.says


@given(st.lists(st.floats(-900, 900).map(lambda v: round(v, 3)), max_size=12))
def test_ordinates_differ_by_the_chain(values: list[float]) -> None:
    ordinates = chain(values).ordinates
    steps = [b - a for a, b in pairwise(ordinates)]
    assert steps == pytest.approx(values, abs=1e-6)
