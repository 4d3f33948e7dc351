import pytest
from hypothesis import given
from hypothesis import strategies as st

from gridjig.edits.lookup import (
    all_ids,
    new_id,
    part_of,
    placement_of,
    plate_of,
    swapped,
    with_part,
    with_placement,
)
from tests.workshop import laid, pin, plate

JOB = laid(pin("pin-1", 2, 2), pin("pin-2", 4, 2), plate("bar", 100, 100))


@given(st.text(max_size=80))
def test_a_new_id_is_fresh_and_well_formed(stem: str) -> None:
    fresh = new_id(JOB, stem)
    assert fresh not in all_ids(JOB)
    assert pin(fresh, 0, 0).id == fresh
    assert len(fresh) <= 60


def test_new_ids_count_on_from_the_stem() -> None:
    assert new_id(JOB, "pin") == "pin-3"
    assert new_id(JOB, "pin-2", {"pin-3"}) == "pin-4"
    assert new_id(JOB, "§§") == "part-1"


def test_things_are_found_by_their_kind() -> None:
    assert placement_of(JOB, "pin-1").id == "pin-1"
    assert plate_of(JOB, "bar").id == "bar"
    assert part_of(JOB, "bar").id == "bar"
    with pytest.raises(KeyError, match="pin-1"):
        part_of(JOB, "pin-1")
    with pytest.raises(KeyError, match="bar"):
        placement_of(JOB, "bar")
    with pytest.raises(KeyError, match="pin-1"):
        plate_of(JOB, "pin-1")


def test_replacing_by_an_equal_value_gives_the_same_job() -> None:
    assert with_placement(JOB, pin("pin-1", 2, 2)) is JOB
    assert with_part(JOB, plate("bar", 100, 100)) is JOB
    with pytest.raises(KeyError, match="nobody"):
        swapped(JOB.placements, pin("nobody", 1, 1))
