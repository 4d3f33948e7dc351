"""Stacks of shims: every total, with the fewest pieces."""

from itertools import product

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from gridjig.solve.packing.stacks import nearest, stacks


@pytest.mark.source("method", "brute force over all choices of shims")
@given(
    st.lists(
        st.tuples(
            st.sampled_from([0.396875, 0.5, 0.79375, 1.0, 2.0, 3.175, 5.0]), st.integers(0, 3)
        ),
        max_size=4,
    ),
    st.integers(0, 4),
    st.sampled_from([4.0, 25.0]),
)
@example([(0.396875, 1), (0.79375, 1), (5.0, 1), (0.396875, 1)], 4, 25.0)
def test_all_stacks(kinds: list[tuple[float, int]], at_most: int, thickest: float) -> None:
    fewest: dict[int, int] = {}
    for counts in product(*(range(n + 1) for _, n in kinds)):
        total = sum(c * t for c, (t, _) in zip(counts, kinds, strict=True))
        if sum(counts) <= at_most and total <= thickest + 1e-9:
            key = round(total * 1e6)  # nm: no total is halfway between two
            fewest[key] = min(sum(counts), fewest.get(key, 99))
    found = stacks(kinds, at_most, thickest)
    assert {
        round(t * 1e6): int(p) for t, p in zip(found.total, found.pieces, strict=True)
    } == fewest
    assert (np.diff(found.total) > 0).all()
    for total, pieces, counts in zip(found.total, found.pieces, found.counts, strict=True):
        assert total == pytest.approx(sum(c * t for c, (t, _) in zip(counts, kinds, strict=True)))
        assert pieces == sum(counts)
        assert all(c <= n for c, (_, n) in zip(counts, kinds, strict=True))
    few = found.at_most(1)
    assert (found.pieces[few] <= 1).all()


@given(
    st.lists(st.floats(0, 100), min_size=1, max_size=9, unique=True),
    st.lists(st.floats(-10, 110), min_size=1, max_size=5),
)
@pytest.mark.source("method", "brute force")
def test_nearest(totals: list[float], wanted: list[float]) -> None:
    rising = np.array(sorted(totals))
    got = rising[nearest(rising, np.array(wanted))]
    for value, w in zip(got, wanted, strict=True):
        assert abs(value - w) == min(abs(t - w) for t in totals)


def test_dozens_of_odd_thicknesses_take_no_memory_without_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A rack of 60 odd shims makes billions of stacks of eight."""
    kinds = [(1.0 + 0.0137 * k * k, 9) for k in range(60)]
    monkeypatch.setattr("gridjig.solve.packing.stacks.MOST", 3000)
    made = stacks(kinds, 8, 100.0)
    assert 100 < len(made.total) <= 3000
    thick = np.array([thickness for thickness, _ in kinds])
    assert made.counts @ thick == pytest.approx(made.total)
    assert made.counts.sum(axis=1).tolist() == made.pieces.tolist()
    assert made.pieces.max() <= 8
    assert np.diff(made.total[1:]).max() < 1.0  # still a stack for nearly every thickness
