"""Targets in real millimetres."""

import pytest

from gridjig.qt.style.metrics import Metrics, calibrate, measure


class Screen:
    def __init__(self, physical: float, logical: float = 96.0) -> None:
        self._physical, self._logical = physical, logical

    def physicalDotsPerInch(self) -> float:
        return self._physical

    def logicalDotsPerInch(self) -> float:
        return self._logical


@pytest.mark.expectation(71, 72)
@pytest.mark.source(
    "published", "Microsoft guideline on touch targets", "9 mm for fingers, seen as an excerpt"
)
@pytest.mark.parametrize(("glove", "target", "gap"), [(False, 9.0, 2.0), (True, 20.0, 4.0)])
def test_targets_are_as_large_as_a_finger_or_a_glove(
    glove: bool, target: float, gap: float
) -> None:
    for per_mm in (3.78, 5.6, 8.8):
        metrics = Metrics(per_mm, glove)
        assert metrics.target == pytest.approx(target * per_mm, abs=0.5)
        assert metrics.gap == pytest.approx(gap * per_mm, abs=0.5)


@pytest.mark.expectation(18)
def test_a_drag_starts_after_4_px_2_7_mm_or_5_mm() -> None:
    metrics = Metrics(4.0)
    assert metrics.drag_start("mouse") * metrics.px_per_mm == 4.0
    assert metrics.drag_start("touch") == 2.7
    assert {metrics.with_glove(True).drag_start(means) for means in ("mouse", "touch")} == {5.0}


@pytest.mark.expectation(16)
def test_thin_things_are_caught_24_px_9_mm_or_20_mm_across() -> None:
    metrics = Metrics(4.0)
    assert 2 * metrics.grip("mouse") * metrics.px_per_mm == 24.0
    assert 2 * metrics.grip("touch") == 9.0
    assert 2 * metrics.with_glove(True).grip("touch") == 20.0


def test_a_screen_is_believed_unless_it_lies_plainly() -> None:
    assert measure(Screen(254.0)).px_per_mm == 10.0  # type: ignore[arg-type]
    assert measure(Screen(9.0)).px_per_mm == pytest.approx(96 / 25.4)  # type: ignore[arg-type]
    assert measure(Screen(254.0), calibrated=7.5).px_per_mm == 7.5  # type: ignore[arg-type]
    assert measure(None).px_per_mm == pytest.approx(96 / 25.4)


@pytest.mark.source("memory", "ISO/IEC 7810: a card is 85.60 mm wide")
def test_calibration_by_a_card() -> None:
    assert calibrate(428.0) == pytest.approx(5.0)
