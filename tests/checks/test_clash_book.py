"""Clashes kept from edit to edit are those found at once."""

import random

import pytest

from gridjig.checks.clash_book import ClashBook
from gridjig.checks.conflicts import clashes
from gridjig.checks.neighbours import placed_part
from gridjig.edits.selection import remove, shift
from gridjig.solve.placed.cache import PlacedPieces
from tests.workshop import laid, pin, plate, stop


@pytest.mark.source("method", "all pairs compared anew after each edit")
def test_after_any_edit_they_are_those_found_at_once() -> None:
    rng = random.Random(5)
    things = [pin(f"p{k}", 2 + k % 5, 2 + k // 5) for k in range(10)]
    job = laid(*things, stop("s", 4, 8), plate("w", 200, 200), plate("v", 400, 150))
    book, placed, seen = ClashBook(), PlacedPieces(), 0
    for _ in range(60):
        names = [thing.id for thing in (*job.placements, *job.parts)]
        name = rng.choice(names)
        if rng.random() < 0.1 and len(names) > 8:
            job = remove(job, {name})
        else:
            job = shift(job, frozenset([name]), rng.randint(-1, 1), rng.randint(-1, 1))
        found = book.of(placed.of(job), job.parts)
        assert found.all
        assert found.found == clashes(placed.of(job).values(), map(placed_part, job.parts))
        seen += len(found.found)
    assert seen > 50
