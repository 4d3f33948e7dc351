"""The two pin holes of a plate are called by the sides on which they lie."""

import pytest

from gridjig.rack import Point
from gridjig.rack.pin_holes import pin_hole_ids


@pytest.mark.parametrize(
    ("second", "names"),
    [
        ((100.0, 40.0), "left right"),
        ((-100.0, 40.0), "right left"),
        ((50.0, -50.0), "left right"),
        ((0.0, 200.0), "front back"),
        ((30.0, -200.0), "back front"),
    ],
)
def test_holes_are_named_by_side(second: Point, names: str) -> None:
    made = pin_hole_ids((10.0, 20.0), (10.0 + second[0], 20.0 + second[1]))
    assert made == tuple(f"{name}-pin-hole" for name in names.split())
