"""Every way to hold a polygon with three pins and a clamp: counted, and looked at one by one."""

import math

import numpy as np
import pytest
import shapely
from shapely import affinity

from gridjig.rack import Point
from gridjig.suggest.lattice import (
    Outline,
    clamp_places,
    locator_sets,
    triples,
    wrench,
)
from gridjig.suggest.pinned import errors, reactions

TRIANGLE = ((0.0, 0.0), (2.7, 0.0), (0.4, 2.1))
RECTANGLE = ((0.0, 0.0), (3.37, 0.0), (3.37, 2.13), (0.0, 2.13))
HEXAGON = ((0.0, 0.0), (4.2, -0.6), (6.1, 1.4), (5.3, 4.0), (2.2, 4.9), (-0.8, 2.7))
Ring = tuple[Point, ...]


@pytest.mark.source(
    "method", "counts of the same enumeration written before and apart from this; not run here"
)
@pytest.mark.parametrize(
    ("ring", "radius", "candidates", "sets", "clampable", "designs"),
    [
        (TRIANGLE, 0.22, 3384, 364, 296, 584),
        (RECTANGLE, 0.22, 11416, 896, 352, 768),
        (HEXAGON, 0.25, 116052, 6908, 6016, 21456),
    ],
)
def test_known_counts(
    ring: Ring, radius: float, candidates: int, sets: int, clampable: int, designs: int
) -> None:
    found = locator_sets(ring, radius)
    clamps = clamp_places(ring, radius, found)
    assert found.candidates == candidates <= triples(ring, radius)
    assert len(found) == sets
    assert len(set(clamps.of.tolist())) == clampable
    assert len(clamps) == designs


@pytest.mark.source("library", "shapely 2.1", "distances of the pins from the posed polygon")
@pytest.mark.parametrize("ring", [TRIANGLE, RECTANGLE])
def test_every_pin_touches_and_none_is_in_the_work(ring: Ring) -> None:
    found = locator_sets(ring, 0.22)
    pins = found.pins((1.0, 1.0))
    assert len(found) > 300
    for n in range(0, len(found), 7):
        turned = affinity.rotate(
            shapely.Polygon(ring), float(found.turn[n]), origin=(0, 0), use_radians=True
        )
        posed = affinity.translate(turned, *map(float, found.shift[n]))
        far = [posed.distance(shapely.Point(*pin)) for pin in pins[n]]
        assert far == pytest.approx([0.22] * 3, abs=1e-7)


@pytest.mark.source("method", "a square lattice looks the same after a quarter turn")
def test_a_quarter_turn_of_a_set_is_a_set() -> None:
    found = locator_sets(TRIANGLE, 0.22)
    quarters = np.round(np.mod(found.turn, math.pi / 2.0), 6) % round(math.pi / 2.0, 6)
    values, counts = np.unique(quarters, return_counts=True)
    assert len(values) > 10
    assert (counts % 4 == 0).all()


@pytest.mark.source("method", "balance of forces and moments")
def test_the_pins_bear_the_push_of_each_clamp() -> None:
    outline, found = Outline(RECTANGLE, 0.22), locator_sets(RECTANGLE, 0.22)
    clamps = clamp_places(RECTANGLE, 0.22, found)
    rows, most = wrench(outline, found, (1.0, 1.0)), reactions(outline, found, clamps, (1.0, 1.0))
    assert len(clamps) == len(most) == 768
    for k in range(0, len(clamps), 31):
        n, edge = int(clamps.of[k]), int(clamps.edge[k])
        c, s = math.cos(found.turn[n]), math.sin(found.turn[n])
        nx, ny = -outline.normal[edge]
        push = np.array([c * nx - s * ny, s * nx + c * ny])
        x, y = clamps.at[k]
        wanted = -np.array([*push, x * push[1] - y * push[0]])
        borne = np.linalg.lstsq(rows[n].T, wanted, rcond=None)[0]
        assert (borne > 0.0).all()
        assert borne.max() == pytest.approx(most[k])


@pytest.mark.source("method", "a pin moved by a little, and the pose solved anew")
def test_the_error_is_how_far_a_corner_goes() -> None:
    outline, found = Outline(TRIANGLE, 0.22), locator_sets(TRIANGLE, 0.22)
    worst, rows = errors(outline, found, (1.0, 1.0)), wrench(outline, found, (1.0, 1.0))
    assert len(worst) == 364
    for n in range(0, 364, 13):
        c, s = math.cos(found.turn[n]), math.sin(found.turn[n])
        most = 0.0
        for signs in ((a, b, d) for a in (1, -1) for b in (1, -1) for d in (1, -1)):
            dx, dy, turned = np.linalg.solve(rows[n], np.array(signs, dtype=float))
            for x, y in TRIANGLE:
                px = c * x - s * y + found.shift[n][0]
                py = s * x + c * y + found.shift[n][1]
                most = max(most, math.hypot(dx - turned * py, dy + turned * px))
        assert worst[n] == pytest.approx(most)


def test_a_part_that_fits_between_the_holes_has_no_set() -> None:
    chip = ((0.0, 0.0), (0.2, 0.0), (0.2, 0.1), (0.0, 0.1))
    found = locator_sets(chip, 0.3)
    assert len(found) == 0
    assert len(clamp_places(chip, 0.3, found)) == 0
