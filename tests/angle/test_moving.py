"""Moving the weldment so that faces touch equal pins with no packing."""

import math
from functools import cache

import pytest
from msgspec import structs

from gridjig.angle.moving import DatumCost, WeldmentMove, has_its_angle, moves_to_touch, with_move
from gridjig.angle.question import ON_A_JOB
from gridjig.checks.conflicts import clashes
from gridjig.contact.book import contacts
from gridjig.contact.shapes import placed_part
from gridjig.edits.lookup import new_id
from gridjig.edits.parts import add_part, polygon
from gridjig.edits.placements import place
from gridjig.edits.selection import shift_parts
from gridjig.edits.weldment_list import add_weldment, move_parts
from gridjig.geometry.display import Polyline
from gridjig.geometry.part_outline import part_ring
from gridjig.model import FaceOf, Hole, Job, Placement, Seat
from gridjig.sheets.drawings.angles import draw_move
from gridjig.sheets.text.move_text import cost_words, move_line, shift_words
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.weldment.faces import faces
from tests.trials.layout import INCH, empty, load, with_members

FACING = 1.5 * math.hypot(1.0, 1.0 / 3.0)
"""How high a rafter of 1-1/2 in stands when it is cut plumb at 4:12, in."""


@cache
def gable(x: float = 3.3, y: float = 9.1) -> Job:
    """A chord of 36 in and two rafters at 4:12 on it, off the grid."""
    job = empty(load("T08"))
    shapes: dict[str, list[tuple[float, float]]] = {
        "chord": [(0, 0), (36, 0), (36, 1.5), (0, 1.5)],
        "left rafter": [(0, 1.5), (FACING * 3, 1.5), (18, 7.5 - FACING), (18, 7.5)],
        "right rafter": [(36, 1.5), (18, 7.5), (18, 7.5 - FACING), (36 - FACING * 3, 1.5)],
    }
    for name, ring in shapes.items():
        at = [((px + x) * INCH, (py + y) * INCH) for px, py in ring]
        job = add_part(job, polygon(new_id(job, "part"), name, at, (0.0, 1.5 * INCH)))
    return job


def roof(job: Job) -> tuple[FaceOf, FaceOf]:
    """The outer faces of both rafters: those that look up the table across it."""
    found = [f.of for f in faces(job.parts) if f.axis is None and f.normal[1] > 0]
    assert len(found) == 2
    return found[0], found[1]


def touched(job: Job, ids: frozenset[str]) -> set[FaceOf]:
    found = contacts(job, PlacedPieces().of(job)).pieces
    return {
        FaceOf(c.part, c.face.number)
        for one in ids
        for c in found[one].contacts
        if c.touches and c.face.kind == "side"
    }


@pytest.mark.source("method", "the contact model and the conflict relation, after the move")
def test_both_rafters_touch_their_pins_after_one_move() -> None:
    job = gable()
    left, right = roof(job)
    moves = moves_to_touch(job, left, ON_A_JOB)
    both = next(move for move in moves if set(move.faces) == {left, right})
    after, ids = with_move(job, both)
    assert len(ids) == 4
    assert touched(after, ids) >= {left, right}
    assert all(not p.packing for p in after.placements)
    placed = PlacedPieces().of(after)
    assert not clashes(placed.values(), [placed_part(part) for part in after.parts])
    for answer in both.answers:
        assert answer.way == "pins"
        assert answer.gap_mm == pytest.approx(0.0, abs=0.05)


@pytest.mark.source("method", "roof faces of 5:12 with gaps .3 and .1: s = (-.26, .216667)")
def test_the_move_is_the_solution_of_both_gaps() -> None:
    job = gable()
    left, right = roof(job)
    both = next(m for m in moves_to_touch(job, left, ON_A_JOB) if len(m.faces) == 2)
    assert both.faces[0] == left
    normals = {f.of: f.normal for f in faces(job.parts)}
    moved = shift_parts(job, {p.id for p in job.parts}, both.dx, both.dy)
    for of, answer in zip(both.faces, both.answers, strict=True):
        for held, shift in ((job, True), (moved, False)):
            face = next(f for f in faces(held.parts) if f.of == of)
            x, y = job.table.at(answer.holes[0])
            n = face.normal
            radius = answer.line_mm[0]
            gap = (x - face.a[0]) * n[0] + (y - face.a[1]) * n[1] - radius
            wanted = n[0] * both.dx + n[1] * both.dy if shift else 0.0
            assert gap == pytest.approx(wanted, abs=0.05)
    assert right in normals


