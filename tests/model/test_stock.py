import math
from typing import Any, get_args

import pytest
from hypothesis import HealthCheck, given, reject, settings
from hypothesis import strategies as st

from gridjig.model import Section, SectionKind
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
        ({"kind": "flat", "width": 0, "height": 5}, "the width is 0 mm; it must be from 0.001 mm"),
        ({"kind": "flat", "width": 50, "height": math.inf}, "finite"),
        ({"kind": "square tube", "width": 50, "height": 50}, "wall must be greater"),
        ({"kind": "square tube", "width": 50, "height": 50, "wall": 25}, "no space inside"),
        ({"kind": "square tube", "width": 50, "height": 40, "wall": 3}, "as wide as it is high"),
        ({"kind": "angle", "width": 50, "height": 30, "wall": 30}, "thicker than the leg"),
        ({"kind": "channel", "width": 50, "height": 80, "wall": 4}, "flanges"),
        ({"kind": "channel", "width": 50, "height": 80, "wall": 4, "flange": 40}, "flanges"),
        ({"kind": "flat", "width": 50, "height": 5, "radius": -1}, "the radius is −1 mm"),
    ],
)
def test_sizes_that_make_no_section_are_refused_in_words(
    sizes: dict[str, object], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        Section(name="odd", **sizes)  # type: ignore[arg-type]


TUBE: dict[str, Any] = {"kind": "square tube", "width": 50, "height": 50, "wall": 3}
LEG: dict[str, Any] = {"kind": "angle", "width": 50, "height": 40, "wall": 5}
CEE: dict[str, Any] = {"kind": "channel", "width": 40, "height": 80, "wall": 5, "flange": 7}


@pytest.mark.source("method", "arithmetic: what room the straight walls leave")
@pytest.mark.parametrize(
    ("sizes", "most"),
    [
        ({**TUBE, "wall": 10, "toe": 0}, {"radius": 25.0}),
        ({**TUBE, "radius": 24}, {"toe": 22.0}),
        (LEG, {"radius": 35.0}),
        (LEG, {"toe": 5.0}),
        (CEE, {"radius": 33.0}),
        (CEE, {"toe": 7.0}),
        ({"kind": "flat", "width": 50, "height": 8}, {"radius": 4.0}),
        ({"kind": "round bar", "width": 20, "height": 20}, {"radius": 10.0}),
    ],
)
def test_a_radius_fits_its_section(sizes: dict[str, Any], most: dict[str, float]) -> None:
    """A radius of 100 mm on a tube of 50 mm once weighed less than nothing."""
    ((name, size),) = most.items()
    assert Section(name="odd", **{**sizes, **most}).area > 0
    with pytest.raises(ValueError, match=r"it must be at most|cuts through the wall"):
        Section(name="odd", **{**sizes, name: size + 0.001})


def test_an_outside_radius_that_cuts_through_the_wall() -> None:
    assert Section(name="odd", **TUBE, radius=9).area > 0
    with pytest.raises(ValueError, match="cuts through the wall"):
        Section(name="odd", **TUBE, radius=9.001)


@pytest.mark.source("method", "arithmetic: steel weighs more than nothing")
@settings(suppress_health_check=[HealthCheck.filter_too_much])
@given(
    st.sampled_from(get_args(SectionKind)),
    *[st.floats(0.001, 100) for _ in range(4)],
    *[st.floats(0, 60) for _ in range(2)],
)
def test_whatever_makes_a_section_has_steel(
    kind: SectionKind, w: float, h: float, wall: float, flange: float, radius: float, toe: float
) -> None:
    try:
        made = Section(
            name="any",
            kind=kind,
            width=w,
            height=h,
            wall=wall,
            flange=flange,
            radius=radius,
            toe=toe,
        )
    except ValueError:
        reject()
    assert 0 < made.area <= w * h * 1.0000001
