"""What contacts hold that meet in one point, against exact turning with shapely and by hand."""

import math

import numpy as np
import pytest
import shapely
import shapely.affinity
from scipy.optimize import linprog  # type: ignore[import-untyped]

from gridjig.proof.statics.rank import rank_of
from gridjig.proof.statics.rows import BodyFrame, Push
from gridjig.proof.statics.second import Bent, kappa, play_angle, stiffness
from gridjig.rack import Point
from tests.proof.statics.shapes import HEIGHT, TRIANGLE, UP, inward, touching

CENTRE = (50.0, HEIGHT / 3.0)


@pytest.mark.parametrize(("pin", "value"), [(0.0, 28.867513), (5.0, 33.867513), (8.0, 36.867513)])
@pytest.mark.source(
    "method", "inscribed radius of an equilateral triangle, 100 / (2 sqrt 3), plus pin"
)
def test_three_pins_about_a_triangle_hold(pin: float, value: float) -> None:
    pins = touching(TRIANGLE, (0.5,) * 3, pin)
    rows = BodyFrame(CENTRE, 40.0).rows([Push(one.at, one.way) for one in pins])
    assert rank_of(rows).held == 2
    assert kappa(pins, CENTRE) == pytest.approx(value, abs=1e-6)


@pytest.mark.source("method", "the same from inside: minus the inscribed radius, plus pin")
def test_three_pins_inside_a_triangular_frame_do_not() -> None:
    assert kappa(touching(TRIANGLE, (0.5,) * 3, 5.0, -1.0), CENTRE) == pytest.approx(-23.867513)


def widest(pins: list[Bent], ring: tuple[Point, ...], degrees: float) -> float:
    """The greatest least gap over all shifts of a triangle turned by an angle, exactly: the gap of
    each pin is linear in the shift while it faces its side.
    """
    turned = shapely.affinity.rotate(shapely.Polygon(ring), degrees, origin=CENTRE)
    corners: list[Point] = [(x, y) for x, y in turned.exterior.coords[:3]]
    rows, right = [], []
    for k, pin in enumerate(pins):
        a, b = corners[k], corners[(k + 1) % 3]
        nx, ny = inward(a, b)
        out = (
            pin.way[0] * inward(ring[k], ring[(k + 1) % 3])[0]
            + pin.way[1] * (inward(ring[k], ring[(k + 1) % 3])[1])
        )
        centre = (pin.at[0] - pin.pin * pin.way[0], pin.at[1] - pin.pin * pin.way[1])
        # gap = out * (n.(a + t) - n.centre) - pin >= s
        rows.append([-out * nx, -out * ny, 1.0])
        right.append(out * ((a[0] - centre[0]) * nx + (a[1] - centre[1]) * ny) - pin.pin)
    found = linprog([0, 0, -1], A_ub=rows, b_ub=right, bounds=[(None, None)] * 3)
    return float(-found.fun)


@pytest.mark.parametrize(("out", "gap"), [(1.0, -0.128876), (-1.0, 0.090823)])
@pytest.mark.source("library", "scipy 1.17", "linprog: the widest gap after turning by 5 degrees")
def test_the_gap_after_turning_is_minus_kappa_times_the_versine(out: float, gap: float) -> None:
    pins = touching(TRIANGLE, (0.5,) * 3, 5.0, out)
    firm = kappa(pins, CENTRE)
    assert firm is not None
    found = widest(pins, TRIANGLE, 5.0)
    assert found == pytest.approx(gap, abs=1e-6)
    assert found == pytest.approx(-firm * (1.0 - math.cos(math.radians(5.0))), abs=1e-9)


@pytest.mark.source(
    "method", "right triangle of sides 3, 4, 5 about its incircle of radius 1, by hand"
)
def test_a_right_triangle_at_its_incircle() -> None:
    ring = ((0.0, 0.0), (4.0, 0.0), (0.0, 3.0))
    shares = (0.25, 3.0 / 5.0, 2.0 / 3.0)
    for pin, value in ((0.0, 1.0), (0.25, 1.25)):
        assert kappa(touching(ring, shares, pin), (1.0, 1.0)) == pytest.approx(value)


@pytest.mark.source("method", "a disc between pins turns for ever, however many there are")
def test_a_disc_is_undecided() -> None:
    pins = []
    for k in range(8):
        c, s = math.cos(k * math.pi / 4), math.sin(k * math.pi / 4)
        pins.append(Bent((10.0 * c, 10.0 * s), (-c, -s), 1.0, 10.0))
    assert kappa(pins[:6:2], (0.0, 0.0)) == pytest.approx(0.0)
    assert kappa(pins, (0.0, 0.0)) == pytest.approx(0.0)
    rows = BodyFrame((0.0, 0.0), 7.0).rows([Push(one.at, one.way) for one in pins])
    assert rank_of(rows).held == 2


@pytest.mark.parametrize(("gap", "degrees"), [(0.01, 1.508153), (0.1, 4.770439), (0.5, 10.679399)])
@pytest.mark.source("method", "cosine of the angle is 1 - gap / kappa")
def test_the_least_room_is_several_degrees(gap: float, degrees: float) -> None:
    firm = kappa(touching(TRIANGLE, (0.5,) * 3, 0.0), CENTRE)
    assert firm is not None
    assert play_angle(gap, firm) == pytest.approx(degrees, abs=1e-6)


def test_pins_from_one_side_balance_nothing() -> None:
    pins = [Bent((0.0, 0.0), UP, 5.0), Bent((0.0, 0.0), UP, 5.0)]
    assert kappa(pins, (0.0, 30.0)) is None
    assert kappa(pins[:1], (0.0, 30.0)) is None


@pytest.mark.source("method", "limits of (a + r)(rho - a) / (rho + r) for flats and corners")
def test_flats_and_corners_are_limits_of_the_curved_case() -> None:
    centre = (0.0, 30.0)
    big = 1e12
    for pin, part in ((5.0, math.inf), (math.inf, 20.0), (math.inf, 0.0), (0.0, math.inf)):
        nearly = Bent((0.0, 0.0), UP, min(pin, big), min(part, big))
        assert stiffness(Bent((0.0, 0.0), UP, pin, part), centre) == pytest.approx(
            stiffness(nearly, centre), rel=1e-6
        )
    assert math.isinf(stiffness(Bent((0.0, 0.0), UP, math.inf, math.inf), centre))
    assert stiffness(Bent((0.0, -8.0), UP, 8.0, -8.0), (0.0, -16.0)) == 0.0


def test_two_flats_against_each_other_hold_the_angle() -> None:
    flats = [Bent((0.0, 0.0), UP, math.inf), Bent((0.0, 10.0), (0.0, -1.0), math.inf)]
    assert kappa(flats, (0.0, 5.0)) == math.inf
    assert np.isinf(stiffness(flats[0], (0.0, 5.0)))
