"""Where an answer of the angle finder can be placed on a job's table, and placing it there.

Pure functions from job to job.  The one conflict relation decides what clashes.
"""

import math
from collections.abc import Iterator, Mapping

import numpy as np
from msgspec import Struct, structs

from gridjig.checks.conflicts import refused
from gridjig.edits.lookup import new_id
from gridjig.edits.placements import place
from gridjig.geometry.box_index import Box
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.model.marks import mark_index
from gridjig.rack import Piece
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits
from gridjig.solve.angles.finder import answer_placements
from gridjig.solve.angles.hole_field import field_of
from gridjig.solve.angles.plate import THICKNESS
from gridjig.solve.grid.directions import BoolArray, IntArray
from gridjig.solve.grid.open_holes import all_open
from gridjig.solve.placed.placed_piece import PlacedPiece, PlacedSolid
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.reach.reach import ReachAngle, carrier

Holes = tuple[Hole, ...]


class FreePlaces(Struct, frozen=True, eq=False):
    """The places of an answer that are free of clashes, nearest to the wanted point first.

    `firsts` are the first holes as rows of (column, row); `steps` lead from there to all holes.
    `places` is how many places have free holes, with or without clashes; `why` is the first reason,
    in words, why one of them is not possible, "" if all are.
    """

    firsts: IntArray
    steps: tuple[tuple[int, int], ...]
    places: int
    why: str

    def __len__(self) -> int:
        return len(self.firsts)

    def at(self, index: int) -> Holes:
        """The holes of one place."""
        col, row = self.firsts[index].tolist()
        return tuple(Hole(col + dc, row + dr) for dc, dr in self.steps)


def room_for(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], answer: AngleAnswer, limits: AngleLimits
) -> FreePlaces:
    """All places of an answer, except those where one of its pieces would clash.

    Places where the pieces come near nothing are free; only the others are checked with the
    conflict relation, one by one.  A cut plate is checked as it would lie on the table.
    """
    first = answer.holes[0]
    steps = tuple((h.col - first.col, h.row - first.row) for h in answer.holes)
    every = FreePlaces(_firsts(job, answer, steps, limits), steps, 0, "")
    keep = np.ones(len(every), dtype=np.bool_)
    why = ""
    for index in _suspects(job, placed_pieces, answer, every):
        reason = _refused(job, placed_pieces, answer, every.at(index))
        if reason is not None:
            keep[index] = False
            why = why or reason
    return FreePlaces(every.firsts[keep], steps, len(every), why)


def _firsts(
    job: Job, answer: AngleAnswer, steps: tuple[tuple[int, int], ...], limits: AngleLimits
) -> IntArray:
    """First holes of all places whose holes can be used, nearest first."""
    field = field_of(job.table, limits)
    usable = field.usable
    open_ = all_open(usable, ((dr, dc) for dc, dr in steps))
    if answer.fixed:
        only = np.zeros_like(usable)
        only[answer.holes[0].row, answer.holes[0].col] = True
        open_ &= only
    row_at, col_at = np.nonzero(open_)
    found = np.stack([col_at, row_at], axis=1)
    if limits.near is None:
        return found
    table = job.table
    middle = np.array(steps[:2], dtype=np.float64).mean(axis=0)
    at = (table.first_x, table.first_y) + (found + middle) * (table.pitch_x, table.pitch_y)
    away = np.round(np.hypot(*(at - limits.near).T), 3)
    return np.asarray(found[np.argsort(away, kind="stable")])


def _suspects(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], answer: AngleAnswer, every: FreePlaces
) -> list[int]:
    """Places with a marked or taken hole, or where the box of a piece meets another box."""
    touched = np.zeros((job.table.rows, job.table.columns), dtype=np.bool_)
    for hole in (*mark_index(job.table), *(h for s in placed_pieces.values() for h in s.holes)):
        if job.table.has(hole):
            touched[hole.row, hole.col] = True
    met = _close(job, placed_pieces, answer, every)
    for dc, dr in every.steps:
        met |= touched[every.firsts[:, 1] + dr, every.firsts[:, 0] + dc]
    return [int(index) for index in np.flatnonzero(met)]


def _refused(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], answer: AngleAnswer, holes: Holes
) -> str | None:
    """The first reason why the answer cannot be in these holes; None if it can."""
    reasons = (refused(job, placed_pieces, one) for one in _placed(job, answer, holes))
    return next((reason for reason in reasons if reason is not None), None)


def _placed(job: Job, answer: AngleAnswer, holes: Holes) -> Iterator[PlacedPiece]:
    """The answer's pieces, or its plate, placed in these holes."""
    for placement in _placements(job, answer, holes):
        yield solve_placement(job.table, job.rack, placement, job.display)
    if answer.plate is not None:
        x, y = job.table.at(holes[0])
        ring = tuple((x + dx, y + dy) for dx, dy in answer.plate.corners)
        name = new_id(job, "plate")
        yield PlacedPiece(
            Placement(
                id=name,
                piece=name,
                seats=tuple(Seat(f"hole-{k}", hole) for k, hole in enumerate(holes)),
            ),
            piece=None,
            fault=None,
            solids=(PlacedSolid(ring, 0.0, THICKNESS, "body"),),
            holes=holes,
        )


