"""Lengths and masses against printed tables of conversions."""

import pytest

from gridjig.units import Display, format_length, format_mass, parse_length, parse_mass

SIXTY_FOURTHS = {
    "1/64": 0.3969, "1/32": 0.7937, "3/64": 1.1906, "1/16": 1.5875, "5/64": 1.9844,
    "3/32": 2.3812, "7/64": 2.7781, "1/8": 3.1750, "9/64": 3.5719, "5/32": 3.9688,
    "11/64": 4.3656, "3/16": 4.7625, "7/32": 5.5562, "1/4": 6.3500, "9/32": 7.1437,
    "5/16": 7.9375, "21/64": 8.3344, "11/32": 8.7312, "3/8": 9.5250, "13/32": 10.3187,
    "27/64": 10.7156, "7/16": 11.1125, "29/64": 11.5094, "1/2": 12.7000, "33/64": 13.0969,
    "17/32": 13.4937, "9/16": 14.2875, "37/64": 14.6844, "19/32": 15.0812, "5/8": 15.8750,
    "41/64": 16.2719, "11/16": 17.4625, "23/32": 18.2562, "3/4": 19.0500, "25/32": 19.8438,
    "13/16": 20.6375,
}  # fmt: skip


@pytest.mark.source("published", "a machinist's decimal chart", "64ths of an inch in mm")
@pytest.mark.parametrize("fraction", SIXTY_FOURTHS)
def test_fractions_of_an_inch(fraction: str) -> None:
    mm = parse_length(fraction, "inch fractions")
    assert mm == pytest.approx(SIXTY_FOURTHS[fraction], abs=6e-5)
    assert format_length(mm, Display(denominator=64)) == f'{fraction}"'


@pytest.mark.source(
    "published", "NIST Special Publication 811", "appendix B: inch, foot and mil, as an excerpt"
)
@pytest.mark.parametrize(
    ("text", "metres"), [('1"', 2.54e-2), ("1'", 3.048e-1), ('.001"', 2.54e-5)]
)
def test_units_of_length(text: str, metres: float) -> None:
    assert parse_length(text, "millimetres") == pytest.approx(metres * 1000, rel=1e-12)


@pytest.mark.source(
    "published", "a naval manual, appendix B", "SI conversion factors: 1 lb is 0.453 592 kg"
)
def test_a_pound() -> None:
    millimetres = Display(unit="millimetres")
    assert parse_mass("1 lb", millimetres) == pytest.approx(0.453592, abs=5e-7)
    assert format_mass(10 * 0.453592, Display()) == "10.0 lb"