@pytest.mark.source("method", "rows of holes across a 3:1 direction lie a pitch / sqrt(10) apart")
def test_the_face_moves_to_one_of_the_rows_of_holes() -> None:
    job = gable()
    left, _ = roof(job)
    alone = next(m for m in moves_to_touch(job, left, ON_A_JOB) if m.faces == (left,))
    after, ids = with_move(job, alone)
    assert left in touched(after, ids)
    # Along datum A nothing is lost there; across, the face needs its gap and no more.
    face = next(f for f in faces(job.parts) if f.of == left)
    across = alone.dx * face.normal[0] + alone.dy * face.normal[1]
    table = job.table
    points = [table.at(Hole(c, r)) for c in range(table.columns) for r in range(table.rows)]
    n = face.normal
    off = [(x - face.a[0]) * n[0] + (y - face.a[1]) * n[1] - INCH / 2 for x, y in points]
    # Rows of holes lie 2 in / sqrt(10) apart across a 3:1 direction.
    step = 2 * INCH / math.sqrt(10.0)
    nearest = min((v for v in off), key=abs)
    assert abs(across - nearest) % step == pytest.approx(0.0, abs=0.01) or abs(
        step - abs(across - nearest) % step
    ) == pytest.approx(0.0, abs=0.01)


def test_what_a_move_costs_on_the_datum_faces_is_told() -> None:
    job = gable()
    left, _ = roof(job)
    moves = moves_to_touch(job, left, ON_A_JOB)
    assert len(moves) >= 2
    for move in moves:
        assert [cost.name for cost in move.costs] == ["A", "B"]
        line = move_line(job, move)
        assert " to the " in line.head
        assert "no packing" in line.under
        assert "datum A" in line.under
        assert len([row for row in line.under.split("\n") if "base" in row]) == len(move.faces)
    inches = job.display
    assert cost_words(DatumCost("A", 0.0, 0.0), inches) == "datum A stays on the grid"
    assert cost_words(DatumCost("B", 0.0, 25.4), inches) == (
        'datum B: 1.000" to pack instead of on the grid'
    )
    assert shift_words(-6.604, 5.5034, inches) == '.260" to the left, .217" to the back'
    assert shift_words(0.0, 0.0, inches) == "not at all"


def test_what_stands_in_the_way_after_a_move_makes_it_no_move() -> None:
    job = gable()
    left, _ = roof(job)
    free = moves_to_touch(job, left, ON_A_JOB)
    taken = {hole for move in free for answer in move.answers for hole in answer.holes}
    for k, hole in enumerate(sorted(taken)):
        pin = Placement(id=f"x{k}", piece="pin-3-4", seats=(Seat("shank", hole),))
        job = place(job, pin)
    before = fouled(job)
    for move in moves_to_touch(job, left, structs.replace(ON_A_JOB, only_left=False)):
        after, _ = with_move(job, move)
        assert fouled(after) <= before
    assert len(taken) >= 4


def fouled(job: Job) -> set[tuple[str, str]]:
    outlines = [placed_part(part) for part in job.parts]
    return {(c.a, c.b) for c in clashes(PlacedPieces().of(job).values(), outlines)}


def test_a_face_without_a_pair_of_holes_has_no_move() -> None:
    job = empty(load("T08"))
    # At 37.5 degrees no pair of holes within 10 in of face has the angle within class A.
    c, s = math.cos(math.radians(37.5)), math.sin(math.radians(37.5))
    at = [(400.0, 400.0), (400 + 240 * c, 400 + 240 * s)]
    ring = [*at, (at[1][0] - 40 * s, at[1][1] + 40 * c), (at[0][0] - 40 * s, at[0][1] + 40 * c)]
    job = add_part(job, polygon("bar", "Bar", ring, (0.0, 40.0)))
    assert moves_to_touch(job, FaceOf("bar", 0), ON_A_JOB) == ()
    assert moves_to_touch(job, FaceOf("nobody", 0), ON_A_JOB) == ()
    assert WeldmentMove(3.0, 4.0, (), (), ()).length == 5.0


