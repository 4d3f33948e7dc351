import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridjig.checks.conflicts import conflict, refusal
from gridjig.checks.neighbours import Neighbours, Thing, box_of, parts_of, pieces_of, placed_part
from gridjig.contact.overlap import thing_id
from gridjig.model import Hole, Job, Placement, Plate
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.faults import NotOnRack
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.words.placing_text import placing_text
from tests.workshop import RACK, TABLE, laid, pin, plate, stop

cells = st.tuples(st.integers(0, 9), st.integers(0, 9))
makers = st.sampled_from([pin, stop])


@st.composite
def jobs(draw: st.DrawFn) -> tuple[Job, Placement]:
    """A crowded corner of the table, and a piece to place among the others."""
    things: list[Placement | Plate] = [
        draw(makers)(f"p{k}", *draw(cells)) for k in range(draw(st.integers(0, 14)))
    ]
    for k in range(draw(st.integers(0, 2))):
        things.append(plate(f"o{k}", *draw(st.tuples(st.floats(0, 500), st.floats(0, 500)))))
    return laid(*things), draw(makers)("new", *draw(cells))


def looked_at_one_by_one(
    job: Job, placed_pieces: dict[str, PlacedPiece], placement: Placement, ignoring: frozenset[str]
) -> str | None:
    """Checks everything in job order: what has the hole, what is in the way."""
    here = solve_placement(job.table, job.rack, placement)
    if here.fault is not None:
        return placing_text(here.fault, job.table, job.display)
    others = [
        s
        for i, s in placed_pieces.items()
        if i not in {placement.id, *ignoring} and s.fault is None
    ]
    for other in others:
        for hole in here.holes:
            if hole in other.holes:
                taken = title(job, other.placement.id)
                return f"Hole {address(job.table, hole)} is taken by {taken}."
    parts = [placed_part(o) for o in job.parts if o.id not in ignoring]
    things: list[Thing] = [*others, *parts]
    for thing in things:
        clash = conflict(here, thing)
        if clash is not None and clash.kind == "body":
            return f"overlap {title(job, clash.b)}"
    return None


@pytest.mark.source("method", "brute force over all things of the job")
@settings(max_examples=150)
@given(jobs(), st.sets(st.sampled_from(["p0", "p1", "p2", "o0"])))
def test_a_refusal_is_the_same_as_if_everything_were_checked(
    asked: tuple[Job, Placement], ignoring: set[str]
) -> None:
    job, placement = asked
    placed_pieces = PlacedPieces().of(job)
    expected = looked_at_one_by_one(job, dict(placed_pieces), placement, frozenset(ignoring))
    for found in (
        refusal(job, placed_pieces, placement, ignoring),
        refusal(job, dict(placed_pieces), placement, ignoring),
    ):
        if expected is not None and expected.startswith("overlap "):
            assert found is not None
            assert found.startswith(f"It would {expected} by ")
        else:
            assert found == expected


@pytest.mark.source("method", "brute force over all pairs")
@given(jobs())
def test_whoever_conflicts_is_near(asked: tuple[Job, Placement]) -> None:
    job, placement = asked
    placed_pieces = PlacedPieces().of(job)
    here = solve_placement(job.table, job.rack, placement)
    neighbours = pieces_of(placed_pieces)
    known = {id(t) for t in (*neighbours.pinned_in(here.holes), *neighbours.near(here))}
    known |= {id(t) for t in parts_of(job.parts).near(here)}
    things: list[Thing] = [*placed_pieces.values(), *map(placed_part, job.parts)]
    assert len(things) == len(job.placements) + len(job.parts)
    for other in things:
        if conflict(here, other) is not None:
            assert id(other) in known


def test_a_piece_in_the_hole_beside_is_near_and_one_across_the_table_is_not() -> None:
    beside, across = stop("beside", 5, 4), stop("across", 18, 15)
    placed_pieces = PlacedPieces().of(laid(beside, across))
    here = solve_placement(TABLE, RACK, stop("new", 4, 4))
    assert [thing_id(thing) for thing in pieces_of(placed_pieces).near(here)] == ["beside"]
    assert conflict(here, placed_pieces["beside"]) is not None


def test_the_same_view_is_indexed_once_and_a_dict_each_time() -> None:
    job = laid(stop("a", 3, 3), pin("b", 5, 5))
    placed_pieces = PlacedPieces().of(job)
    assert pieces_of(placed_pieces) is pieces_of(placed_pieces)
    changing = dict(placed_pieces)
    assert [s.placement.id for s in _in(pieces_of(changing), Hole(5, 5))] == ["b"]
    del changing["b"]
    assert _in(pieces_of(changing), Hole(5, 5)) == []
    assert parts_of(job.parts) is parts_of(job.parts)


def _in(neighbours: Neighbours, hole: Hole) -> list[PlacedPiece]:
    return [s for s in neighbours.pinned_in([hole]) if isinstance(s, PlacedPiece)]


def test_faulty_pieces_are_in_no_ones_way_and_empty_ones_are_near_nothing() -> None:
    job = laid(pin("off", 99, 99), pin("on", 3, 3))
    neighbours = pieces_of(PlacedPieces().of(job))
    assert neighbours.pinned_in([Hole(99, 99)]) == []
    assert len(neighbours.pinned_in([Hole(3, 3)])) == 1
    nothing = PlacedPiece(pin("gone", 3, 3), None, NotOnRack("gone"))
    assert box_of(nothing) is None
    assert Neighbours([nothing]).near(nothing) == []
    assert neighbours.near(nothing) == []
