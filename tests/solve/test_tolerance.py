"""Angular classes: the table, its steps, and verdicts."""

import math

import pytest

from gridjig.solve.tolerance import (
    CLASSES,
    AngleClass,
    AngleVerdict,
    finest_class,
    judge,
    limit_arcmin,
)

ISO = ("published", "ISO 13920:1996", "table 2, as a contract fabricator reproduces it")


@pytest.mark.source(*ISO)
@pytest.mark.parametrize(
    ("name", "arcmin", "mm"),
    [
        ("A", (20, 15, 10), (6, 4.5, 3)),
        ("B", (45, 30, 20), (13, 9, 6)),
        ("C", (60, 45, 30), (18, 13, 9)),
        ("D", (90, 75, 60), (26, 22, 18)),
    ],
)
def test_limits(name: AngleClass, arcmin: tuple[int, ...], mm: tuple[float, ...]) -> None:
    for leg, minutes, per_metre in zip((400.0, 400.001, 1000.001), arcmin, mm, strict=True):
        assert limit_arcmin(name, leg) == minutes
        tangent = 1000 * math.tan(math.radians(minutes / 60))
        assert per_metre == pytest.approx(tangent, abs=0.55)  # as the standard rounds it
    assert limit_arcmin(name, 1000.0) == arcmin[1]


@pytest.mark.source(*ISO)
def test_verdicts_of_two_near_enough_settings() -> None:
    four_three = (math.degrees(math.atan2(3, 4)) - 37.5) * 60
    assert four_three == pytest.approx(-37.8, abs=0.05)
    assert finest_class(four_three, 508.0) == "C"
    assert finest_class((45 - 46.397) * 60, 368.0) == "D"
    assert finest_class(90.0004, 368.0) == "D"
    assert finest_class(90.1, 368.0) is None


def test_an_error_equal_to_the_limit_passes() -> None:
    for name in CLASSES:
        assert finest_class(-(limit_arcmin(name, 300.0) / 60.0) * 60.0, 300.0) == name


def test_the_verdict_tells_what_play_can_do() -> None:
    assert judge(3.0, 2.0, 500.0) == AngleVerdict("A", "A")
    assert judge(-14.0, 2.0, 500.0) == AngleVerdict("A", "B")
    assert judge(74.0, 2.0, 500.0) == AngleVerdict("D", None)
    assert judge(100.0, 2.0, 500.0) == AngleVerdict(None, None)
    assert AngleVerdict("B", None).meets("B")
    assert AngleVerdict("B", None).meets("C")
    assert not AngleVerdict("B", None).meets("A")
    assert not AngleVerdict(None, None).meets("D")


@pytest.mark.parametrize("leg", [0.0, -1.0, math.nan])
def test_a_leg_of_no_length_is_refused(leg: float) -> None:
    with pytest.raises(ValueError, match="not positive"):
        limit_arcmin("A", leg)