@pytest.mark.source("method", "the move of the weldment by itself")
def test_only_the_weldment_of_the_face_moves() -> None:
    job = gable()
    face, _ = roof(job)
    (alone, *_) = moves_to_touch(job, face, ON_A_JOB)
    lug = polygon("lug", "lug", [(20.0, 20.0), (90.0, 20.0), (90.0, 60.0)], (0.0, 10.0))
    pair, second = add_weldment(add_part(job, lug))
    pair = move_parts(pair, {"lug"}, second)
    (move, *_) = moves_to_touch(pair, face, ON_A_JOB)
    assert (move.dx, move.dy) == (alone.dx, alone.dy)
    assert move.costs == alone.costs
    after, _ = with_move(pair, move)
    assert after.find("lug") == pair.find("lug")
    assert after.parts[0] != pair.parts[0]


def test_a_shop_without_pins_or_stops_moves_nothing_and_loses_nothing() -> None:
    job = gable()
    left, _ = roof(job)
    moves = moves_to_touch(job, left, ON_A_JOB)
    assert moves
    no_pins = tuple(p for p in job.rack.pieces if p.kind not in ("pin", "fixed stop", "square"))
    bare = structs.replace(job, rack=structs.replace(job.rack, pieces=no_pins))
    assert moves_to_touch(bare, left, ON_A_JOB) == ()
    no_stops = tuple(p for p in job.rack.pieces if p.kind == "pin")
    pins = structs.replace(job, rack=structs.replace(job.rack, pieces=no_stops))
    only_pins = moves_to_touch(pins, left, ON_A_JOB)
    assert only_pins
    assert all([cost.name for cost in move.costs] == ["A", "B"] for move in only_pins)


def test_a_move_is_drawn_with_the_weldment_where_it_goes_and_the_holes_of_its_pins() -> None:
    job = gable()
    left, _ = roof(job)
    move = moves_to_touch(job, left, ON_A_JOB)[0]
    shapes, holes = draw_move(job, move)
    assert list(holes) == [job.table.at(h) for answer in move.answers for h in answer.holes]
    ghosts = [s for s in shapes if isinstance(s, Polyline) and s.role == "ghost" and s.closed]
    moved = shift_parts(job, {part.id for part in job.parts}, move.dx, move.dy)
    rings = [one.points for one in ghosts]
    assert [ring for ring in map(part_ring, moved.parts) if ring not in rings] == []


@pytest.mark.source("method", "a leg at 74.476 degrees is 5:18, longer than the leg by itself")
def test_whether_two_holes_have_the_angle_of_a_face_is_known() -> None:
    job = gable()
    left, _ = roof(job)
    assert has_its_angle(job, left, ON_A_JOB)
    trestle = with_members(empty(load("T08")), load("T08"))
    leg = next(f for f in faces(trestle.parts) if f.axis is None and f.length > 500.0)
    assert not has_its_angle(trestle, leg.of, ON_A_JOB)
    assert moves_to_touch(trestle, leg.of, ON_A_JOB) == ()


@pytest.mark.source("method", "each size of pins asked by itself: together they find the cheapest")
def test_every_size_of_pins_is_tried_whatever_the_order_of_the_rack() -> None:
    job = gable()
    left, _ = roof(job)

    def length(*sizes: str) -> float:
        """How far the weldment moves with these pins, in this order on the rack; mm."""
        others = [p for p in job.rack.pieces if p.kind != "pin"]
        pieces = (*(job.rack.piece(one) for one in sizes), *others)
        some = structs.replace(job, rack=structs.replace(job.rack, pieces=pieces))
        move = next(m for m in moves_to_touch(some, left, ON_A_JOB) if m.faces == (left,))
        assert sum(max(cost.after - cost.before, 0.0) for cost in move.costs) < 0.01
        return move.length

    thin, thick = length("pin-1"), length("pin-1-1-4")
    assert thin < thick - 1.0
    assert length("pin-1", "pin-1-1-4") == pytest.approx(thin)
    assert length("pin-1-1-4", "pin-1") == pytest.approx(thin)
