"""Bring to the face: each selected piece is slid, turned or packed, all in one step."""

import pytest
from msgspec import structs

from gridjig.model import Hole
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.core.tool import Commit, Nothing
from gridjig.tools.select.to_face import bring_to_face
from tests.contact.poses import FULL, lay, turned
from tests.driver import Driver
from tests.stock import SQUARE, bar
from tests.tools.touch.kit import touching
from tests.workshop import TABLE, pin, put, seat

RAIL = bar(SQUARE, x=400.0, y=500.0 + 12.0 + 7.0 + 25.0)
"""Its front face lies 19 mm beyond the holes of row 9."""


def test_each_is_brought_to_its_face_in_one_step() -> None:
    slid = put("slid", "adjustable", seat("s", 11, 9), seat("s", 11, 8), slide=0.0)
    job = lay(RAIL, turned("a", 10, 9, 25.0), slid, pin("far", 2, 2), rack=FULL)
    ids = frozenset(p.id for p in job.placements)
    outcome = bring_to_face(job, PlacedPieces().of(job), ids)
    assert isinstance(outcome, Commit)
    for thing in ("a", "slid"):
        made = next(p for p in outcome.job.placements if p.id == thing)
        assert touching(outcome.job, made), thing
    assert next(p for p in outcome.job.placements if p.id == "far") is job.placements[-1]
    assert "touches bar" in outcome.said
    assert "packing 5 mm + 2 mm" in outcome.said
    assert "C3: No face of the weldment is within reach" in outcome.said
    d = Driver(job)
    d.document.do(outcome.job, outcome.name)
    d.undo().expect(lambda now: now.job is job)


def test_shims_are_counted_over_all_that_are_brought() -> None:
    """A gap of 7 mm at three stops, and two shims of each size: the third makes do with less."""
    job = lay(RAIL, *(turned(k, col, 9, 0.0) for k, col in zip("abc", (9, 11, 13), strict=True)),
              rack=FULL)  # fmt: skip
    outcome = bring_to_face(job, PlacedPieces().of(job), frozenset("abc"))
    assert isinstance(outcome, Commit)
    packs = [p.packing for p in outcome.job.placements]
    assert packs[:2] == [("s5", "s2"), ("s5", "s2")]
    assert not {"s5", "s2"} & set(packs[2])


def test_what_touches_already_says_so_and_makes_no_step() -> None:
    job = lay(structs.replace(RAIL, y=500.0 + 12.0 + 25.0), turned("a", 11, 9, 0.0), rack=FULL)
    outcome = bring_to_face(job, PlacedPieces().of(job), frozenset("a"))
    assert isinstance(outcome, Nothing)
    assert "touches bar" in outcome.said
    assert "Nothing had to move" in outcome.said


@pytest.mark.parametrize("ids", [frozenset[str](), frozenset(["bar"])])
def test_without_a_piece_it_asks_for_one(ids: frozenset[str]) -> None:
    job = lay(RAIL, rack=FULL)
    outcome = bring_to_face(job, PlacedPieces().of(job), ids)
    assert isinstance(outcome, Nothing)
    assert "select" in outcome.said


def test_without_a_weldment_it_says_that_there_is_none() -> None:
    job = lay(turned("a", 11, 9, 0.0), rack=FULL)
    assert TABLE.has(Hole(11, 9))
    outcome = bring_to_face(job, PlacedPieces().of(job), frozenset("a"))
    assert "no weldment" in outcome.said
