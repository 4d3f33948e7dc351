"""What the program offers is told before it is placed as the check tells it afterwards."""

import pytest
from msgspec import structs

from gridjig.checks.findings import Finding, findings
from gridjig.edits.placements import place
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.model.labels import find_hole
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.touch.door import Wish, at_hole, touch_words
from tests.trials.keyed import KEYED


def about(job: Job, name: str) -> Finding:
    """The finding of that id; there has to be one."""
    every = {one.id: one for one in findings(job, PlacedPieces().of(job))}
    assert name in every
    return every[name]


@pytest.mark.source("method", "arithmetic: the gap before the face less the shims of the stack")
def test_packing_that_leaves_a_gap_is_named_as_what_leaves_it() -> None:
    """The brace of a corner bracket: of five shims before a round pin the first four leave .028 in
    open, and all of them .012 in.
    """
    bracket = KEYED["T04"]()
    hole = find_hole(bracket.table, "I12")
    piece, at = bracket.rack.piece("pin-1"), bracket.table.at(hole)
    wish = Wish(0.0, False, False, True)
    one = at_hole(bracket, PlacedPieces().of(bracket), piece, hole, at, wish, "pin").best()
    assert one is not None
    assert len(one.placement.packing) == 5
    whole = about(place(bracket, one.placement), "gap/pin")
    assert whole.what.startswith('The packing of Round pin leaves .012" open to K brace')
    assert "No shim on the rack is that thin" in whole.do
    four = structs.replace(one.placement, packing=one.placement.packing[:4])
    after = place(bracket, four)
    told = about(after, "gap/pin")
    assert told.level == "look"
    assert told.what.startswith('The packing of Round pin leaves .028" open to K brace')
    assert 'Add a shim of 1/64"' in told.do
    thick = tuple(p for p in after.rack.pieces if p.kind != "shim" or p.thickness > 6.0)
    two = structs.replace(one.placement, packing=("packing-1-2", "packing-1-4"))
    coarse = structs.replace(
        after, rack=structs.replace(after.rack, pieces=thick), placements=(two,)
    )
    assert "No shim on the rack is that thin" in about(coarse, "gap/pin").do


@pytest.mark.source("method", "the finding after placing, and the words before it")
def test_a_clamp_over_nothing_is_said_before_it_is_placed() -> None:
    bracket = KEYED["T04"]()
    stands = PlacedPieces().of(bracket)
    piece = bracket.rack.piece("clamp-down-low")
    hole = find_hole(bracket.table, "I9")
    brace = next(p for p in bracket.parts if p.name == "K brace")
    ring = part_ring(brace)
    middle = (sum(x for x, _ in ring) / len(ring), sum(y for _, y in ring) / len(ring))
    one = at_hole(bracket, stands, piece, hole, middle, Wish(0.0, False, False, True), "c").best()
    assert one is not None
    assert one.touches
    assert touch_words(bracket, one) == (
        "presses on K brace with nothing under it: put a riser there first"
    )
    after = place(bracket, one.placement)
    assert about(after, "unsupported/c").level == "look"
