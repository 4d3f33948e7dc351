"""A set-up mirrored hole for hole, and its handed pieces."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import structs
from shapely import Polygon, affinity

from gridjig.edits.setup_mirror import mirror_line, mirror_setup
from gridjig.files.library.assets import rack_for, ready_tables, starter_racks
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, HoleMark, Job, Placement, Seat
from gridjig.rack import Piece, Point, Rack
from gridjig.solve.mirror.mirrored_piece import mirrored_piece
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from tests.solve.weldments import bar, frame, job_of
from tests.workshop import ARM, HINGE, RACK, TABLE, handed

INCHES = ready_tables()["48x48-3/4"]
JOB = structs.replace(job_of(*frame()), table=INCHES, rack=rack_for(INCHES))


def at(piece: str, turn: float, *seats: tuple[str, int, int], **more: object) -> Placement:
    made = Placement(
        id=piece,
        piece=piece,
        seats=tuple(Seat(f, Hole(c, r)) for f, c, r in seats),
        turn=turn,
    )
    return structs.replace(made, **more)


PLACED = (
    at("stop-fixed", 0, ("front", 4, 4), ("back", 4, 3)),
    at("stop-adjustable", 90, ("slot", 14, 9), ("slot", 15, 9), slide=20),
    at("stop-long-5.5", 0, ("left", 6, 2), ("right", 8, 2)),
    at("pin-1", 30, ("shank", 9, 9)),
    at("square-two-hole", 90, ("corner", 12, 12), ("along", 12, 13)),
    at("clamp-down-low", 40, ("post", 5, 12), reach=90),
    at("bevel-30", 0, ("near", 16, 4), ("far", 17, 4)),
    at("arm-arc-8", 0, ("pivot", 10, 16), ("arc", 12, 16)),
)


def works(placed: PlacedPiece, image: Callable[[Point], Point]) -> list[list[float]]:
    """Its faces, rounds and tip as rows of numbers, mirrored or not."""
    spots = [[f.a, f.b] for f in placed.faces] + [[r.centre] for r in placed.rounds]
    spots += [[placed.tip.at]] if placed.tip else []
    moved = [sorted((round(x, 2), round(y, 2)) for x, y in map(image, one)) for one in spots]
    return sorted([c for p in one for c in p] for one in moved)


def mirrored(p: Point, axis: str, line: float) -> Point:
    return (2 * line - p[0], p[1]) if axis == "x" else (p[0], 2 * line - p[1])


@pytest.mark.source("method", "the solver of placements, built apart from what is tested")
@given(
    st.sampled_from(["x", "y"]),
    st.integers(20, 24),
    st.booleans(),
    st.sampled_from(range(len(PLACED))),
)
def test_what_every_piece_does_is_mirrored(axis: str, twice: int, down: bool, k: int) -> None:
    first = INCHES.first_x if axis == "x" else INCHES.first_y
    line = first + twice * 25.4
    job = structs.replace(JOB, placements=(PLACED[k],))
    made = mirror_setup(job, axis, line, face_down=down)  # type: ignore[arg-type]
    before, after = (PlacedPieces().of(j)[PLACED[k].id] for j in (job, made.job))
    assert before.fault is None
    assert not made.stayed
    assert after.fault is None
    wanted = works(before, lambda p: mirrored(p, axis, line))
    for row, want in zip(works(after, lambda p: p), wanted, strict=True):
        assert row == pytest.approx(want, abs=0.02)
    sums = {
        (h.col if axis == "x" else h.row) + (g.col if axis == "x" else g.row)
        for h, g in zip(before.holes, after.holes, strict=True)
    }
    assert sums == {twice}


def test_mirroring_twice_brings_every_hole_back() -> None:
    job = structs.replace(JOB, placements=PLACED)
    line = INCHES.first_x + 11.5 * 50.8
    once = mirror_setup(job, "x", line)
    again = mirror_setup(once.job, "x", line)
    assert not once.stayed
    assert set(once.over) == {"square-two-hole", "bevel-30", "arm-arc-8"}
    holes = {p.id: {s.hole for s in p.seats} for p in job.placements}
    assert {p.id: {s.hole for s in p.seats} for p in again.job.placements} == holes
    assert [p.flipped for p in again.job.placements] == [p.flipped for p in job.placements]
    for one, other in zip(job.parts, again.job.parts, strict=True):
        assert (one.x, one.y) == pytest.approx((other.x, other.y))


def test_a_line_that_is_no_line_of_holes() -> None:
    with pytest.raises(ValueError, match=r"about a column of holes or midway.*nearest"):
        mirror_setup(JOB, "x", 30)
    with pytest.raises(ValueError, match="about a row of holes"):
        mirror_setup(JOB, "y", 30)
    near_line = mirror_line(JOB, "x", 300)
    assert abs(near_line - 300) <= 12.7
    mirror_setup(JOB, "x", near_line)


def test_what_has_a_hand_stays_and_is_named() -> None:
    hinge = Placement(
        id="h", piece="hinge", seats=(Seat("h1", Hole(3, 3)), Seat("h2", Hole(5, 3))), name="arm"
    )
    rack = RACK.with_piece(structs.replace(HINGE, flips=False))
    job = structs.replace(job_of(*frame()), placements=(hinge,), rack=rack)
    made = mirror_setup(job, "x", TABLE.first_x + 10 * 50)
    assert made.job.placements == (hinge,)
    ((who, why),) = made.stayed
    assert who == "h"
    assert "arm is handed" in why


def test_a_mirrored_hole_that_cannot_be_used() -> None:
    pin = at("pin-1", 0, ("shank", 3, 9))
    table = structs.replace(INCHES, marks=(HoleMark(Hole(17, 9), "blocked"),))
    job = structs.replace(JOB, table=table, placements=(pin,))
    ((_, why),) = mirror_setup(job, "x", INCHES.first_x + 10 * 50.8).stayed
    assert "blocked" in why
    ((_, why),) = mirror_setup(job, "x", INCHES.first_x).stayed
    assert "off the table" in why


def test_a_piece_of_the_other_hand_stands_in() -> None:
    left, right = handed(ARM)
    rack = Rack(name="r", pieces=(left, right, *(p for p in RACK.pieces if p.id == "bolt")))
    placed = Placement(id="a", piece="left", seats=(Seat("h", Hole(4, 4)),), turn=25)
    job = Job(name="j", table=TABLE, rack=rack, placements=(placed,))
    made = mirror_setup(job, "y", TABLE.first_y + 50 * 8)
    assert made.exchanged == (("a", "right"),)
    assert made.job.placements[0].turn == -25
    assert mirrored_piece(Rack(name="r", pieces=(left,)), left) is None


def test_the_twins_of_the_starter_racks() -> None:
    """Each rack has one handed piece, the arm whose leaf has its scale on one side."""
    racks = starter_racks()
    assert len(racks) == 4
    for rack in racks.values():
        handed = [p.id for p in rack.pieces if p.mounts and mirrored_piece(rack, p) is None]
        assert len(handed) == 1
        assert "leaf" in handed[0]


def alone(*pieces: Piece) -> Rack:
    return Rack(name="r", pieces=pieces)


def test_a_clamp_whose_handle_swings_to_one_side_has_a_hand() -> None:
    clamp = RACK.piece("clamp")
    assert clamp.tip is not None
    assert mirrored_piece(alone(clamp), clamp) is not None
    aside = structs.replace(clamp, tip=structs.replace(clamp.tip, handle_end=270))
    assert mirrored_piece(alone(aside), aside) is None
    still = structs.replace(clamp, tip=structs.replace(clamp.tip, handle_radius=0, handle_end=99))
    assert mirrored_piece(alone(still), still) is not None
    bare = structs.replace(clamp, tip=None, id="bare")
    twin = mirrored_piece(alone(aside, bare), aside)
    assert twin is None
    two = structs.replace(clamp, id="two", rounds=RACK.piece("pin").rounds)
    assert mirrored_piece(alone(aside, two), aside) is None
    assert mirrored_piece(alone(RACK.piece("shim")), RACK.piece("shim")) is None


@pytest.mark.source("method", "the solver of placements, built apart from what is tested")
@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("flipped", [False, True])
@pytest.mark.parametrize(("col", "row"), [(1, 0), (0, 1), (-1, 0), (0, -1)])
def test_a_stop_alike_end_for_end_is_mirrored_however_it_lies(
    axis: str, flipped: bool, col: int, row: int
) -> None:
    """It is its own mirror image with its two holes swapped: a line across it, not along it."""
    placed = Placement(
        id="s",
        piece="stop",
        seats=(Seat("h1", Hole(5, 6)), Seat("h2", Hole(5 + col, 6 + row))),
        turn={(1, 0): 0.0, (0, 1): 90.0, (-1, 0): 180.0, (0, -1): -90.0}[col, row],
        flipped=flipped,
    )
    job = structs.replace(job_of(*frame()), placements=(placed,))
    line = TABLE.first_x + 9 * 50.0
    made = mirror_setup(job, axis, line)  # type: ignore[arg-type]
    (there,) = made.job.placements
    assert (made.stayed, made.over, made.exchanged) == ((), (), ())
    assert there.flipped == flipped
    before, after = (PlacedPieces().of(j)["s"] for j in (job, made.job))
    assert (before.fault, before.off, after.fault, after.off) == (None, (), None, ())
    wanted = works(before, lambda p: mirrored(p, axis, line))
    for got, want in zip(works(after, lambda p: p), wanted, strict=True):
        assert got == pytest.approx(want, abs=0.02)


def test_one_that_stays_keeps_no_other_from_going() -> None:
    hinge = Placement(id="h", piece="hinge", seats=(Seat("h1", Hole(3, 3)), Seat("h2", Hole(5, 3))))
    post = Placement(id="p", piece="pin", seats=(Seat("p", Hole(8, 9)),))
    rack = RACK.with_piece(structs.replace(HINGE, flips=False))
    job = structs.replace(job_of(*frame()), placements=(hinge, post), rack=rack)
    made = mirror_setup(job, "x", TABLE.first_x + 10 * 50)
    assert [who for who, _ in made.stayed] == ["h"]
    assert made.job.placements[0] is hinge
    assert made.job.placements[1].seats == (Seat("p", Hole(12, 9)),)


@pytest.mark.source("library", "shapely 2.1", "affinity.scale about a line")
@pytest.mark.parametrize("axis", ["x", "y"])
@pytest.mark.parametrize("down", [False, True])
def test_the_weldment_is_mirrored_in_the_same_line(axis: str, down: bool) -> None:
    line = INCHES.first_x + 11.5 * 50.8
    job = structs.replace(JOB, parts=(*frame(), bar("slope", 250, 300, 100, 30, 7)))
    made = mirror_setup(job, axis, line, face_down=down).job  # type: ignore[arg-type]
    origin = (line, 0) if axis == "x" else (0, line)
    by = (-1, 1) if axis == "x" else (1, -1)
    top = max(part.z_high for part in job.parts)
    assert len(made.parts) == len(frame()) + 1
    for one, other in zip(job.parts, made.parts, strict=True):
        wanted = affinity.scale(Polygon(part_ring(one)), *by, origin=origin)
        assert wanted.symmetric_difference(Polygon(part_ring(other))).area < 1e-3
        heights = (top - one.z_high, top - one.z_low) if down else (one.z_low, one.z_high)
        assert (other.z_low, other.z_high) == pytest.approx(heights)
