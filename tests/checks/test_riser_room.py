"""Risers under a raised part: where they can stand, and what is said if pins take their room."""

import pytest
from msgspec import structs

from gridjig.checks.conflicts import refusal
from gridjig.checks.riser_room import riser_span, riser_warning
from gridjig.edits.placements import place
from gridjig.model import Hole, Job, Part, Placement, Plate, Seat
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.draw.place_tool import PlaceTool
from tests.driver import Driver
from tests.workshop import RISER, TABLE, laid, pin, plate, put, seat

FIRST = TABLE.at(Hole(4, 6))
HIGH = RISER.thickness


def strut(columns: int = 8, high: float = HIGH) -> Plate:
    """A bar over one row of holes, from just before E7 to just behind the last of its columns."""
    x, y = FIRST
    long = (columns - 1) * TABLE.pitch_x + 20.0
    made = plate("strut", x - 10.0, y - 10.0, long, 20.0)
    return structs.replace(made, name="Strut", z_low=high, z_high=high + 20.0)


def span(job: Job) -> tuple[Hole, Hole] | None:
    part = job.find("strut")
    assert isinstance(part, Part)
    return riser_span(job, PlacedPieces().of(job), part)


def warned(before: Job, *more: Placement) -> str:
    after = before
    for one in more:
        after = place(after, one)
    return riser_warning(before, PlacedPieces().of(before), after, PlacedPieces().of(after))


@pytest.mark.source("method", "every hole of the table asked by itself")
def test_the_span_is_between_the_holes_nearest_to_both_ends() -> None:
    job = laid(strut())
    assert span(job) == (Hole(4, 6), Hole(11, 6))
    part = job.find("strut")
    below = [
        hole
        for hole in (Hole(c, r) for c in range(TABLE.columns) for r in range(TABLE.rows))
        if abs(TABLE.at(hole)[1] - FIRST[1]) < 10.0 and 4 <= hole.col <= 11
        and refusal(job, PlacedPieces().of(job), riser_in(hole)) is None
    ]  # fmt: skip
    assert part is not None
    assert (min(below), max(below)) == span(job)
    assert span(laid(strut(), pin("p", 4, 6), pin("q", 11, 6))) == (Hole(5, 6), Hole(10, 6))
    low = laid(strut(high=HIGH / 2.0))
    assert span(low) is None  # the riser is higher than that


def riser_in(hole: Hole) -> Placement:
    return Placement(id="r", piece=RISER.id, seats=(Seat(RISER.mounts[0].id, hole),))


def test_it_is_said_if_pins_leave_risers_little_room_or_none() -> None:
    job = laid(strut())
    assert warned(job, pin("a", 4, 6)) == ""  # one hole less is no matter
    most = [pin(f"p{c}", c, 6) for c in (4, 5, 6, 7, 8)]
    assert warned(job, *most) == (
        "Risers now fit under Strut only from J7 to L7. Undo, and set its risers first."
    )
    all_but_one = [pin(f"p{c}", c, 6) for c in range(4, 11)]
    assert warned(job, *all_but_one).startswith("Risers now fit under Strut only in L7.")
    every = [pin(f"p{c}", c, 6) for c in range(4, 12)]
    assert warned(job, *every) == (
        "No riser fits under Strut any more. Undo, and set its risers first."
    )


def test_nothing_is_said_of_parts_on_the_table_carried_ones_or_far_away() -> None:
    every = [pin(f"p{c}", c, 6) for c in range(5, 11)]
    assert warned(laid(strut()), *every) == ""  # both ends are free
    every = [pin(f"p{c}", c, 6) for c in range(4, 12)]
    flat = structs.replace(strut(), z_low=0.0)
    assert warned(laid(flat), *every) == ""
    under = [put(f"r{c}", "riser", seat("p", c, 6)) for c in (5, 10)]
    assert warned(laid(strut(), *under), *(p for p in every if p.seats[0].hole.col not in (5, 10)))\
        == ""  # fmt: skip
    assert warned(laid(strut()), *under) == ""  # risers take holes from nobody
    assert warned(laid(strut()), *(pin(f"q{c}", c, 1) for c in range(4, 12))) == ""


def test_the_place_tool_says_it_when_the_pin_is_set() -> None:
    d = Driver(laid(strut(columns=1))).tool(lambda document: PlaceTool(document, "pin"))
    d.click("E7").expect_step("Place locating pin in E7")
    assert "No riser fits under Strut any more." in d.controller.said
