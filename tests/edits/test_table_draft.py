"""The numbers of a table while being typed: what fits, and what contradicts."""

import pytest
from msgspec import structs

from gridjig.edits.table_draft import draft_of, faults, filled, made, mass, most, with_number
from gridjig.files.library.assets import ready_tables
from gridjig.model import Display, Table
from tests.workshop import EMPTY

MM = Display(unit="millimetres")


@pytest.mark.source("method", "plain counting: holes at first + k pitch up to the edge")
@pytest.mark.parametrize(
    ("size", "first", "pitch", "count"),
    [
        (1000, 50, 50, 20),
        (999, 50, 50, 19),
        (50, 50, 50, 1),
        (49, 50, 50, 0),
        (1219.2, 25.4, 50.8, 24),
    ],
)
def test_the_most_holes_that_fit(size: float, first: float, pitch: float, count: int) -> None:
    assert most(size, first, pitch) == count
    assert sum(first + k * pitch <= size + 1e-6 for k in range(2000)) == count


def test_contradictions_name_the_largest_value_that_fits() -> None:
    plate = with_number(draft_of(EMPTY.table), "columns", 40)
    assert faults(plate, MM) == {
        "columns": "40 columns do not fit; at most 24 fit the width of 1200 mm at 50 mm pitch"
        " from 50 mm."
    }
    late = with_number(draft_of(EMPTY.table), "first_y", 1500.0)
    assert "at most 1000 mm" in faults(late, MM)["first_y"]
    wide = with_number(draft_of(EMPTY.table), "hole_diameter", 50.0)
    assert "smaller than 50 mm" in faults(wide, MM)["hole_diameter"]
    assert not faults(draft_of(EMPTY.table), MM)


@pytest.mark.parametrize("table", ready_tables().values(), ids=list(ready_tables()))
def test_every_ready_table_is_whole_and_filling_it_changes_nothing(table: Table) -> None:
    plate = draft_of(table)
    assert not faults(plate, MM)
    assert made(table, plate) == table
    full = filled(plate)
    assert (full.columns, full.rows) == (plate.columns, plate.rows)
    assert full.first_x == pytest.approx(plate.first_x)


@pytest.mark.source("method", "plain geometry: plate less round holes, steel 7850 kg/m3")
def test_the_plate_weighs_what_is_left_between_its_holes() -> None:
    table = structs.replace(EMPTY.table, columns=1, rows=1)
    assert mass(table) == pytest.approx((1.2 * 1.0 - 3.14159265 * 0.016**2 / 4) * 0.016 * 7850)


@pytest.mark.parametrize(("name", "value"), [("width", 0.0), ("pitch_x", -1.0), ("rows", 0)])
def test_a_number_beyond_its_limits_is_said_before_any_contradiction(
    name: str, value: float
) -> None:
    plate = with_number(with_number(draft_of(EMPTY.table), "first_y", 1500.0), name, value)
    [(at, why)] = faults(plate, MM).items()
    assert at == name
    assert why[0].isupper()
    assert why.endswith(".")


@pytest.mark.source("method", "arithmetic: two holes, each off by half the pitch, could meet")
def test_a_tolerance_of_half_the_pitch_is_too_wide() -> None:
    plate = with_number(draft_of(EMPTY.table), "hole_tolerance", 25.0)
    assert faults(plate, MM) == {
        "hole_tolerance": "The tolerance must be less than half the pitch of 50 mm."
    }
    assert not faults(with_number(plate, "hole_tolerance", 24.9), MM)


@pytest.mark.source(
    "method", "plain counting: from a first hole at 25, every 50, to 25 from the end"
)
def test_filling_keeps_the_first_hole_that_was_typed() -> None:
    plate = draft_of(EMPTY.table)  # 1200 by 1000, holes of 16 every 50
    typed = with_number(with_number(plate, "first_x", 25.0), "first_y", 30.0)
    full = filled(typed, {"first_x"})
    assert (full.first_x, full.columns) == (25.0, 24)
    assert full.first_x + 23 * 50 == 1200 - 25
    assert (full.first_y, full.rows) == (25.0, 20)  # that one was not typed: centred
    both = filled(typed, {"first_x", "first_y"})
    assert (both.first_y, both.rows) == (30.0, 19)
    assert not faults(both, MM)


@pytest.mark.source("method", "plain geometry: a hole of 16 needs 8 to the edge")
@pytest.mark.parametrize(("first", "rows"), [(0.0, 20), (8.0, 20), (200.0, 16), (990.0, 1)])
def test_the_last_hole_stays_in_the_plate_too(first: float, rows: int) -> None:
    plate = with_number(draft_of(EMPTY.table), "first_y", first)
    full = filled(plate, {"first_y"})
    assert (full.first_y, full.rows) == (first, rows)
    if rows > 1:
        assert full.first_y + (rows - 1) * 50 <= 1000 - 8
