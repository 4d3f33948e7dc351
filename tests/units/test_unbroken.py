"""A number is not parted from its unit where a text is broken into lines."""

import pytest

from gridjig.units import MILLIMETRES, format_force, format_line_mass, format_mass, format_percent
from gridjig.units.unbroken import unbroken, words_of


@pytest.mark.parametrize(
    "shown",
    [
        format_percent(0.082),
        format_mass(0.2, MILLIMETRES),
        format_mass(12.0, MILLIMETRES),
        format_force(150.0, MILLIMETRES),
        "3,048 mm",
        "0.0625 in",
        "20.6 lb",
        "3.2 cm²",
    ],
)
def test_a_number_and_its_unit_are_one_word(shown: str) -> None:
    assert " " in shown
    assert " " not in unbroken(f"about {shown}, or more")[6:-8]
    assert words_of(f"about {shown} or more") == ["about", shown, "or", "more"]


def test_a_text_stays_as_long_and_breaks_at_every_other_blank() -> None:
    text = "3 grooves of 2 plates, 7 N5 marks, a % of 8 mmm in all,\n9 mm"
    assert unbroken(text) == text[:-3] + "\u00a0mm"
    assert words_of(text) == [*text[:-4].split(), "9 mm"]
    per_metre = format_line_mass(2.0, MILLIMETRES)
    assert words_of(f"{per_metre} of tube") == [per_metre, "of", "tube"]
