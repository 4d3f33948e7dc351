"""Classes of lengths: the table of the standard, range by range."""

import math

import pytest

from gridjig.model.accuracy import LinearClass
from gridjig.solve.tolerance import linear_limit


@pytest.mark.source(
    "published", "ISO 13920:1996", "table 1, as a contract fabricator reproduces it"
)
@pytest.mark.parametrize(
    ("name", "limits"),
    [
        ("A", (1, 1, 1, 2, 3, 4, 5, 6, 7, 8, 9)),
        ("B", (1, 2, 2, 3, 4, 6, 8, 10, 12, 14, 16)),
        ("C", (1, 3, 4, 6, 8, 11, 14, 18, 21, 24, 27)),
        ("D", (1, 4, 7, 9, 12, 16, 21, 27, 32, 36, 40)),
    ],
)
def test_limits_of_lengths(name: LinearClass, limits: tuple[int, ...]) -> None:
    """A range includes its upper end; the last has none; up to 2 mm there is no limit."""
    ends = (30, 120, 400, 1000, 2000, 4000, 8000, 12000, 16000, 20000, 50000)
    start = 2.0
    for end, limit in zip(ends, limits, strict=True):
        assert linear_limit(name, start + 0.001) == limit
        assert linear_limit(name, end) == limit
        start = end
    assert linear_limit(name, 2.0) is None
    assert linear_limit(name, math.nan) is None
