import math

import pytest

from gridjig.model import Section
from gridjig.model.stock import corner_radii


@pytest.mark.source(
    "published",
    "EN 10219-2",
    "annex B, ro and ri for section properties, as a metals-trade page gives them",
)
def test_corner_radii_step_with_the_wall() -> None:
    assert corner_radii(3) == (6, 3)
    assert corner_radii(6) == (12, 6)
    assert corner_radii(8) == (20, 12)
    assert corner_radii(10) == (25, 15)
    assert corner_radii(12.5) == (37.5, 25)
    assert corner_radii(9.525, "US") == (19.05, 9.525)


def test_mass_takes_another_density() -> None:
    bar = Section(name="x", kind="round bar", width=20, height=20)
    assert bar.mass(7950) / bar.mass() == pytest.approx(7950 / 7850)


@pytest.mark.parametrize(
    ("sizes", "says"),
    [
        ({"kind": "flat", "width": 0, "height": 5}, "greater than 0"),
        ({"kind": "flat", "width": 50, "height": math.inf}, "finite"),
        ({"kind": "square tube", "width": 50, "height": 50}, "wall must be greater"),
        ({"kind": "square tube", "width": 50, "height": 50, "wall": 25}, "no hollow"),
        ({"kind": "square tube", "width": 50, "height": 40, "wall": 3}, "as wide as it is high"),
        ({"kind": "angle", "width": 50, "height": 30, "wall": 30}, "thicker than the leg"),
        ({"kind": "channel", "width": 50, "height": 80, "wall": 4}, "flanges"),
        ({"kind": "channel", "width": 50, "height": 80, "wall": 4, "flange": 40}, "flanges"),
        ({"kind": "flat", "width": 50, "height": 5, "radius": -1}, "greater than 0"),
    ],
)
def test_sizes_that_make_no_section_are_refused_in_words(
    sizes: dict[str, object], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        Section(name="odd", **sizes)  # type: ignore[arg-type]
