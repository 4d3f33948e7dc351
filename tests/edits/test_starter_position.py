"""The default position of a standard weldment, and the warnings about a position."""

import pytest

from gridjig.edits.parts import add_part, rectangle
from gridjig.edits.starter_position import box_of, free_corner, place_warning
from gridjig.model import Hole, Job, Plate
from tests.workshop import EMPTY


def plate(x0: float, y0: float, x1: float, y1: float, name: str = "plate") -> Plate:
    return rectangle(name, name, (x0, y0), (x1, y1), (0.0, 10.0))


def with_plate(x0: float, y0: float, x1: float, y1: float) -> Job:
    return add_part(EMPTY, plate(x0, y0, x1, y1, "there"))


@pytest.mark.source("method", "brute force over all holes of the table")
def test_it_goes_to_the_hole_that_puts_it_nearest_to_the_middle() -> None:
    table = EMPTY.table
    new = plate(0, 0, 3 * table.pitch_x, table.pitch_y)
    x, y = table.at(free_corner(EMPTY, (new,)))

    def away(corner: tuple[float, float]) -> float:
        dx = corner[0] + 1.5 * table.pitch_x - table.width / 2
        dy = corner[1] + 0.5 * table.pitch_y - table.depth / 2
        return dx * dx + dy * dy

    every = [
        (table.first_x + c * table.pitch_x, table.first_y + r * table.pitch_y)
        for c in range(table.columns)
        for r in range(table.rows)
    ]
    assert away((x, y)) == pytest.approx(min(map(away, every)))


@pytest.mark.source("library", "shapely 2", "area in common")
def test_it_keeps_clear_of_what_lies_there() -> None:
    from shapely import box

    table = EMPTY.table
    mid = (table.width / 2, table.depth / 2)
    job = with_plate(mid[0] - 80, mid[1] - 80, mid[0] + 80, mid[1] + 80)
    new = plate(0, 0, 120, 60)
    x, y = table.at(free_corner(job, (new,)))
    lying = box(x, y, x + 120, y + 60)
    there = box(mid[0] - 80, mid[1] - 80, mid[0] + 80, mid[1] + 80)
    assert lying.intersection(there).area == 0
    assert box(0, 0, table.width, table.depth).covers(lying)


@pytest.mark.source("method", "arithmetic: boxes side by side, with room for the next hole")
def test_it_leaves_room_for_stops_beside_what_lies_there() -> None:
    """On the hole of the nearest face the two would touch."""
    table = EMPTY.table
    x0, y0 = table.at(Hole(1, 5))
    there = (x0, y0, x0 + (table.columns - 4) * table.pitch_x, y0 + table.pitch_y)
    x, y = table.at(free_corner(with_plate(*there), (plate(0, 0, 120, 60),)))
    assert x0 <= x < there[2], "beside the long plate"
    above, below = y - there[3], there[1] - (y + 60)
    assert table.pitch_y - 1e-6 <= max(above, below) <= 2 * table.pitch_y


def test_with_no_room_to_spare_it_is_still_apart() -> None:
    table = EMPTY.table
    _, y0 = table.at(Hole(0, 2))
    job = with_plate(0, y0, table.width, table.depth)
    x, y = table.at(free_corner(job, (plate(0, 0, 120, y0 - table.first_y),)))
    assert y == table.first_y
    assert 0 <= x <= table.width - 120


def test_warnings_about_a_place() -> None:
    job = with_plate(100, 100, 200, 200)
    assert place_warning(job, (plate(210, 100, 260, 150),)) == ""
    assert (
        place_warning(job, (plate(190, 100, 260, 150),)) == "It is close to, or on top of, there."
    )
    assert "close to" in place_warning(job, (plate(200, 100, 260, 150),)), "they touch"
    assert "edge" in place_warning(job, (plate(-10, 100, 60, 150),))
    wide = plate(0, 0, EMPTY.table.width + 1, 10)
    assert "edge" in place_warning(job, (wide,))


def test_nothing_has_no_box() -> None:
    with pytest.raises(ValueError, match="no parts"):
        box_of(())
