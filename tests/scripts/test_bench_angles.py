"""The benchmark asks the finder and brute force the same question: they must agree."""

import math

import bench_angles
import pytest

from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.finder import find_angles
from gridjig.solve.angles.wanted import as_edge


@pytest.mark.source(
    "method", "brute force over all offset vectors, pairs of sizes and stacks of shims"
)
@pytest.mark.parametrize("angle", [0.0, 3.3, 22.5, 37.5, 44.9, 71.0, 90.0, 101.7, 133.2, 179.2])
def test_the_finder_agrees_with_brute_force(angle: float) -> None:
    rack = bench_angles.bench_rack()
    limits = AngleLimits(leg=500.0, ways=("pins", "two sizes", "shims"))
    shims = bench_angles.shim_totals(rack, limits.most_shims, 25.0)
    best = find_angles(bench_angles.table_of(12, 9), rack, as_edge(angle), limits).ranked[0]
    end = limits.leg * math.tan(math.radians(abs(best.error_arcmin) / 60)) / 0.01
    assert bench_angles.brute_force(12, 9, angle, limits.leg, shims) == round(end)
