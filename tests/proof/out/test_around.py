"""What stands over a weldment: which boxes overlap at all."""

import numpy as np
import pytest
import shapely

from gridjig.proof.out import around


@pytest.mark.source("library", "shapely 2", "the area that two boxes share")
@pytest.mark.parametrize("at_once", [1, 7, 1_000_000])
def test_boxes_that_overlap_are_found_however_many_are_compared_at_once(
    monkeypatch: pytest.MonkeyPatch, at_once: int
) -> None:
    monkeypatch.setattr(around, "_AT_ONCE", at_once)
    rng = np.random.default_rng(5)
    corners = rng.integers(0, 10, size=(30, 2)).astype(float)  # whole numbers, so that some touch
    boxes = np.hstack((corners, corners + rng.integers(1, 4, size=(30, 2))))
    some, others = boxes[:12], boxes[12:]
    shared = [
        (k, n)
        for k, one in enumerate(some)
        for n, other in enumerate(others)
        if shapely.box(*one).intersection(shapely.box(*other)).area > 0.0
    ]
    assert len(shared) > 5
    assert list(around._meeting(some, others)) == shared
