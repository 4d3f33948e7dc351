import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs

from gridjig.model import Placement
from gridjig.model.changes import exchanged, renamed
from tests.workshop import pin

ROW = tuple(pin(f"p{k}", k, 0) for k in range(12))


@pytest.mark.source("method", "brute force over all places")
@given(st.sets(st.integers(0, 11)), st.sets(st.integers(0, 11)))
def test_the_places_where_another_object_stands(moved: set[int], named: set[int]) -> None:
    new: tuple[Placement, ...] = tuple(
        structs.replace(p, id=f"q{k}") if k in named else structs.replace(p) if k in moved else p
        for k, p in enumerate(ROW)
    )
    places = exchanged(ROW, new)
    assert places == tuple(k for k in range(12) if ROW[k] is not new[k])
    assert places == tuple(sorted(moved | named))
    assert renamed(ROW, new, places) == bool(named)


def test_rows_of_other_lengths_are_not_compared() -> None:
    assert exchanged(ROW, ROW[1:]) is None
    assert exchanged(ROW, ROW) == ()


@pytest.mark.source("method", "brute force over all places")
def test_what_was_compared_before_is_not_mixed_up() -> None:
    def without(*moved: int) -> tuple[Placement, ...]:
        return tuple(structs.replace(p) if k in moved else p for k, p in enumerate(ROW))

    kept = [ROW, without(1), without(1, 2), without(5), without(5, 7), without(11)]
    for _ in range(3):
        for old in kept:
            for new in kept:
                differing = tuple(k for k in range(12) if old[k] is not new[k])
                assert exchanged(old, new) == differing
                assert exchanged(old, new) == differing  # from what was kept
    for k in range(200):  # none of these outlives its turn, so that addresses are used again
        assert exchanged(ROW, without(k % 12)) == (k % 12,)
