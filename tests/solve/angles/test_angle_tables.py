"""Angles, bases and play against printed tables: slopes, sine bars, fits, Farey sequences."""

import math

import pytest

from gridjig.model import Table
from gridjig.rack import Rack
from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.finder import find_angles
from gridjig.solve.angles.wanted import as_edge, read_wanted
from gridjig.solve.grid.directions import Grid, directions
from tests.anglekit import INCH, body, grid_table, rack_of, shim


def base_of(rise: int) -> tuple[float, float]:
    """Angle in degrees and base in inches of two pins 12 holes across and `rise` up, 1 in apart."""
    limits = AngleLimits(ways=("pins",), top=5)
    table = grid_table(13, rise + 1, INCH)
    found = find_angles(table, rack_of(body(12.0)), read_wanted(f"{rise}:12"), limits).ranked
    best = next(answer for answer in found if answer.steps == (12, rise))
    assert abs(best.error_arcmin) < 1e-6
    return best.angle_deg, best.base_mm / INCH


@pytest.mark.source("published", "a page of roof pitches", "degrees and slope factors of x in 12")
@pytest.mark.parametrize(
    ("rise", "degrees", "factor"),
    [(1, 4.76, 1.0035), (2, 9.46, 1.0138), (3, 14.04, 1.0308), (4, 18.43, 1.0541),
     (5, 22.62, 1.0833)],
)  # fmt: skip
def test_slope_factors(rise: int, degrees: float, factor: float) -> None:
    angle, base = base_of(rise)
    assert angle == pytest.approx(degrees, abs=0.0051)
    assert base / 12 == pytest.approx(factor, abs=5.1e-5)


@pytest.mark.source(
    "published", "a framing square's table", "length of common rafters per foot of run, 2 to 18"
)
@pytest.mark.parametrize(
    ("rise", "inches"),
    [(2, 12.17), (3, 12.37), (4, 12.65), (5, 13.00), (6, 13.42), (7, 13.89), (8, 14.42),
     (9, 15.00), (10, 15.62), (11, 16.28), (12, 16.97), (13, 17.69), (14, 18.44), (15, 19.21),
     (16, 20.00), (17, 20.81), (18, 21.63)],
)  # fmt: skip
def test_pins_a_foot_apart_and_so_many_inches_up(rise: int, inches: float) -> None:
    assert base_of(rise)[1] == pytest.approx(inches, abs=0.0051)


SINE_BAR = (
    pytest.param(
        "34 25'",
        2.826,
        0.001,
        marks=pytest.mark.source(
            "published",
            "Handbook of Machining and Metalworking Calculations",
            "chapter 4, setting of a 5 in sine bar",
        ),
    ),
    pytest.param(
        "18",
        1.545,
        0.0005,
        marks=pytest.mark.source(
            "published", "a page on the sine bar", "stack under a 5 in bar at 18 degrees"
        ),
    ),
    pytest.param(
        "62",
        5 * 0.882948,
        5e-6,
        marks=pytest.mark.source(
            "published", "guide to Machinery's Handbook, 29th edition", "example: sin 62 degrees"
        ),
    ),
)


@pytest.mark.parametrize(("angle", "stack", "within"), SINE_BAR)
def test_two_pins_5_in_apart_are_a_sine_bar(angle: str, stack: float, within: float) -> None:
    limits = AngleLimits(
        ways=("shims",),
        base_from=5 * INCH,
        base_to=5 * INCH,
        packing_to=stack * INCH,
        shims_at_most=1,
    )
    rack = rack_of(body(12.0), shim(stack * INCH))
    (best,) = find_angles(grid_table(3, 1, 2.5 * INCH), rack, read_wanted(angle), limits).ranked
    assert best.shims_mm == pytest.approx((0.0, stack * INCH))
    wanted = math.radians(read_wanted(angle).angle_deg)
    off = math.radians(abs(best.error_arcmin) / 60) * 5 * math.cos(wanted)
    assert off <= within


def play_over(table: Table, rack: Rack) -> float:
    """The play, arc-minutes, of the line along two pins 200 mm apart."""
    limits = AngleLimits(ways=("pins",), base_from=200.0, base_to=200.0)
    (best,) = find_angles(table, rack, as_edge(0.0), limits).ranked
    return best.play_arcmin


FITS = {  # basic size: H7 (ES), h6 (ei), h7 (ei), h11 (ei), micrometres
    16.0: (18, -11, -18, -110),
    25.0: (21, -13, -21, -130),
    28.0: (21, -13, -21, -130),
    50.0: (25, -16, -25, -160),
}


@pytest.mark.source("published", "ISO 286", "H7 of 10 to 50 mm, as a page of limits gives it")
@pytest.mark.source("published", "ISO 286", "h6, h7 and h11, as a bar maker's table gives them")
@pytest.mark.parametrize("size", FITS)
@pytest.mark.parametrize("shaft", [1, 2, 3], ids=["h6", "h7", "h11"])
def test_the_play_of_a_fit_turns_the_line_between_two_pins(size: float, shaft: int) -> None:
    """The loosest hole and pin of the fit: the sum of both deviations over the base."""
    hole, pin = FITS[size][0], FITS[size][shaft]
    table = grid_table(3, 1, 100.0, bore=size + hole / 1000)
    rack = rack_of(body(size + 10, shank=size + pin / 1000))
    clearance = (hole - pin) / 1000
    assert play_over(table, rack) == pytest.approx(60 * math.degrees(clearance / 200), rel=1e-4)


@pytest.mark.source(
    "published", "ISO 286", "25 H7/g6: clearance 7 to 41 micrometres, as a package's page shows it"
)
def test_the_least_and_the_most_play_of_a_sliding_fit() -> None:
    """Hole +21/0 and pin -7/-20: the tightest pair has 7 micrometres, the loosest 41."""
    for hole, pin, clearance in ((0, -7, 7), (21, -20, 41)):
        table = grid_table(3, 1, 100.0, bore=25 + hole / 1000)
        rack = rack_of(body(35.0, shank=25 + pin / 1000))
        wanted = 60 * math.degrees(clearance / 1000 / 200)
        assert play_over(table, rack) == pytest.approx(wanted, rel=1e-4)


@pytest.mark.source("published", "Csound manual", "table of the length of Farey sequences, 1 to 20")
def test_directions_up_to_45_degrees_are_as_many_as_fractions() -> None:
    lengths = (2, 3, 5, 7, 11, 13, 19, 23, 29, 33, 43, 47, 59, 65, 73, 81, 97, 103, 121, 129)
    for order, length in enumerate(lengths, 1):
        every = directions(Grid(order + 1, order + 1, 50, 50))
        assert (every.angle <= 45.0 + 1e-9).sum() == length
