"""Straightness by the tolerance classes, against the standard as it is reproduced."""

import pytest

from gridjig.model.accuracy import StraightClass
from gridjig.solve.tolerance import straight_limit

LENGTHS = (75, 260, 700, 1500, 3000, 6000, 10000, 14000, 18000, 25000)
"""A length inside each range from the second on."""


@pytest.mark.source("published", "ISO 13920:1996", "table 3, as a fabricator reproduces it")
@pytest.mark.parametrize(
    ("letter", "said"),
    [
        ("E", (0.5, 1, 1.5, 2, 3, 4, 5, 6, 7, 8)),
        ("F", (1, 1.5, 3, 4.5, 6, 8, 10, 12, 14, 16)),
    ],
)
def test_straightness(letter: StraightClass, said: tuple[float, ...]) -> None:
    assert tuple(straight_limit(letter, mm) for mm in LENGTHS) == said


@pytest.mark.source("memory", "ISO 13920, table 3, classes G and H")
@pytest.mark.parametrize(
    ("letter", "said"),
    [
        ("G", (1.5, 3, 5.5, 9, 11, 16, 20, 22, 25, 25)),
        ("H", (2.5, 5, 9, 14, 18, 26, 32, 36, 40, 40)),
    ],
)
def test_coarse_straightness(letter: StraightClass, said: tuple[float, ...]) -> None:
    assert tuple(straight_limit(letter, mm) for mm in LENGTHS) == said
    assert straight_limit(letter, 10.0) == said[0]


@pytest.mark.source("published", "ISO 13920:1996", "table 3, ranges: upper bound included")
def test_the_upper_bound_of_a_range_is_in_it() -> None:
    assert straight_limit("F", 120.0) == 1.0
    assert straight_limit("F", 120.001) == 1.5
