"""Names and lengths in the order in which people expect them."""

import random
from fractions import Fraction

import pytest

from gridjig.sheets.text.shortening import distinct_end
from gridjig.sheets.text.sorting import measured, natural


@pytest.mark.source("method", "every order of a shuffled list sorts to the one written by hand")
def test_numbers_in_names_sort_by_value() -> None:
    wanted = ["Leg", "leg 2", "Leg 9", "Leg 10", "Rail 1b", "rail 1c"]
    for seed in range(20):
        mixed = random.Random(seed).sample(wanted, len(wanted))
        assert sorted(mixed, key=natural) == wanted


@pytest.mark.source("library", "Python 3.11 fractions", "the value of each length")
def test_lengths_sort_by_value_however_they_are_written() -> None:
    written = {
        '1/4"': Fraction(1, 4), '.375"': Fraction(3, 8), '1/2"': Fraction(1, 2),
        '1"': Fraction(1), '5-1/2"': Fraction(11, 2), '5-5/8"': Fraction(45, 8),
        '12"': Fraction(12),
    }  # fmt: skip
    for seed in range(20):
        mixed = random.Random(seed).sample(list(written), len(written))
        assert sorted(mixed, key=measured) == sorted(mixed, key=written.__getitem__)
    assert measured('≈ 1/4"') == measured('1/4"')
    assert measured("2-1/0") == measured("2")  # nothing over nothing is no fraction


def test_a_name_is_shortened_to_what_tells_it_apart() -> None:
    long, short = 'Long stop, 5-1/2" long', 'Long stop, 9-1/2" long'
    assert distinct_end(long, [long, short]) == '… 5-1/2" long'
    assert distinct_end(long, [long, "Riser 50"]) == long
    assert distinct_end("Riser 50", ["Riser 50 mm", "Riser"]) == "… 50"
    assert distinct_end("Pin", ["Pin 16"]) == "Pin"
