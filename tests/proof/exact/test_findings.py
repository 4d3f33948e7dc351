"""What is said about how exact a set-up is: note at the very worst, look as errors usually add."""

import pytest
from msgspec import structs

from gridjig.checks.finding import Finding
from gridjig.model import Accuracy, FaceOf, Job
from gridjig.proof.exact.findings import exact_findings
from gridjig.proof.exact.report import exact
from tests.proof.frames import frame, jigged, rig
from tests.workshop import laid, pin


def said(job: Job) -> dict[str, Finding]:
    one = rig(job)
    found = exact_findings(job, exact(job, one.placed, one.contacts))
    return {finding.id: finding for finding in found}


def coarse(hole: float) -> Job:
    """The frame in a shop whose holes are off by so much."""
    return structs.replace(
        jigged(), critical=(FaceOf("back", 2),), accuracy=Accuracy(linear="A", hole=hole)
    )


def test_a_good_shop_is_told_nothing() -> None:
    good = Accuracy(hole=0.0, face=0.0, fit=0.0)
    assert said(structs.replace(jigged(), accuracy=good)) == {}


def test_an_angle_out_of_class_names_what_sets_it() -> None:
    found = said(coarse(hole=1.0))
    one = found["inexact/angle/left"]
    assert one.kind == "inexact"
    assert one.level == "look"
    assert one.limit is not None
    assert one.limit == pytest.approx(20 / 60)
    assert one.unit == "deg"
    assert one.value is not None
    assert one.value > one.limit
    assert one.source == "ISO 13920, table 2, class A"
    assert one.what.startswith("Left and right can lie up to ")
    assert "that of left" in one.what
    assert {"left", "right"} <= set(one.ids)
    assert "inexact/angle/right" not in found
    assert "class A allows 0.33°" in one.what
    assert {"left", "left-1"} <= set(one.ids)
    assert "further apart" in one.do


def test_at_the_very_worst_it_is_a_note() -> None:
    """Between the root-sum-square and the sum of the limits."""
    found = said(coarse(hole=0.25))
    levels = {key: one.level for key, one in found.items()}
    assert "note" in levels.values()
    worst = next(one for one in found.values() if one.level == "note")
    assert "can at worst" in worst.what


def test_measures_out_of_class_are_told_with_their_figures() -> None:
    found = said(coarse(hole=2.0))
    (critical,) = (one for key, one in found.items() if key.startswith("inexact/critical"))
    assert critical.what.startswith("The critical dimension of 410 mm over front and back can be ")
    assert critical.limit == 2.0
    assert critical.unit == "mm"
    assert critical.source == "ISO 13920, table 1, class A"
    assert any(key.startswith("inexact/overall") for key in found)


def test_diagonals_out_of_class_are_told() -> None:
    """The frame with a pin at an end of the front and of the back, so that nothing slides."""
    ends = (pin("end-front", 3, 4), pin("end-back", 3, 11))
    job = jigged()
    moved = tuple(
        structs.replace(p, x=p.x - 5.0, length=getattr(p, "length", 0.0) + 5.0)
        if p.id in ("front", "back")
        else p
        for p in job.parts
    )
    job = structs.replace(
        job,
        parts=moved,
        placements=(*job.placements, *ends),
        accuracy=Accuracy(linear="A", hole=3.0),
    )
    found = said(job)
    square = found["inexact/square/weldment-1"]
    assert "out of square" in square.what
    assert square.limit is not None
    assert square.value is not None
    assert square.value > square.limit
    assert "diagonals" in square.do


def test_stops_out_of_line_turn_the_part() -> None:
    job = jigged()
    packed = tuple(
        structs.replace(p, packing=("shim",)) if p.id == "front-2" else p for p in job.placements
    )
    found = said(structs.replace(job, placements=packed))
    (one,) = (f for key, f in found.items() if key.startswith("inexact/line/front"))
    assert one.value == pytest.approx(1.0)
    assert one.level == "note"
    assert "1 mm out of line" in one.what
    assert "front-1" in one.ids
    many = tuple(
        structs.replace(p, packing=("shim",) * 4) if p.id == "front-2" else p
        for p in job.placements
    )
    found = said(structs.replace(job, placements=many))
    (one,) = (f for key, f in found.items() if key.startswith("inexact/line/front"))
    assert one.level == "look"


def test_nothing_is_said_without_pieces() -> None:
    assert said(laid(*frame())) == {}
