"""Limits refuse nonsense and name the entry."""

import math

import pytest

from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.faults import AngleFault
from tests.anglekit import worded


@pytest.mark.expectation(30, 85, 86, 87)
@pytest.mark.parametrize(
    ("field", "entries"),
    [
        ("base_from", {"base_from": -1.0}),
        ("base_from", {"base_from": math.nan}),
        ("base_from", {"base_from": math.inf}),
        ("base_to", {"base_from": 5.0, "base_to": 4.0}),
        ("base_to", {"base_to": math.nan}),
        ("base_to", {"base_to": 0.0}),
        ("base_to", {"base_to": -1.0}),
        ("leg", {"leg": 0.0}),
        ("leg", {"leg": math.inf}),
        ("shorter_leg", {"shorter_leg": -1.0}),
        ("top", {"top": 0}),
        ("region", {"region": ((0.0, 0.0), (1.0, 0.0))}),
        ("ways", {"ways": ()}),
        ("shims_at_most", {"shims_at_most": -1}),
        ("shims_at_most", {"shims_at_most": 9}),
        ("packing_to", {"packing_to": math.inf}),
    ],
)
def test_limits_that_make_no_sense(field: str, entries: dict[str, object]) -> None:
    with pytest.raises(AngleFault) as fault:
        AngleLimits(**entries)  # type: ignore[arg-type]
    assert fault.value.field == field
    assert worded(fault.value).endswith(".")


def test_the_class_goes_by_the_shorter_leg_or_else_by_the_leg() -> None:
    assert AngleLimits(leg=700.0).judged_leg == 700.0
    assert AngleLimits(leg=700.0, shorter_leg=300.0).judged_leg == 300.0
