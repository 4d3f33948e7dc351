"""Masses as typed and as shown."""

import pytest
from msgspec import structs

from gridjig.units import Display, format_mass, mass_words, parse_mass

MM = Display(unit="millimetres")


@pytest.mark.source("memory", "international pound of 1959: 0.45359237 kg")
def test_masses_are_shown_to_a_tenth() -> None:
    assert format_mass(2.44, Display(unit="millimetres")) == "2.4 kg"
    assert format_mass(4.5359237, Display()) == "10.0 lb"
    assert format_mass(0.004, Display()) == "under 0.1 lb"
    assert format_mass(0.0, Display(unit="millimetres")) == "0.0 kg"


@pytest.mark.parametrize(
    ("text", "unit", "kg"),
    [
        ("2.5", "millimetres", 2.5),
        ("2.5 kg", "inch fractions", 2.5),
        ("250 g", "millimetres", 0.25),
        ("1", "inch fractions", 0.45359237),
        (".5lb", "millimetres", 0.226796185),
    ],
)
@pytest.mark.source("memory", "international pound of 1959: 0.45359237 kg")
def test_a_mass_is_read_with_or_without_its_unit(text: str, unit: str, kg: float) -> None:
    assert parse_mass(text, structs.replace(MM, unit=unit)) == pytest.approx(kg)


@pytest.mark.parametrize("text", ["", "heavy", "-1", "1e99", "20000"])
def test_what_is_not_a_mass_is_refused_with_a_sentence(text: str) -> None:
    with pytest.raises(ValueError, match=r"mass|unit"):
        parse_mass(text, MM)


def test_pounds_are_a_weight_and_kilograms_a_mass() -> None:
    assert mass_words("Mass each", Display(unit="inch decimals")) == "Weight each"
    assert mass_words("the mass of it", Display(unit="inch fractions")) == "the weight of it"
    assert mass_words("Mass each", Display(unit="millimetres")) == "Mass each"
