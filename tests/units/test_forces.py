"""Forces in newtons and pounds, and friction."""

import pytest

from gridjig.units import (
    MILLIMETRES,
    POUND,
    Display,
    ParseError,
    format_force,
    parse_force,
)
from gridjig.units.forces import POUND_FORCE, parse_friction

INCHES = Display()


@pytest.mark.source("memory", "standard gravity 9.80665 m/s2; a pound of force is 4.4482216 N")
def test_a_pound_of_force() -> None:
    assert pytest.approx(4.4482216152605) == POUND_FORCE
    assert pytest.approx(POUND * 9.80665) == POUND_FORCE


@pytest.mark.parametrize(
    ("newtons", "display", "shown"),
    [
        (1000.0, MILLIMETRES, "1000 N"),
        (1000.0, INCHES, "225 lb"),
        (0.2, MILLIMETRES, "under 1 N"),
        (0.0, INCHES, "0 lb"),
        (17.6, MILLIMETRES, "18 N"),
    ],
)
def test_forces_are_shown_whole(newtons: float, display: Display, shown: str) -> None:
    assert format_force(newtons, display) == shown


@pytest.mark.parametrize(
    ("text", "display", "newtons"),
    [
        ("1000", MILLIMETRES, 1000.0),
        ("1.5 kN", INCHES, 1500.0),
        ("200", INCHES, 200.0 * POUND_FORCE),
        ("200 lbf", MILLIMETRES, 200.0 * POUND_FORCE),
        (".5 N", INCHES, 0.5),
    ],
)
def test_forces_are_read_with_and_without_a_unit(
    text: str, display: Display, newtons: float
) -> None:
    assert parse_force(text, display) == pytest.approx(newtons)


@pytest.mark.parametrize("text", ["", "-5", "much", "1 kg", "2000000 N"])
def test_what_is_no_force_is_refused(text: str) -> None:
    with pytest.raises(ParseError, match=r"type a force|check the unit"):
        parse_force(text, MILLIMETRES)


def test_friction_is_a_number_from_0_to_1() -> None:
    assert parse_friction(" 0.2 ") == pytest.approx(0.2)
    for text in ("", "-0.1", "1.5", "nan", "oily"):
        with pytest.raises(ParseError, match="from 0 to 1"):
            parse_friction(text)
