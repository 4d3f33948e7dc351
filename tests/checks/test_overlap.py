"""The depth of overlaps, and which of several things of one name a finding means."""

import pytest
from msgspec import structs

from gridjig.checks.conflicts import clashes
from gridjig.checks.findings import findings
from gridjig.checks.neighbours import placed_part
from gridjig.model import Plate
from gridjig.solve.placed.cache import PlacedPieces
from tests.workshop import laid, plate, stop

STEEL = structs.replace(plate("tube", 150, 130), z_high=50.0)


def angle(x: float, y: float, leg: float, width: float) -> Plate:
    """An angle in plan: two legs that meet at x, y."""
    points = ((0.0, 0.0), (leg, 0.0), (leg, width), (width, width), (width, leg), (0.0, leg))
    return structs.replace(plate("angle", x, y), corners=points, z_high=50.0)


@pytest.mark.source("method", "plane geometry: a strip is as wide as it is straight across")
@pytest.mark.parametrize("width", [3.0, 8.0, 12.0])
def test_an_overlap_in_an_angle_is_as_deep_as_its_legs_are_wide(width: float) -> None:
    job = laid(stop("s", 3, 3))
    stood = PlacedPieces().of(job)["s"]
    points = [p for solid in stood.solids for p in solid.points]
    x, y = min(p[0] for p in points), min(p[1] for p in points)
    # Its legs go round the near corner of the stop, `width` over both sides of it.
    around = angle(x - 20 + width, y - 20 + width, 200.0, 20.0)
    (clash,) = clashes([stood], [placed_part(around)])
    assert clash.depth == pytest.approx(width, abs=0.02)


def test_a_plain_overlap_is_as_deep_as_ever() -> None:
    job = laid(stop("s", 3, 3), STEEL)
    (clash,) = clashes([PlacedPieces().of(job)["s"]], [placed_part(STEEL)])
    assert clash.depth == pytest.approx(10.0)


@pytest.mark.expectation(85)
def test_things_of_one_name_are_distinguished_by_their_holes() -> None:
    job = laid(stop("s", 3, 3), stop("other", 10, 10), STEEL)
    what = {f.id: f.what for f in findings(job, PlacedPieces().of(job))}
    assert what["body/s/tube"] == "fixed stop at D4 runs 10 mm into tube."
    named = laid(structs.replace(stop("s", 3, 3), name="datum"), stop("other", 10, 10), STEEL)
    what = {f.id: f.what for f in findings(named, PlacedPieces().of(named))}
    assert what["body/s/tube"] == "datum runs 10 mm into tube."
