import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon
from shapely.affinity import affine_transform

from gridjig.geometry.lines import line_angle, through
from gridjig.geometry.part_outline import mill_faces, part_edge, part_ring
from gridjig.model import EndCut
from tests.stock import ROUND, bar
from tests.workshop import plate

MM = st.floats(-2000, 2000).map(lambda v: round(v, 2))
PLACE = st.tuples(MM, MM)


@pytest.mark.source("library", "shapely 2.1", "distance and intersection of long lines")
@given(PLACE, PLACE, PLACE, PLACE)
def test_where_lines_meet_and_how_far_off_points_lie(
    a: tuple[float, float],
    b: tuple[float, float],
    c: tuple[float, float],
    d: tuple[float, float],
) -> None:
    assume(a != b and c != d)
    one, other = through(a, b), through(c, d)
    long = LineString([one.place(-1e5), one.place(1e5)])
    assert abs(one.off(c)) == pytest.approx(long.distance(Point(c)), abs=1e-6)
    sine = one.along[0] * other.along[1] - one.along[1] * other.along[0]
    assume(abs(sine) > 0.1)
    met = one.meets(other)
    assert met is not None
    crossing = long.intersection(LineString([other.place(-1e5), other.place(1e5)]))
    assert one.place(met) == pytest.approx((crossing.x, crossing.y), abs=1e-6)  # type: ignore[attr-defined]
    assert one.how_far(one.place(met)) == pytest.approx(met, abs=1e-6)


@pytest.mark.source("library", "shapely 2.1", "affine_transform by the reflection matrix")
@given(PLACE, PLACE, PLACE)
def test_a_mirrored_point(
    a: tuple[float, float], b: tuple[float, float], p: tuple[float, float]
) -> None:
    assume(a != b)
    line = through(a, b)
    c, s = line.along
    matrix = [2 * c * c - 1, 2 * c * s, 2 * c * s, 2 * s * s - 1]
    shifted = affine_transform(Point(p[0] - a[0], p[1] - a[1]), [*matrix, a[0], a[1]])
    assert line.mirrored(p) == pytest.approx((shifted.x, shifted.y), abs=1e-6)
    assert line.mirrored(line.mirrored(p)) == pytest.approx(p, abs=1e-6)


def test_parallel_lines_do_not_meet_and_a_line_needs_two_points() -> None:
    assert through((0, 0), (5, 5)).meets(through((1, 0), (-9, -10))) is None
    with pytest.raises(ValueError, match="two different points"):
        through((1, 1), (1, 1))


def test_sides_of_parts() -> None:
    made = bar(ROUND, end=EndCut("cope", 0, 60.3), x=100, y=50, turn=90)
    right, left = mill_faces(made)
    assert part_edge(made, right)[0] == pytest.approx((100 + 24.15, 50))
    assert part_edge(made, left)[1] == pytest.approx((100 - 24.15, 50))
    last = len(made.corners) - 1
    assert part_edge(made, last)[1] == part_ring(made)[0]
    flat = plate("p", 10, 20)
    assert mill_faces(flat) == (0, 1, 2, 3)
    edges = [part_edge(flat, k) for k in range(4)]
    assert Polygon([a for a, _ in edges]).equals(Polygon(part_ring(flat)))
    with pytest.raises(ValueError, match="4 sides and no side 5"):
        part_edge(flat, 4)


@pytest.mark.parametrize(
    ("b", "angle"), [((1, 0), 0), ((0, 1), 90), ((-1, 0), 0), ((0, -1), 90), ((-1, -1), 45)]
)
def test_a_line_has_one_angle_whichever_way_it_is_drawn(
    b: tuple[float, float], angle: float
) -> None:
    assert line_angle((5, 5), (5 + b[0], 5 + b[1])) == pytest.approx(angle)
    assert line_angle((0, 0), (-1e3, 1e-12)) == 0.0
