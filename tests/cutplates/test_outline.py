"""Outlines of cut plates: a trial's plate reckoned by hand, lands, reliefs, kerf, refusals."""

import math

import pytest
import shapely

from gridjig.cutplates.outline import LocatingEdge, OutlineCorner, cut_path, outline, relieved
from gridjig.geometry.layered import flattened
from gridjig.rack import Point

INCH = 25.4
STEEL = 0.2836  # lb per cubic inch


def inches(corners: tuple[OutlineCorner, ...]) -> list[Point]:
    return [(corner.at[0] / INCH, corner.at[1] / INCH) for corner in corners]


def area(corners: tuple[OutlineCorner, ...], grow: float = 0.0) -> float:
    return float(shapely.Polygon(flattened(cut_path("CUT", corners, grow), 0.001)).area)


@pytest.mark.source("method", "trial weldment T06: the plate's corners, area and mass by hand")
def test_the_plate_of_the_strut_at_37_5_degrees() -> None:
    # From hole M7, pins in M7 and O7; 12 in of edge, 1 in of steel below the pins, 1-1/2 in beside.
    upper, lower = (4.4257 * INCH, 8.2402 * INCH), (-5.0946 * INCH, 0.9350 * INCH)
    assert math.dist(upper, lower) == pytest.approx(12 * INCH, abs=0.01)
    made = outline([LocatingEdge(upper, lower)], [(0.0, 0.0), (4 * INCH, 0.0)], INCH, 1.5 * INCH)
    wanted = [
        (-5.0946, 0.9350), (-5.0946, -1.0), (5.9257, -1.0), (5.9257, 8.2402), (4.4257, 8.2402)
    ]  # fmt: skip
    found = inches(made)
    assert len(found) == len(wanted)
    start = min(range(5), key=lambda k: math.dist(found[k], wanted[0]))
    assert [*found[start:], *found[:start]] == [
        pytest.approx(corner, abs=1e-6) for corner in wanted
    ]
    square_inches = area(made) / INCH**2
    assert square_inches == pytest.approx(67.06, abs=0.005)
    assert square_inches * 0.25 * STEEL == pytest.approx(4.75, abs=0.005)
    # How far the hole centres are from the edge.
    ux, uy = LocatingEdge(upper, lower).along
    for pin, away in (((0.0, 0.0), 3.8432), ((4 * INCH, 0.0), 6.2782)):
        off = (pin[0] - upper[0]) * -uy + (pin[1] - upper[1]) * ux
        assert off / INCH == pytest.approx(away, abs=2e-4)


def test_sides_along_the_edge_make_a_rectangle() -> None:
    edge = LocatingEdge((100.0, 80.0), (0.0, 0.0))
    turn = math.degrees(math.atan2(-80.0, -100.0))
    made = outline([edge], [(30.0, -20.0), (60.0, 0.0)], 20.0, 20.0, turn)
    assert len(made) == 4
    ring = shapely.Polygon([corner.at for corner in made])
    assert ring.area == pytest.approx(ring.minimum_rotated_rectangle.area)


def test_no_corner_of_a_plate_is_a_sharp_point() -> None:
    pins = [(30.0, -40.0), (80.0, -10.0)]
    for a, b in (
        ((100.0, 80.0), (0.0, 0.0)),
        ((100.0, 10.0), (0.0, 0.0)),
        ((20.0, 90.0), (0.0, 0.0)),
    ):
        if a == (20.0, 90.0):
            pins = [(40.0, 0.0), (70.0, 50.0)]
        made = outline([LocatingEdge(a, b)], pins, 20.0, 25.0)
        ring = [corner.at for corner in made]
        assert len(ring) >= 5
        for k, at in enumerate(ring):
            before, after = ring[k - 1], ring[(k + 1) % len(ring)]
            u = (before[0] - at[0], before[1] - at[1])
            v = (after[0] - at[0], after[1] - at[1])
            cosine = (u[0] * v[0] + u[1] * v[1]) / (math.hypot(*u) * math.hypot(*v))
            assert cosine < 1e-9, f"a point at {at}"


NEST = (LocatingEdge((100.0, 0.0), (0.0, 0.0)), LocatingEdge((0.0, 0.0), (0.0, 60.0)))


@pytest.mark.source("method", "arithmetic: three quarters of a circle in a corner, half on a side")
def test_reliefs_take_their_arcs_out_of_the_steel() -> None:
    plain = outline(NEST, [(-30.0, -30.0), (70.0, -30.0)], 20.0, 20.0)
    corner = relieved(plain, 5.0, (), 0.0)
    assert sum(bool(one.relief) for one in corner) == 1
    assert area(plain) - area(corner) == pytest.approx(0.75 * math.pi * 25.0, rel=1e-3)
    both = relieved(plain, 5.0, [(50.0, 0.0), (50.0, 30.0)], 8.0)
    assert area(corner) - area(both) == pytest.approx(0.5 * math.pi * 64.0, rel=1e-3)
    at_the_end = relieved(plain, 0.0, [(99.0, 0.0)], 8.0)
    assert area(plain) - area(at_the_end) == pytest.approx(0.25 * math.pi * 64.0, rel=1e-3)


@pytest.mark.source("library", "shapely 2.1", "buffer with mitred corners, and of a circle")
@pytest.mark.parametrize("kerf", [0.2, 0.4])
def test_a_kerf_grows_the_outline_and_shrinks_the_reliefs(kerf: float) -> None:
    plain = outline(NEST, [(-30.0, -30.0), (70.0, -30.0)], 20.0, 20.0)
    grown: shapely.geometry.base.BaseGeometry = shapely.Polygon([corner.at for corner in plain])
    grown = grown.buffer(kerf / 2, join_style="mitre")
    assert area(plain, kerf / 2) == pytest.approx(grown.area)
    bitten = relieved(plain, 5.0, [(50.0, 0.0)], 8.0)
    for at, radius in (((0.0, 0.0), 5.0), ((50.0, 0.0), 8.0)):
        grown = grown.difference(shapely.Point(at).buffer(radius - kerf / 2, quad_segs=256))
    cut = shapely.Polygon(flattened(cut_path("CUT", bitten, kerf / 2), 0.001))
    assert cut.is_valid
    assert cut.symmetric_difference(grown).area < 0.05
    with pytest.raises(ValueError, match="kerf"):
        cut_path("CUT", relieved(plain, 0.3, (), 0.0), 0.2)


def test_what_cannot_be_one_plate_is_refused() -> None:
    slot = [LocatingEdge((100.0, 0.0), (0.0, 0.0)), LocatingEdge((0.0, 40.0), (100.0, 40.0))]
    with pytest.raises(ValueError, match="cut the plate in two"):
        outline(slot, [(20.0, -30.0), (80.0, 70.0)], 20.0, 20.0)
    with pytest.raises(ValueError, match="wrong side"):
        outline([LocatingEdge((100.0, 0.0), (0.0, 0.0))], [(20.0, 30.0), (80.0, -30.0)], 20.0, 20.0)
    plain = outline(NEST, [(-30.0, -30.0), (70.0, -30.0)], 20.0, 20.0)
    with pytest.raises(ValueError, match="nothing of an edge"):
        relieved(plain, 40.0, [(50.0, 0.0)], 20.0)


def test_an_edge_with_room_stands_back_from_the_work() -> None:
    edge = LocatingEdge((100.0, 0.0), (0.0, 0.0), clear=0.5)
    assert edge.cut == ((100.0, -0.5), (0.0, -0.5))
