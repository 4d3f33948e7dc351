"""What the rack lacks, and what else does: each substitute is tried on the table by other means."""

from collections import Counter

import pytest
from msgspec import structs

from gridjig.checks.conflicts import refusal
from gridjig.contact.book import contacts
from gridjig.model import Job, Placement
from gridjig.proof.supply.findings import supply_findings
from gridjig.proof.supply.report import supply
from gridjig.proof.supply.values import Shortage
from gridjig.solve.placed.cache import PlacedPieces
from tests.proof.layouts import layout


def shortages(job: Job) -> dict[str, Shortage]:
    placed = PlacedPieces().of(job)
    return {one.piece: one for one in supply(job, placed, contacts(job, placed)).shortages}


def owning(job: Job, **counts: int) -> Job:
    pieces = tuple(
        structs.replace(p, owned=counts.get(p.id.replace("-", "_"), p.owned))
        for p in job.rack.pieces
    )
    return structs.replace(job, rack=structs.replace(job.rack, pieces=pieces))


def test_nothing_short_says_nothing() -> None:
    assert shortages(layout("T01")) == {}


@pytest.mark.source(
    "method", "the substitute put on the table: no refusal, and the same part touched"
)
@pytest.mark.parametrize("trial", ["T02", "T08"])
def test_a_substitute_stands_and_touches_what_the_other_touched(trial: str) -> None:
    job = layout(trial)
    placed = PlacedPieces().of(job)
    before = contacts(job, placed)
    short = shortages(job)
    assert len(short) == 1
    for one in short.values():
        assert one.substitutes
        for sub in one.substitutes:
            assert sub.setting is not None
            assert refusal(job, placed, sub.setting, {sub.placement}) is None
            after = replaced(job, sub.placement, sub.setting)
            now = contacts(after, PlacedPieces().of(after)).pieces[sub.placement].touching
            was = before.pieces[sub.placement].touching
            assert {(c.part, c.face) for c in was} & {(c.part, c.face) for c in now}


def replaced(job: Job, name: str, setting: Placement) -> Job:
    return structs.replace(
        job, placements=tuple(setting if p.id == name else p for p in job.placements)
    )


@pytest.mark.source(
    "method", "arithmetic: the sums of thicknesses are equal, and no more than owned"
)
def test_a_stack_is_made_up_of_others() -> None:
    job = layout("T06")
    used = Counter(piece for p in job.placements for piece in p.packing)
    assert used
    thick = max(used, key=lambda piece: job.rack.piece(piece).thickness)
    lacking = owning(job, **{thick.replace("-", "_"): used[thick] - 1})
    found = shortages(lacking)[thick]
    (sub,) = found.substitutes
    assert sub.how == "stack"
    total = sum(lacking.rack.piece(piece).thickness for piece in sub.instead)
    own = next(p for p in job.placements if p.id == sub.placement)
    assert total == pytest.approx(own.packing.count(thick) * lacking.rack.piece(thick).thickness)
    assert thick not in sub.instead


def test_where_nothing_else_does_it_says_what_was_looked_at() -> None:
    job = layout("T01")
    kinds = ("pin", "fixed stop", "arm", "square", "bevel", "V-block")
    none = {p.id.replace("-", "_"): 0 for p in job.rack.pieces if p.kind in kinds}
    bare = owning(job, **none)
    found = shortages(bare)["stop-fixed"]
    assert found.substitutes == ()
    assert found.short == found.needed
    placed = PlacedPieces().of(bare)
    said = {f.id: f for f in supply_findings(bare, supply(bare, placed, contacts(bare, placed)))}
    one = said["short/stop-fixed"]
    assert "Nothing else left on the rack does for" in one.do
    assert "Borrow or make one" in one.do
    assert (one.value, one.limit, one.unit) == (found.needed, 0.0, "pieces")


def test_another_pin_that_fits_is_named() -> None:
    job = layout("T01")
    few = owning(job, lock_pin=2)
    found = shortages(few)["lock-pin"]
    assert {sub.instead for sub in found.substitutes} == {("lock-pin-long",) * 2}
    assert all(sub.how == "pin" for sub in found.substitutes)
