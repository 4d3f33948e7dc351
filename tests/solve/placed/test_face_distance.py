"""How far a face stands from its hole, and which slide puts it there."""

import pytest
from msgspec import structs

from gridjig.model import Job, Placement
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.face_distance import (
    face_distance,
    face_from_hole,
    face_of_slide,
    slide_of_face,
)
from gridjig.solve.placed.placed_piece import PlacedPiece
from tests.contact.poses import FULL, lay, turned
from tests.workshop import pin, put, seat


def placed(thing: Placement) -> tuple[Job, PlacedPiece]:
    job = lay(thing, rack=FULL)
    return job, PlacedPieces().of(job)[thing.id]


@pytest.mark.source(
    "method", "arithmetic: the face lies 12 mm before the slot, which is 80 mm long"
)
@pytest.mark.parametrize("turn", [0.0, 90.0, -37.5])
def test_a_slide_moves_the_face_by_as_much(turn: float) -> None:
    thing = put("s", "adjustable", seat("s", 11, 9), turn=turn, slide=30.0)
    job, there = placed(thing)
    here = face_from_hole(job.table, there)
    assert here is not None
    assert here.distance == pytest.approx(42.0)
    ends = face_distance(job, there)
    assert ends is not None
    assert (ends.now, ends.low, ends.high) == pytest.approx((42.0, 12.0, 92.0), abs=0.2)
    for slide in (0.0, 17.5, 80.0):
        face = face_of_slide(job, there, slide)
        assert face is not None
        assert face == pytest.approx(12.0 + slide, abs=0.2)
        assert slide_of_face(job, there, face) == pytest.approx(slide)
        slid = PlacedPieces().of(lay(structs.replace(thing, slide=slide), rack=FULL))["s"]
        made = face_from_hole(job.table, slid)
        assert made is not None
        assert made.distance == pytest.approx(face, abs=1e-6)


@pytest.mark.parametrize("thing", [turned("s", 11, 9, 0.0), pin("s", 11, 9)], ids=["stop", "pin"])
def test_what_does_not_slide_has_no_slide_to_be_set(thing: Placement) -> None:
    job, there = placed(thing)
    assert face_distance(job, there) is None
    assert slide_of_face(job, there, 12.0) is None
    assert face_of_slide(job, there, 0.0) is None
    assert (face_from_hole(job.table, there) is None) == (there.piece is None or not there.faces)
