"""Placed pieces are cached: editing one placement solves one and leaves the others alone."""

from msgspec.structs import replace

from gridjig.model import Hole, HoleMark, Job, Placement
from gridjig.solve.grid.hole_faults import ClosedHole
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import Display
from tests.solve.grid_kit import grid, hole, piece, put, rack, said, seats

PIN_PIECE = piece(hole("h", 0, 0), hole("k", 50, 0))
RACK = rack(PIN_PIECE)


def job(count: int = 6) -> Job:
    placements = tuple(
        put(PIN_PIECE, seats(h=(k, k), k=(k + 1, k)), id=f"p{k}") for k in range(count)
    )
    return Job(
        name="job",
        table=grid(),
        rack=RACK,
        placements=placements,
        display=Display(unit="millimetres"),
    )


def changed(before: Job, index: int, placement: Placement) -> Job:
    placements = list(before.placements)
    placements[index] = placement
    return replace(before, placements=tuple(placements))


def test_the_same_job_gives_the_same_mapping() -> None:
    stands = PlacedPieces()
    one = job()
    assert stands.of(one) is stands.of(one)
    assert stands.of(one) is stands.of(replace(one, name="other"))
    assert list(stands.of(one)) == [p.id for p in one.placements]


def test_only_what_changed_is_worked_out() -> None:
    stands = PlacedPieces()
    one = job()
    before = stands.of(one)
    two = changed(one, 2, replace(one.placements[2], note="moved"))
    after = stands.of(two)
    assert [k for k in before if before[k] is not after[k]] == ["p2"]
    assert after["p2"] == solve_placement(two.table, two.rack, two.placements[2])
    assert before["p2"].placement is one.placements[2]


def test_placements_that_come_go_and_change_places() -> None:
    stands = PlacedPieces()
    one = job()
    before = stands.of(one)
    fewer = replace(one, placements=one.placements[1:])
    assert all(s is before[k] for k, s in stands.of(fewer).items())
    assert len(stands.of(fewer)) == 5
    again = stands.of(one)
    assert all(again[k] is before[k] for k in before if k != "p0")
    assert again == before
    turned = replace(one, placements=one.placements[::-1])
    after = stands.of(turned)
    assert list(after) == [p.id for p in turned.placements]
    assert all(s is again[k] for k, s in after.items())


def test_another_table_or_rack_works_out_all() -> None:
    stands = PlacedPieces()
    one = job()
    before = stands.of(one)
    marked = replace(one, table=grid(marks=[HoleMark(hole=Hole(0, 0), state="blocked")]))
    after = stands.of(marked)
    assert after["p0"].fault == ClosedHole(Hole(0, 0), "blocked")
    assert not any(after[k] is before[k] for k in before)
    wider = stands.of(replace(marked, rack=rack(PIN_PIECE, piece(id="more"))))
    assert not any(after[k] is wider[k] for k in after)


def test_another_display_solves_nothing_again_and_only_words_the_fault_anew() -> None:
    stands = PlacedPieces()
    one = job()
    wrong = changed(one, 1, replace(one.placements[1], seats=seats(h=(5, 5), k=(9, 5))))
    before = stands.of(wrong)
    assert len(before) == 6
    after = stands.of(replace(wrong, display=Display(unit="inch decimals")))
    assert [k for k in before if before[k] is not after[k]] == []
    fault = after["p1"].fault
    assert said(fault, wrong.table) != said(fault, wrong.table, Display(unit="inch decimals"))
