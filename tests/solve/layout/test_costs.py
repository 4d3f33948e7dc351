"""The costs of all shifts at once, compared with each shift by itself and with every pair."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import structs

from gridjig.rack import Piece
from gridjig.solve.layout.costs import Costs, best_pairs, costs
from gridjig.solve.layout.remainders import EXACT, left_before
from gridjig.solve.layout.rows import FaceRow
from gridjig.solve.packing.pack import pack_down, pack_sizes
from tests.workshop import RACK

SHIMS = tuple(
    Piece(id=f"s{n}", name="Shim", kind="shim", thickness=thick, owned=owned)
    for n, (thick, owned) in enumerate([(0.5, 2), (1.6, 3), (3.2, 1), (6.0, 4), (12.7, 2), (25, 2)])
)
SHIMMED = structs.replace(RACK, pieces=(*RACK.pieces, *SHIMS))


@pytest.mark.source("method", "brute force: each thickness by itself")
@given(st.lists(st.floats(0, 100).map(lambda x: round(x, 3)), max_size=30))
def test_many_packs_at_once_are_those_of_each_alone(wanted: list[float]) -> None:
    pieces, totals = pack_sizes(SHIMMED, np.array(wanted))
    alone = [pack_down(SHIMMED, one) for one in wanted]
    assert pieces.tolist() == [one.count for one in alone]
    assert totals.tolist() == [one.total for one in alone]


rows = st.builds(
    lambda at, sign, critical, allowed: FaceRow("x", sign, at, (), critical, allowed, 0),
    st.integers(0, 8000).map(lambda n: n / 8),
    st.sampled_from([1, -1]),
    st.booleans(),
    st.sampled_from([0.0, 0.5, 2.0]),
)


@pytest.mark.source("method", "brute force: each shift and each line by itself")
@given(
    st.lists(rows, max_size=8), st.lists(st.integers(-200, 200).map(lambda n: n / 8), min_size=1)
)
def test_shifts_at_once_cost_what_each_costs_alone(
    lines: list[FaceRow], shifts: list[float]
) -> None:
    lines = [structs.replace(row, number=n) for n, row in enumerate(lines)]
    found = costs(SHIMMED, lines, np.array(shifts), 12.5, 50.0, 50.0)
    for k, shift in enumerate(shifts):
        left = [left_before(r.at + shift, r.sign, 12.5, 50.0, 50.0) for r in lines]
        off = [min(one, 50 - one) > EXACT for one in left]
        packed = [
            o and min(x, 50 - x) > r.allowed for o, x, r in zip(off, left, lines, strict=True)
        ]
        packs = [pack_down(SHIMMED, round(x, 3)) for x, p in zip(left, packed, strict=True) if p]
        assert found.counts[k].tolist() == [
            sum(o and r.critical for o, r in zip(off, lines, strict=True)),
            sum(packed),
            sum(off),
            sum(one.count for one in packs),
        ]
        assert found.thickness[k] == pytest.approx(sum(one.total for one in packs))
        kept = [x if o else 0.0 for x, o in zip(left, off, strict=True)]
        assert list(found.left_at(k).values()) == pytest.approx(kept)


def some(rng: np.random.Generator, many: int) -> Costs:
    return Costs(
        shifts=rng.integers(-20, 20, many).astype(np.float64),
        counts=rng.integers(0, 3, (many, 4)),
        thickness=rng.integers(0, 3, many).astype(np.float64),
        left=np.zeros((many, 0)),
        numbers=(),
    )


@pytest.mark.source("method", "brute force over every pair")
@settings(max_examples=60)
@given(st.integers(0, 10**6), st.integers(1, 30), st.integers(1, 30), st.integers(1, 40))
def test_the_best_pairs_are_the_best_of_all(seed: int, a: int, b: int, most: int) -> None:
    rng = np.random.default_rng(seed)
    x, y = some(rng, a), some(rng, b)

    def rank(pair: tuple[int, int]) -> tuple[float, ...]:
        far = round(float(np.hypot(x.shifts[pair[0]], y.shifts[pair[1]])), 3)
        return (*x.sum(pair[0], y, pair[1]), far)

    every = sorted(map(rank, product(range(a), range(b))))
    assert [rank(pair) for pair in best_pairs(x, y, most)] == every[:most]
