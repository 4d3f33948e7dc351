"""Several things in one sentence."""

import pytest

from gridjig.units.series import series


@pytest.mark.parametrize(
    ("told", "text"),
    [
        ([], ""),
        (["left"], "left"),
        (["left", "right"], "left and right"),
        (["left", "top", "right"], "left, top and right"),
        (["a, b", "c"], "a, b and c"),
        (["a, b", "c", "d"], "a, b; c; and d"),
    ],
)
def test_several_things_make_one_series(told: list[str], text: str) -> None:
    assert series(told) == text
