"""Holes of a plate: areas and edges, the mass of what is left, and what cannot be cut."""

import math

import pytest
import shapely
from msgspec import structs

from gridjig.edits.copies import mirrored
from gridjig.geometry.lines import through
from gridjig.geometry.part_mass import load, mass
from gridjig.geometry.plate_holes import (
    FINE,
    bad_hole,
    hole_area,
    hole_ring,
    moved_hole,
    part_openings,
)
from gridjig.model import CutOut, Drilled, Plate, PlateHole, Slotted
from tests.workshop import box

ROUND = Drilled((30.0, 30.0), 18.0)
SLOT = Slotted((60.0, 20.0), (90.0, 60.0), 14.0)
OPENING = CutOut(((100.0, 10.0), (140.0, 10.0), (140.0, 70.0), (100.0, 70.0)))
EVERY: tuple[PlateHole, ...] = (ROUND, SLOT, OPENING)


def made(*holes: PlateHole, width: float = 200.0, depth: float = 100.0) -> Plate:
    return Plate(
        id="p", name="p", corners=box(0, 0, width, depth), holes=holes, z_low=0.0, z_high=10.0
    )


@pytest.mark.source("method", "areas of a circle, a slot and a rectangle by their formulas")
def test_areas_by_formula() -> None:
    assert hole_area(ROUND) == pytest.approx(math.pi * 81.0, rel=1e-12)
    assert hole_area(SLOT) == pytest.approx(math.pi * 49.0 + 14.0 * 50.0, rel=1e-12)
    assert hole_area(OPENING) == pytest.approx(2400.0, rel=1e-12)


@pytest.mark.parametrize("hole", EVERY)
def test_the_ring_has_the_area_of_the_hole(hole: PlateHole) -> None:
    ring = shapely.LinearRing(hole_ring(hole))
    assert ring.is_ccw
    assert ring.is_valid
    assert shapely.Polygon(ring).area == pytest.approx(hole_area(hole), rel=1e-9)


@pytest.mark.parametrize("diameter", [3.0, 18.0, 76.2, 400.0])
def test_the_ring_stays_on_its_circle(diameter: float) -> None:
    hole = Drilled((5.0, 7.0), diameter)
    ring = hole_ring(hole)
    middles = [
        ((a + c) / 2.0, (b + d) / 2.0)
        for (a, b), (c, d) in zip(ring, (*ring[1:], ring[0]), strict=True)
    ]
    off = [abs(math.dist(p, hole.at) - diameter / 2.0) for p in (*ring, *middles)]
    assert len(off) >= 64
    assert max(off) <= FINE


@pytest.mark.source("method", "200 x 100 x 10 mm at 7850 kg/m3 less the holes, by hand")
def test_the_mass_is_without_the_holes() -> None:
    full = 200.0 * 100.0 * 10.0 * 7850e-9
    assert mass(made()) == pytest.approx(full, rel=1e-12)
    less = (math.pi * 81.0 + math.pi * 49.0 + 700.0 + 2400.0) * 10.0 * 7850e-9
    assert mass(made(*EVERY)) == pytest.approx(full - less, rel=1e-9)
    assert mass(made(*EVERY)) == pytest.approx(1.2947, abs=5e-4)


@pytest.mark.source("method", "the moment of what is left: plate less hole")
def test_the_centre_of_gravity_moves_away_from_a_hole() -> None:
    plate = made(Drilled((50.0, 50.0), 60.0))
    gone = math.pi * 900.0
    x = (100.0 * 20000.0 - 50.0 * gone) / (20000.0 - gone)
    there = load(plate)
    assert there.x == pytest.approx(x, rel=1e-9)
    assert there.y == pytest.approx(50.0, rel=1e-9)


def test_holes_go_with_the_plate() -> None:
    plate = structs.replace(made(ROUND), x=100.0, y=0.0, turn=90.0)
    (ring,) = part_openings(plate)
    middle = shapely.Polygon(ring).centroid
    assert (middle.x, middle.y) == pytest.approx((70.0, 30.0))


def test_mirrored_holes_are_opposite() -> None:
    plate = made(*EVERY)
    other = mirrored(plate, through((0.0, 0.0), (0.0, 1.0)))
    assert isinstance(other, Plate)
    assert len(other.holes) == 3
    for one, two in zip(part_openings(plate), part_openings(other), strict=True):
        there = shapely.Polygon([(-x, y) for x, y in one])
        assert there.symmetric_difference(shapely.Polygon(two)).area < 1e-6
    again = mirrored(other, through((0.0, 0.0), (0.0, 1.0)))
    assert part_openings(again)[0][0] == pytest.approx(part_openings(plate)[0][0])


@pytest.mark.parametrize(
    ("holes", "index", "why"),
    [
        ((Drilled((195.0, 50.0), 18.0),), 0, "not wholly inside"),
        ((Drilled((300.0, 50.0), 18.0),), 0, "not wholly inside"),
        ((Drilled((9.05, 50.0), 18.0),), 0, "no steel is left"),
        ((ROUND, Drilled((40.0, 30.0), 18.0)), 1, "runs into hole 1"),
        ((ROUND, Drilled((30.0, 30.0), 6.0)), 1, "runs into hole 1"),
        ((CutOut(((10, 10), (60, 60), (60, 10), (10, 60))),), 0, "cross"),
    ],
)
def test_holes_that_cannot_be_cut(holes: tuple[PlateHole, ...], index: int, why: str) -> None:
    bad = bad_hole(made().corners, holes)
    assert bad is not None
    assert bad[0] == index
    assert why in bad[1]


def test_holes_that_can_be_cut() -> None:
    assert bad_hole(made().corners, EVERY) is None
    assert bad_hole(made().corners, ()) is None


@pytest.mark.parametrize("hole", EVERY)
def test_a_moved_hole_keeps_its_size(hole: PlateHole) -> None:
    there = moved_hole(hole, 5.0, -3.0)
    assert hole_area(there) == pytest.approx(hole_area(hole), rel=1e-12)
    one, two = hole_ring(hole)[0], hole_ring(there)[0]
    assert (two[0] - one[0], two[1] - one[1]) == pytest.approx((5.0, -3.0))
