"""What is allowed for, as a layer: as drawn, as set, as expected; no stop moves by itself."""

import pytest
from msgspec import structs

from gridjig.model import Allowances, FaceOf, Job, JointAllowance, PartAllowance
from gridjig.proof.allowance.findings import allowance_findings
from gridjig.proof.allowance.report import Allowing, allowance
from gridjig.proof.allowance.values import AllowanceReport, Layer
from tests.proof.frames import jigged, rig
from tests.workshop import laid

CORNERS = tuple((a, b) for a in ("front", "back") for b in ("left", "right"))


def report_of(job: Job) -> AllowanceReport:
    one = rig(job)
    return allowance(one.job, one.contacts)


def layers(job: Job) -> dict[float, Layer]:
    """The measures of a job by their nominal length."""
    return {round(one.nominal, 3): one for one in report_of(job).layers if one.what == "overall"}


def allowing(opened: float = 0.0, measured: float | None = 0.5, longer: float = 0.0) -> Job:
    joints = tuple(JointAllowance(a=a, b=b, measured=measured, opened=opened) for a, b in CORNERS)
    parts = tuple(PartAllowance(part=k, longer=longer) for k in ("left", "right") if longer)
    return structs.replace(jigged(), allowances=Allowances(joints=joints, parts=parts))


@pytest.mark.source("method", "two joints of 0.5 each between the outer faces")
def test_a_frame_that_closes_is_expected_short() -> None:
    found = layers(allowing())
    deep, wide = found[410.0], found[510.0]
    assert (deep.jig, deep.low, deep.high) == pytest.approx((410.0, 409.0, 409.0), abs=1e-4)
    assert (wide.jig, wide.low, wide.high) == pytest.approx((510.0, 510.0, 510.0), abs=1e-4)
    assert not report_of(allowing()).any


def test_joints_set_open_by_what_they_close_come_out_as_drawn() -> None:
    job = allowing(opened=0.5)
    deep = layers(job)[410.0]
    assert (deep.jig, deep.low, deep.high) == pytest.approx((411.0, 410.0, 410.0), abs=1e-4)
    joint = next(one for one in report_of(job).layers if one.what == "joint")
    assert (joint.nominal, joint.jig, joint.low, joint.high) == pytest.approx((0, 0.5, 0, 0))


def test_members_cut_longer_do_the_same() -> None:
    job = allowing(longer=1.0)
    deep = layers(job)[410.0]
    assert (deep.jig, deep.low, deep.high) == pytest.approx((411.0, 410.0, 410.0), abs=1e-4)
    parts = [one for one in report_of(job).layers if one.what == "part"]
    assert [(one.id, one.nominal, one.jig) for one in parts] == [
        ("left", 310.0, 311.0),
        ("right", 310.0, 311.0),
    ]


def test_a_range_stays_a_range() -> None:
    deep = layers(structs.replace(jigged()))[410.0]
    assert deep.low == pytest.approx(410 - 2 * 2.04, abs=1e-4)
    own = tuple(JointAllowance(a=a, b=b, measured=0.5, spread=0.2) for a, b in CORNERS)
    deep = layers(structs.replace(jigged(), allowances=Allowances(joints=own)))[410.0]
    assert (deep.low, deep.high) == pytest.approx((408.6, 409.4), abs=1e-4)


def test_stops_are_asked_to_move_and_do_not() -> None:
    """The front is the datum: only the stops at the back follow."""
    job = allowing(opened=0.5)
    found = report_of(job)
    assert found.any
    assert {one.piece: round(one.by, 3) for one in found.stops} == {"back-1": 1.0, "back-2": 1.0}
    assert report_of(structs.replace(job, allowances=Allowances())).stops == ()
    texts = [one for one in allowance_findings(job, found) if one.id.startswith("allowance/stop")]
    assert [one.level for one in texts] == ["look", "look"]
    assert "should stand 1 mm further away from back" in texts[0].what
    assert "no stop moves by itself" in texts[0].do
    assert rig(job).placed["back-1"].faces == rig(jigged()).placed["back-1"].faces


def test_a_measure_that_welding_takes_out_of_tolerance_is_said() -> None:
    found = [
        one for one in allowance_findings(jigged(), report_of(jigged())) if one.kind == "allowance"
    ]
    assert [(one.level, one.unit, one.limit) for one in found] == [("look", "mm", 3.0)]
    assert found[0].value == pytest.approx(4.08, abs=1e-3)
    assert "405.9 mm" in found[0].what
    assert list(allowance_findings(allowing(), report_of(allowing()))) == []
    too_much = allowing(opened=3.0, measured=0.0)
    (one,) = (
        f
        for f in allowance_findings(too_much, report_of(too_much))
        if not f.id.startswith("allowance/stop")
    )
    assert "Take some of the allowance away" in one.do


def test_critical_dimensions_have_their_layer() -> None:
    job = structs.replace(allowing(opened=0.5), critical=(FaceOf("back", 2),))
    (one,) = (layer for layer in report_of(job).layers if layer.what == "critical")
    assert (one.nominal, one.jig) == pytest.approx((410.0, 411.0), abs=1e-4)


def test_the_layers_are_kept_as_long_as_only_pieces_move() -> None:
    one = rig(allowing(opened=0.5))
    kept = Allowing()
    first = kept.of(one.job, one.contacts)
    two = rig(structs.replace(one.job, placements=one.job.placements[:-1]))
    second = kept.of(two.job, two.contacts)
    assert second.layers is first.layers
    assert second.stops == allowance(two.job, two.contacts).stops
    assert kept.of(jigged(), rig(jigged()).contacts).layers is not first.layers


def test_nothing_is_said_of_an_empty_table() -> None:
    assert list(allowance_findings(laid(), report_of(laid()))) == []
