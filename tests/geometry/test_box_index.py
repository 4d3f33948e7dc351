import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.geometry.box_index import Box, BoxIndex, touch


def _box(at: tuple[float, float, float, float]) -> Box:
    x, y, wide, high = at
    return (x, y, x + wide, y + high)


boxes = st.tuples(
    st.floats(-900, 900), st.floats(-900, 900), st.floats(0, 700), st.floats(0, 700)
).map(_box) | st.tuples(
    st.floats(-9000, 900), st.floats(-9000, 900), st.floats(0, 9000), st.floats(0, 9000)
).map(_box)


@pytest.mark.source("method", "brute force over all boxes")
@given(st.lists(boxes, max_size=30), st.sets(st.integers(0, 29)), boxes)
def test_those_that_touch_are_found_and_no_others(
    every: list[Box], dropped: set[int], asked: Box
) -> None:
    nearby: BoxIndex[int] = BoxIndex()
    for index, box in enumerate(every):
        nearby.put(index, box)
    for index in dropped:
        nearby.drop(index)
    expected = [
        k
        for k, box in enumerate(every)
        if k not in dropped
        and max(box[0], asked[0]) <= min(box[2], asked[2])
        and max(box[1], asked[1]) <= min(box[3], asked[3])
    ]
    assert sorted(nearby.touching(asked)) == expected
    assert nearby.any_touching(asked) == bool(expected)


def test_a_box_put_again_is_only_where_it_is_now() -> None:
    nearby: BoxIndex[str] = BoxIndex()
    nearby.put("a", (0, 0, 10, 10))
    nearby.put("a", (5000, 0, 5010, 10))
    nearby.put("b", (2500, 0, 2510, 10))
    assert nearby.touching((-1, -1, 20, 20)) == []
    assert nearby.touching((5001, 1, 5002, 2)) == ["a"]


def test_a_box_can_be_made_larger() -> None:
    assert not touch((0, 0, 1, 1), (2, 0, 3, 1))
    assert touch((0, 0, 1, 1), (2, 0, 3, 1), 1.0)


@pytest.mark.parametrize(("dx", "dy"), [(2, 0), (-2, 0), (0, 2), (0, -2), (2, 2)])
@pytest.mark.parametrize(("out", "met"), [(0.999, False), (1.0, True), (1.5, True)])
def test_it_is_larger_on_every_side(dx: int, dy: int, out: float, met: bool) -> None:
    assert touch((0, 0, 1, 1), (dx, dy, dx + 1, dy + 1), out) == met
    assert not touch((0, 0, 1, 1), (dx * 5, dy * 5, dx * 5 + 1, dy * 5 + 1), out)


@pytest.mark.source("method", "arithmetic: a square of 200 km has 10^12 squares of 200 mm")
def test_a_part_of_any_size_takes_no_memory() -> None:
    """A corner at 1e6 once took 4.8 GB."""
    nearby: BoxIndex[str] = BoxIndex()
    nearby.put("vast", (-1e8, -1e8, 1e8, 1e8))
    nearby.put("small", (5, 5, 6, 6))
    assert sorted(nearby.touching((0, 0, 9, 9))) == ["small", "vast"]
    assert sorted(nearby.touching((-1e8, -1e8, 1e8, 1e8))) == ["small", "vast"]
    nearby.put("vast", (50, 50, 60, 60))
    assert nearby.touching((0, 0, 9, 9)) == ["small"]
    nearby.drop("vast")
    nearby.drop("vast")
    assert nearby.touching((-1e8, -1e8, 1e8, 1e8)) == ["small"]
