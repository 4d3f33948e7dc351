"""Rafters and mitred rings, compared with carpenters' books and saw manuals."""

import math

import pytest

from gridjig.edits.starters import build, starter
from gridjig.files.library.sections import find_section
from gridjig.model import Member
from gridjig.units import Display, format_length

INCH = 25.4


def rafter(rise: float, run_inches: float) -> Member:
    """The left rafter of a gable with that rise in 12 inches, over that run."""
    found = find_section("2x2x1/8")
    assert found is not None
    sizes = {
        "span": 2 * run_inches * INCH,
        "pitch": math.degrees(math.atan2(rise, 12)),
    }
    parts = build(starter("gable"), {"frame": found, "post": found}, sizes, {"post": "none"})
    made = parts[1]
    assert isinstance(made, Member)
    return made


@pytest.mark.source(
    "published", "a naval builders' manual, figure 2-17", "16 ft span, unit rise 7 in: 111-1/8 in"
)
def test_a_rafter_of_the_builders_manual() -> None:
    length = rafter(7, 8 * 12).long_point
    assert length / INCH == pytest.approx(8 * 13.89, abs=0.05)
    assert format_length(length, Display(denominator=8)).removeprefix("≈") == '111-1/8"'


@pytest.mark.source(
    "published", "an army carpentry course, figure 3-13", "run 10 ft 4 in, rise 13 in: 182.79 in"
)
def test_a_rafter_of_the_carpentry_course() -> None:
    assert rafter(13, 124).long_point / INCH == pytest.approx(182.79, abs=0.06)


@pytest.mark.source(
    "published", "Griffith, Carpentry", "figure 49, span 25 ft at a quarter pitch: 13.98 ft"
)
def test_a_rafter_at_a_quarter_pitch() -> None:
    assert rafter(6, 12.5 * 12).long_point / INCH / 12 == pytest.approx(13.98, abs=0.005)


@pytest.mark.source(
    "published", "a table saw's manual", "chart of mitres by the number of sides, pitch 0"
)
@pytest.mark.parametrize(
    ("sides", "saw"),
    [(4, 45.00), (5, 36.00), (6, 30.00), (7, 25.71), (8, 22.50), (9, 20.00), (10, 18.00)],
)
def test_a_ring_is_mitred_as_the_saw_is_set(sides: int, saw: float) -> None:
    found = find_section("40x40x3")
    assert found is not None
    parts = build(starter("ring"), {"frame": found}, {"sides": sides})
    assert len(parts) == sides
    for part in parts:
        assert isinstance(part, Member)
        assert (abs(part.start.angle), abs(part.end.angle)) == pytest.approx((saw, saw), abs=0.005)
