"""Contacts cached over edits equal those found from scratch, and are the same objects."""

import random

import pytest
from msgspec import structs

from gridjig.contact.book import Contacts, contacts
from gridjig.contact.values import JobContacts
from gridjig.model import Hole, Job, Part, Placement
from gridjig.solve.placed.cache import PlacedPieces
from tests.contact.poses import lay, member, polygon
from tests.contact.test_agree import piece
from tests.workshop import TABLE, pin, plate, put, seat, stop

X, Y = TABLE.at(Hole(11, 9))


def same(a: JobContacts, b: JobContacts) -> None:
    assert list(a.pieces) == list(b.pieces)
    assert list(a.roles.items()) == list(b.roles.items())
    for k, one in a.pieces.items():
        assert one.contacts == b.pieces[k].contacts
        assert one.overlaps == b.pieces[k].overlaps
    assert a.parts == b.parts
    assert a.part_overlaps == b.part_overlaps


def new_part(rng: random.Random, name: str) -> Part:
    x, y = X + rng.uniform(-350, 350), Y + rng.uniform(-220, 220)
    return rng.choice((polygon, member, member))(rng, name, x, y, 120.0)


def edited(rng: random.Random, job: Job, number: int) -> Job:
    """The job after one edit that a person might make."""
    placements, parts = list(job.placements), list(job.parts)
    what = rng.choice(("move", "move", "add", "drop", "sort", "part", "part", "slide", "name"))
    if what == "add" or not placements:
        placements.insert(rng.randint(0, len(placements)), piece(rng, f"new{number}"))
    elif what == "drop" and len(placements) > 3:
        placements.pop(rng.randrange(len(placements)))
    elif what == "sort":
        rng.shuffle(placements)
    elif what == "part":
        k = rng.randrange(len(parts))
        moved = structs.replace(parts[k], x=parts[k].x + rng.uniform(-60, 60))
        parts[k : k + rng.randint(0, 1)] = [moved] if rng.random() < 0.8 else []
        parts = list({part.id: part for part in parts}.values()) or [new_part(rng, f"w{number}")]
    elif what == "name":
        k = rng.randrange(len(parts))
        parts[k] = structs.replace(parts[k], name="renamed")
    else:
        k = rng.randrange(len(placements))
        placements[k] = structs.replace(
            placements[k],
            turn=rng.uniform(-180, 180),
            slide=rng.uniform(0, 110),
            reach=rng.uniform(60, 160),
        )
    return structs.replace(job, placements=tuple(placements), parts=tuple(parts))


@pytest.mark.source(
    "method", "the same found from nothing, after each of some hundred random edits"
)
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.untraced
def test_kept_up_is_found_from_nothing(seed: int) -> None:
    rng = random.Random(seed)
    pieces = [piece(rng, f"p{k}") for k in range(12)]
    job = lay(*pieces, *(new_part(rng, f"w{k}") for k in range(5)))
    kept, stood = Contacts(), PlacedPieces()
    touching = 0
    for number in range(25):
        placed_pieces = stood.of(job)
        found = kept.of(job, placed_pieces)
        same(found, contacts(job, PlacedPieces().of(job)))
        assert kept.of(job, placed_pieces) is found
        touching += len(list(found.every()))
        job = edited(rng, job, number)
    assert touching > 50


def held() -> tuple[Job, Placement]:
    moving = stop("moving", 3, 3)
    clamp = put("clamp", "clamp", seat("p", 8, 8), turn=-90.0, reach=100.0)
    under = put("under", "riser", seat("p", 8, 6))
    bar = structs.replace(plate("bar", 300, 320, 300, 60), z_low=50.0, z_high=60.0)
    return lay(moving, stop("still", 10, 12), under, clamp, bar), moving


def test_what_was_not_touched_is_the_same_object() -> None:
    job, moving = held()
    kept, stood = Contacts(), PlacedPieces()
    first = kept.of(job, stood.of(job))
    assert first.roles["clamp"].what == "clamps"
    others = tuple(p for p in job.placements if p is not moving)
    moved = structs.replace(job, placements=(stop("moving", 4, 3), *others))
    second = kept.of(moved, stood.of(moved))
    for k in ("still", "under", "clamp"):
        assert second.pieces[k] is first.pieces[k]
        assert second.roles[k] is first.roles[k]
    assert second.pieces["moving"] is not first.pieces["moving"]
    assert second.parts is first.parts


def test_a_riser_that_is_taken_away_is_missed_by_the_clamp_above_it() -> None:
    job, _ = held()
    kept, stood = Contacts(), PlacedPieces()
    clamped = kept.of(job, stood.of(job)).roles["clamp"].clamped
    assert clamped is not None
    assert [s.id for s in clamped.supports] == ["under"]
    without = structs.replace(job, placements=tuple(p for p in job.placements if p.id != "under"))
    clamped = kept.of(without, stood.of(without)).roles["clamp"].clamped
    assert clamped is not None
    assert clamped.supports == ()


def test_a_part_far_off_leaves_the_pieces_alone() -> None:
    job, _ = held()
    kept, stood = Contacts(), PlacedPieces()
    first = kept.of(job, stood.of(job))
    more = structs.replace(job, parts=(*job.parts, plate("far", 1000, 900, 40, 40)))
    second = kept.of(more, stood.of(more))
    assert all(second.pieces[k] is first.pieces[k] for k in first.pieces)
    near = structs.replace(job, parts=(*job.parts, plate("near", 150, 240, 40, 40)))
    third = kept.of(near, stood.of(near))
    assert third.pieces["clamp"] is first.pieces["clamp"] or third.pieces["clamp"].contacts
    same(third, contacts(near, stood.of(near)))


def test_a_job_without_anything() -> None:
    job = lay()
    found = contacts(job, PlacedPieces().of(job))
    assert (dict(found.pieces), found.parts, found.part_overlaps) == ({}, (), ())
    alone = lay(pin("p", 3, 3))
    found = contacts(alone, PlacedPieces().of(alone))
    assert found.roles["p"].what == "idle"
    assert found.idle() == ("p",)
