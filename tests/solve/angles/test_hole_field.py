"""The usable holes, and how many places there are for each step."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from msgspec.structs import replace

from gridjig.model import Hole, HoleMark
from gridjig.rack.same import Same
from gridjig.solve.angles.answers import AlongFace, AngleLimits
from gridjig.solve.angles.faults import AngleFault, AskedWrong
from gridjig.solve.angles.hole_field import beside, beside_by, field_of, inside
from tests.anglekit import grid_table, hole_pairs


@pytest.mark.source("method", "brute force over all hole pairs")
@given(st.integers(2, 7), st.integers(2, 7), st.data())
def test_places_of_all_steps(columns: int, rows: int, data: st.DataObject) -> None:
    holes = st.tuples(st.integers(0, columns - 1), st.integers(0, rows - 1))
    blocked = data.draw(st.lists(holes, max_size=columns * rows - 2, unique=True))
    table = grid_table(columns, rows, blocked=blocked)
    field = field_of(table, AngleLimits())
    counted: dict[tuple[int, int], set[tuple[Hole, Hole]]] = {}
    for a, b, _, _ in hole_pairs(table):
        m, n = b.col - a.col, b.row - a.row
        counted.setdefault((m, n), set()).add((a, b))
        counted.setdefault((-m, -n), set()).add((b, a))
    for m in range(1 - columns, columns):
        for n in range(1 - rows, rows):
            if (m, n) == (0, 0):
                continue
            wanted = counted.get((m, n), set())
            assert field.count(np.array([m]), np.array([n]))[0] == len(wanted)
            assert set(field.places(m, n)) == wanted
            if wanted:
                first = min(wanted, key=lambda pair: (pair[0].row, pair[0].col))
                assert field.place(m, n, None) == first
                x, y = 60.0, 110.0

                def away(pair: tuple[Hole, Hole], x: float = x, y: float = y) -> float:
                    (ax, ay), (bx, by) = (table.at(h) for h in pair)
                    return math.hypot((ax + bx) / 2 - x, (ay + by) / 2 - y)

                near = field.place(m, n, (x, y))
                assert near in wanted
                assert away(near) == pytest.approx(min(map(away, wanted)))
    assert field.holes == columns * rows - len(blocked)


@pytest.mark.source(
    "method", "computed apart from the program, by brute force over all offset vectors"
)
@pytest.mark.parametrize(
    ("pitches", "count", "half_gap"),
    [
        (3, 8, 13.282526),
        (4, 16, 9.217474),
        (6, 36, 5.654966),
        (8, 60, 4.065051),
        (12, 132, 2.597214),
    ],
)
def test_how_few_directions_short_bases_have(pitches: int, count: int, half_gap: float) -> None:
    angle = field_of(grid_table(24, 24), AngleLimits()).pairs(0.0, pitches * 50.0).angle
    assert angle.size == count
    gaps = np.diff(angle, append=angle[0] + 180.0)
    assert gaps.max() / 2 == pytest.approx(half_gap, abs=5e-7)


def test_a_field_is_kept_for_the_same_table_and_limits() -> None:
    table = grid_table(6, 6)
    assert field_of(table, AngleLimits()) is field_of(table, AngleLimits(leg=3.0))
    assert field_of(table, AngleLimits()) is not field_of(grid_table(6, 6), AngleLimits())
    field = field_of(table, AngleLimits())
    assert field.reach(0, 100) is field.reach(0, 100)
    for k in range(70):  # more than are kept at once
        field.reach(0, 100 + k)
    assert field.reach(0, 100).pairs == field.reach(0, 100.0000001).pairs
    assert Same(table) != table
    assert Same(table) == Same(table)


def test_every_mark_and_every_hole_taken_is_left_out() -> None:
    table = grid_table(4, 4)
    marks = (
        HoleMark(Hole(0, 0), "reserved"),
        HoleMark(Hole(1, 0), "oversize", 17.0),
        HoleMark(Hole(2, 0), "shallow", 5.0),
        HoleMark(Hole(3, 0), "damaged"),
    )
    from msgspec import structs

    marked = structs.replace(table, marks=marks)
    field = field_of(marked, AngleLimits(taken=frozenset({Hole(1, 1), Hole(9, 9)})))
    assert field.holes == 16 - 5
    assert not field.usable[0].any()
    assert not field.usable[1, 1]
    assert field_of(marked, AngleLimits(only_free=False)).holes == 16


@pytest.mark.source("library", "shapely 2", "Polygon.covers")
@given(
    st.lists(
        st.tuples(st.integers(-2, 12), st.integers(-2, 12)), min_size=3, max_size=7, unique=True
    )
)
def test_points_in_a_polygon(corners: list[tuple[int, int]]) -> None:
    ring = shapely.Polygon(corners)
    assume(ring.is_valid)
    x, y = (g.astype(np.float64) for g in np.meshgrid(np.arange(11), np.arange(11)))
    got = inside(tuple((float(a), float(b)) for a, b in corners), x, y)
    wanted = shapely.covers(ring, shapely.points(x, y))
    assert (got == wanted).all()


def test_a_polygon_with_a_corner_twice_is_the_same_polygon() -> None:
    x, y = (g.astype(np.float64) for g in np.meshgrid(np.arange(5), np.arange(5)))
    once = inside(((0, 0), (3, 0), (3, 3)), x, y)
    assert (inside(((0, 0), (3, 0), (3, 0), (3, 3)), x, y) == once).all()


@pytest.mark.parametrize("side", ["right", "left"])
def test_holes_beside_a_face(side: str) -> None:
    along = AlongFace(
        (0.0, 100.0),
        (400.0, 100.0),
        side="left" if side == "left" else "right",
        least=10.0,
        most=60.0,
        stretches=((50.0, 120.0), (180.0, 300.0)),
    )
    y = 60.0 if side == "right" else 140.0
    x = np.array([49.0, 50.0, 121.0, 179.0, 200.0, 300.0, 301.0])
    wanted = [False, True, False, False, True, True, False]
    assert beside(along, x, np.full(7, y)).tolist() == wanted
    whole = replace(along, stretches=())
    ends = np.array([-1.0, 0.0, 400.0, 401.0])
    assert beside(whole, ends, np.full(4, y)).tolist() == [False, True, True, False]
    others = np.array([95.0, 39.0, 161.0, 140.0 if side == "right" else 60.0])
    assert not beside(along, np.full(4, 200.0), others).any()
    assert beside_by(along, x, np.full(7, y)).tolist() == [40.0] * 7


def test_a_face_of_no_length_is_refused() -> None:
    with pytest.raises(AngleFault) as fault:
        AlongFace((1.0, 1.0), (1.0, 1.0))
    assert fault.value.reason == AskedWrong("face of no length")
    with pytest.raises(AngleFault):
        AlongFace((1.0, 1.0), (math.nan, 1.0))
    with pytest.raises(AngleFault):
        AlongFace((1.0, 1.0), (9.0, 1.0), stretches=((0.0, math.inf),))