def _close(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], answer: AngleAnswer, every: FreePlaces
) -> BoolArray:
    """For each place, whether the box of a piece there meets the box of anything placed."""
    met = np.zeros(len(every), dtype=np.bool_)
    if not len(every):
        return met
    shift = (every.firsts - every.firsts[0]) * (job.table.pitch_x, job.table.pitch_y)
    for here in _placed(job, answer, every.at(0)):
        if here.fault is not None:
            return np.ones_like(met)  # its position is not certain, so check every place
        for box in _boxes(here):
            low, high = shift + box[:2], shift + box[2:]
            for x1, y1, x2, y2 in _boxes_on(job, placed_pieces):
                met |= (
                    (low[:, 0] <= x2) & (high[:, 0] >= x1) & (low[:, 1] <= y2) & (high[:, 1] >= y1)
                )
    return met


def _boxes_on(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Box]:
    for one in placed_pieces.values():
        if one.fault is None:
            yield from _boxes(one)
    for part in job.parts:
        yield bounds(part_ring(part))


def _boxes(one: PlacedPiece) -> Iterator[Box]:
    for solid in one.solids:
        yield bounds(solid.points)


# -- setting -------------------------------------------------------------------------------------


def _placements(job: Job, answer: AngleAnswer, holes: Holes) -> tuple[Placement, ...]:
    taken: list[str] = []
    for how in answer.standing:
        taken.append(new_id(job, how.piece, taken))
    return answer_placements(answer, taken, holes)


def with_answer(
    job: Job, answer: AngleAnswer, holes: Holes = (), note: str = ""
) -> tuple[Job, frozenset[str]]:
    """Place the answer in these holes (by default its own); also returns the new ids.

    `note` goes on the first piece: what to measure when setting it.
    """
    made = _placements(job, answer, holes)
    for index, placement in enumerate(made):
        job = place(job, structs.replace(placement, note=note) if not index else placement)
    return job, frozenset(p.id for p in made)


# -- setting an arm to an angle within its reach -------------------------------------------------


def at_angle(placement: Placement, reach: ReachAngle, angle: float) -> Placement:
    """The placement in the seats of a reach angle, with the face's body turned to `angle`.

    `angle` is that of the body with the face, degrees, within low..high.
    """
    on = min(max(angle - reach.low, 0.0), reach.high - reach.low)
    at = reach.low + on
    if reach.leaf is None:
        return structs.replace(
            placement, seats=reach.seats, flipped=reach.flipped, turn=_wrapped(at)
        )
    first, last = reach.leaf
    leaf = first + math.copysign(on, last - first)
    base = at + leaf if reach.flipped else at - leaf
    return structs.replace(
        placement, seats=reach.seats, flipped=reach.flipped, turn=_wrapped(base), leaf=leaf
    )


def own_direction(piece: Piece, reach: ReachAngle) -> float:
    """Direction of the first face in its body, degrees, mirrored if flipped; 0 without faces."""
    if not piece.faces:
        return 0.0
    (ax, ay), (bx, by) = piece.faces[0].a, piece.faces[0].b
    return math.degrees(math.atan2(by - ay, bx - ax)) * (-1.0 if reach.flipped else 1.0)


def nearest_in(reach: ReachAngle, line: float, own: float) -> float:
    """The body angle within a reach angle at which a face is nearest to a line; degrees.

    `own` is the direction of the face in its body (mirrored if flipped).
    """
    best, off = reach.low, math.inf
    for half in (0.0, 180.0):
        body = reach.low + (line + half - own - reach.low) % 360.0
        for candidate in (body, reach.low, reach.high):
            if candidate > reach.high + 1e-9:
                continue
            away = abs((candidate + own - line + 90.0) % 180.0 - 90.0)
            if away < off - 1e-9:
                best, off = candidate, away
    return best


def off_line(piece: Piece, reach: ReachAngle, line: float) -> float:
    """How far from a line the face is at the nearest angle within a reach angle, degrees."""
    own = own_direction(piece, reach)
    return abs(math.remainder(nearest_in(reach, line, own) + own - line, 180.0))


def reached(
    job: Job, placement: Placement, piece: Piece, reach: ReachAngle, line: float | None
) -> Placement:
    """The placement set within a reach angle, with its face nearest to a line (degrees).

    Without a line it keeps its angle if that is in the range, and else takes the first.
    """
    if line is not None:
        return at_angle(placement, reach, nearest_in(reach, line, own_direction(piece, reach)))
    now = solve_placement(job.table, job.rack, placement).poses
    body = now[min(carrier(piece), len(now) - 1)].turn if now else reach.low
    at = reach.low + (body - reach.low) % 360.0
    return at_angle(placement, reach, at if at <= reach.high else reach.low)


def _wrapped(degrees: float) -> float:
    return -math.remainder(-degrees, 360.0) + 0.0
