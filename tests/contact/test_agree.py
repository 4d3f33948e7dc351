"""Contacts and conflicts never disagree: random jobs of pieces, plates and bars of every kind."""

import random
from collections import Counter

import pytest

from gridjig.checks.conflicts import conflict
from gridjig.contact.book import contacts
from gridjig.contact.shapes import placed_part
from gridjig.contact.values import TOUCH
from gridjig.model import Hole, Job, Part, Placement
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import lay, member, polygon, turned
from tests.workshop import TABLE, pin, put, seat, stop


def piece(rng: random.Random, name: str) -> Placement:
    """A piece of any kind somewhere in the middle of the table."""
    col, row = rng.randint(4, 17), rng.randint(4, 13)
    turn = rng.choice((0.0, 90.0, rng.uniform(-180.0, 180.0)))
    made = (
        pin(name, col, row),
        stop(name, col, row),
        turned(name, col, row, turn),
        put(name, "slider", seat("s", col, row), turn=turn, slide=rng.uniform(0.0, 110.0)),
        put(name, "riser", seat("p", col, row)),
        put(name, "clamp", seat("p", col, row), turn=turn, reach=rng.uniform(60.0, 160.0)),
        put(
            name, "hinge", seat("h1", col, row), seat("h2", col + 2, row), leaf=rng.uniform(0, 180)
        ),
        put(name, "pin", seat("p", col, row), packing=("shim",) * 5, turn=turn),
        put(name, "stop", seat("h1", col, row), seat("h2", col + 1, row), lift=("riser",)),
    )
    return rng.choice(made)


def scene(seed: int) -> Job:
    """Fourteen pieces and five parts, placed at random."""
    rng = random.Random(seed)
    pieces = [piece(rng, f"p{k}") for k in range(14)]
    x, y = TABLE.at(Hole(11, 9))
    parts: list[Part] = []
    for k in range(5):
        at = (x + rng.uniform(-350, 350), y + rng.uniform(-220, 220))
        make = polygon if k in (0, 4) else member
        parts.append(make(rng, f"w{k}", *at, 120.0))
    return lay(*pieces, *parts)


@pytest.mark.source("method", "the conflict relation, asked pair by pair")
@pytest.mark.parametrize("seed", range(60))
@pytest.mark.untraced
def test_an_overlap_is_a_conflict_and_the_other_way_round(seed: int) -> None:
    job = scene(seed)
    placed_pieces = PlacedPieces().of(job)
    found = contacts(job, placed_pieces)
    clashing = {
        (p.id, part.id)
        for p in job.placements
        for part in job.parts
        if placed_pieces[p.id].fault is None
        and (clash := conflict(placed_pieces[p.id], placed_part(part))) is not None
        and clash.kind == "body"
    }
    listed = {(o.a, o.b) for own in found.pieces.values() for o in own.overlaps}
    assert listed == clashing
    for contact in found.every():
        if contact.means == "overlap":
            assert (contact.piece, contact.part) in clashing
            assert contact.gap < -TOUCH
        if contact.gap < -TOUCH and contact.kind != "pad on top":
            assert (contact.means == "overlap") == ((contact.piece, contact.part) in clashing)


@pytest.mark.untraced
def test_the_random_jobs_hold_enough_of_everything() -> None:
    seen: Counter[str] = Counter()
    for seed in range(66):
        job = scene(seed)
        found = contacts(job, PlacedPieces().of(job))
        for contact in found.every():
            seen[contact.means] += 1
            seen[contact.kind] += 1
        seen["overlaps"] += len(list(found.overlaps()))
    assert seen["overlap"] > 100
    assert seen["gap"] > 300
    assert seen["overlaps"] > 200
    assert min(seen[k] for k in ("corner on face", "face on corner", "round on face")) > 50
