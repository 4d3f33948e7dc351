"""The other hand beside a weldment: where it fits, what is in the way, which pieces go along."""

import pytest
from msgspec import structs

from gridjig.checks.findings import findings
from gridjig.contact.belonging import pieces_of
from gridjig.contact.book import contacts
from gridjig.edits.weldment_list import rename_weldment
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job, require_whole
from gridjig.model.by_weldment import parts_of
from gridjig.solve.mirror.symmetry import unlike_opposite
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.select.beside import beside, line_words, lines, nearest, told
from tests.workshop import PITCH, RACK, STOP, handed, laid, pin, plate, put, seat

# A bracket from x = 200 to 400 whose upright is at the left; a pin touches the left face at 200.
UPRIGHT, ARM = plate("upright", 200, 200, 50, 300), plate("arm", 250, 200, 150, 50)
JOB = rename_weldment(laid(UPRIGHT, ARM, pin("held", 2, 7)), "weldment-1", "LH bracket")
ALL = frozenset({"held"})


def stood(job: Job) -> dict:  # type: ignore[type-arg]
    return dict(PlacedPieces().of(job))


@pytest.mark.source("method", "arithmetic: a point x goes to 2 at - x, column c to 2 m - c")
def test_the_nearest_line_mirrors_parts_and_holes() -> None:
    found = nearest(JOB, stood(JOB), "weldment-1", ALL, "right")
    assert found is not None
    # The arm's end is at 400: about the line of holes there the two would touch, so the next one.
    assert (found.axis, found.at) == ("x", 425.0)
    (why,) = beside(JOB, stood(JOB), "weldment-1", ALL, "x", 400.0).in_the_way
    assert why == "arm of RH bracket would be within a root gap of arm of LH bracket."
    job = found.made.job
    require_whole(job)
    assert job.placements[-1].seats[0].hole == Hole(15 - 2, 7)
    made = parts_of(job, found.made.weldment)
    assert sorted(x for x, _ in part_ring(made[0])) == [600, 600, 650, 650]
    assert [w.opposite_of for w in job.weldments] == [None, "weldment-1"]
    assert [w.name for w in job.weldments] == ["LH bracket", "RH bracket"]
    assert unlike_opposite(JOB.parts, made) == ()
    assert [f.level for f in findings(job, stood(job))] == ["look", "look"]


def test_every_side_has_its_lines_nearest_first() -> None:
    # The middle is at x 300, y 350; holes are 50 apart from 50 on, 23 columns and 19 rows.
    assert lines(JOB, "weldment-1", "right")[:3] == (300.0, 325.0, 350.0)
    assert lines(JOB, "weldment-1", "left") == tuple(300.0 - 25.0 * n for n in range(11))
    assert lines(JOB, "weldment-1", "back")[-1] == 950.0
    assert line_words(JOB, "x", 400.0) == "column H"
    assert line_words(JOB, "x", 425.0) == "midway between columns H and I"
    assert lines(laid(), "weldment-1", "right") == ()


def test_what_is_in_the_way_is_named_and_the_next_line_is_free() -> None:
    job = laid(pin("other", 11, 6), job=JOB)  # at x 600, where the other upright would begin
    stands = stood(job)
    blocked = beside(job, stands, "weldment-1", ALL, "x", 425.0)
    assert blocked.in_the_way == ("upright of RH bracket runs into locating pin.",)
    assert any(said.startswith("✕") for said in told(job, blocked))
    found = nearest(job, stands, "weldment-1", ALL, "right")
    assert found is not None
    assert found.at > 425.0
    assert beside(job, stands, "weldment-1", ALL, "x", 375.0).in_the_way[0].startswith("arm of RH")
    over = beside(job, stands, "weldment-1", ALL, "x", 800.0)
    assert any("hangs over the edge" in why for why in over.in_the_way)
    assert any("no hole" in why for why in over.in_the_way)


def test_no_line_fits_on_a_full_table() -> None:
    wall = laid(plate("wall", 420, 0, 700, 900), job=JOB)
    wall = structs.replace(
        wall,
        weldments=(*wall.weldments, structs.replace(wall.weldments[0], id="w2", name="Wall")),
        parts=tuple(structs.replace(p, weldment="w2") if p.id == "wall" else p for p in wall.parts),
    )
    assert nearest(wall, stood(wall), "weldment-1", ALL, "right") is None


def test_a_piece_without_an_opposite_hand_is_named_and_left_behind() -> None:
    left, _ = handed(STOP)
    rack = structs.replace(RACK, pieces=(*RACK.pieces, left))
    job = structs.replace(JOB, rack=rack)
    job = laid(put("l", "left", seat("h1", 3, 15)), job=job)
    found = beside(job, stood(job), "weldment-1", ALL | {"l"}, "x", 425.0)
    assert found.made.no_twin == (
        "left is handed and the rack has none of the opposite hand; place another piece instead.",
    )
    assert len(found.made.job.placements) == 3
    assert found.in_the_way == ()


def test_pieces_belong_to_what_they_touch_else_to_the_nearest() -> None:
    made = nearest(JOB, stood(JOB), "weldment-1", ALL, "right")
    assert made is not None
    job = laid(pin("near", 3, 15), pin("far", 16, 15), job=made.made.job)
    stands = stood(job)
    found = contacts(job, stands)
    first = pieces_of(job, stands, found, "weldment-1")
    second = pieces_of(job, stands, found, made.made.weldment)
    assert first == {"held", "near"}
    assert second == {job.placements[1].id, "far"}
    assert PITCH == 50.0
    assert pieces_of(JOB, stood(JOB), contacts(JOB, stood(JOB)), "weldment-1") == {"held"}


@pytest.mark.source("method", "symmetry: a hole on the line is its own image")
def test_a_piece_on_the_line_serves_both_hands_and_is_not_doubled() -> None:
    job = laid(pin("shared", 7, 14), job=JOB)
    found = beside(job, stood(job), "weldment-1", ALL | {"shared"}, "x", 400.0)
    assert found.made.single == ("shared",)
    assert len(found.made.job.placements) == 3
    assert "On the line, for both hands: locating pin." in told(job, found)


def test_the_piece_of_the_other_hand_is_taken_and_named() -> None:
    left, right = handed(STOP)
    job = structs.replace(JOB, rack=structs.replace(RACK, pieces=(*RACK.pieces, left, right)))
    job = laid(put("l", "left", seat("h1", 3, 15)), job=job)
    found = beside(job, stood(job), "weldment-1", ALL | {"l"}, "x", 425.0)
    assert [one.piece for one in found.made.job.placements[2:]] == ["pin", "right"]
    assert told(job, found)[1:] == (
        "The piece of the other hand is taken for: left.",
    )  # both have one name


def test_a_hole_that_is_taken_and_a_body_in_the_way_are_told_apart() -> None:
    # The image of the pin in column 2 about x = 425 is column 13, at x 700.
    taken = laid(pin("there", 13, 7), job=JOB)
    (why,) = beside(taken, stood(taken), "weldment-1", ALL, "x", 425.0).in_the_way
    assert "needs the hole of locating pin" in why
    crowd = laid(*(pin(f"p{n}", 11, 4 + n) for n in range(6)), job=JOB)
    found = beside(crowd, stood(crowd), "weldment-1", ALL, "x", 425.0)
    assert len(found.in_the_way) == 7  # one of the six stands in the upright and in the arm
    assert told(crowd, found)[-1] == "✕ and 4 more in the way."
