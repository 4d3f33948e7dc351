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
from gridjig.geometry.lines import line_angle
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.model.marks import mark_index
from gridjig.rack import Piece
from gridjig.solve.angles.answers import AngleAnswer, AngleLimits
from gridjig.solve.angles.finder import answer_placements
from gridjig.solve.angles.hole_field import holes_within
from gridjig.solve.angles.plate import THICKNESS
from gridjig.solve.grid.directions import BoolArray, FloatArray, IntArray
from gridjig.solve.grid.open_holes import all_open
from gridjig.solve.placed.placed_piece import PlacedPiece, PlacedSolid
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.reach.reach import ReachAngle, carrier

Holes = tuple[Hole, ...]


class FreePlaces(Struct, frozen=True, eq=False):
    """The places of an answer that are free of clashes, nearest to the wanted point first.

    `firsts` are the first holes as rows of (column, row); `steps` lead from there to all holes.
    `places` is how many places have free holes, with or without clashes; `why` is the first reason,
    in words, why a place is not possible, "" if all are.
    """

    firsts: IntArray
    steps: tuple[tuple[int, int], ...]
    places: int
    why: str

    def __len__(self) -> int:
        return len(self.firsts)

    def at(self, index: int) -> Holes:
        """Return the holes of one place."""
        col, row = self.firsts[index].tolist()
        return tuple(Hole(col + dc, row + dr) for dc, dr in self.steps)


def room_for(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], answer: AngleAnswer, limits: AngleLimits
) -> FreePlaces:
    """Return all places of an answer, except those where one of its pieces would clash.

    Places with nothing near the pieces are free; only the others are checked with the
    conflict relation, one by one.  A cut plate is checked as it would lie on the table.
    """
    first = answer.holes[0]
    steps = tuple((h.col - first.col, h.row - first.row) for h in answer.holes)
    every = FreePlaces(_firsts(job, answer, steps, limits), steps, 0, "")
    keep = np.ones(len(every), dtype=np.bool_)
    why = ""
    for index in _suspects(job, placed_pieces, answer, every, boxes_on(job, placed_pieces)):
        reason = _refused(job, placed_pieces, answer, every.at(index))
        if reason is not None:
            keep[index] = False
            why = why or reason
    return FreePlaces(every.firsts[keep], steps, len(every), why)


AT_ONCE = 64
"""How many places are checked at a time in the search for the first free one."""


def first_place(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    answer: AngleAnswer,
    limits: AngleLimits,
    boxes: FloatArray | None = None,
) -> tuple[Holes, str]:
    """Return the first place where an answer can stand, or () and why it cannot stand at the
    first; the same as the first of `room_for`, which checks all of them.

    `boxes` is `boxes_on` of the job, for callers that ask about many answers.
    """
    first = answer.holes[0]
    steps = tuple((h.col - first.col, h.row - first.row) for h in answer.holes)
    firsts = _firsts(job, answer, steps, limits)
    known = boxes_on(job, placed_pieces) if boxes is None else boxes
    why = ""
    for begin in range(0, len(firsts), AT_ONCE):
        some = FreePlaces(firsts[begin : begin + AT_ONCE], steps, 0, "")
        suspects = frozenset(_suspects(job, placed_pieces, answer, some, known))
        for index in range(len(some)):
            reason = None
            if index in suspects:
                reason = _refused(job, placed_pieces, answer, some.at(index))
            if reason is None:
                return some.at(index), ""
            why = why or reason
    return (), why


def _firsts(
    job: Job, answer: AngleAnswer, steps: tuple[tuple[int, int], ...], limits: AngleLimits
) -> IntArray:
    """The first holes of all places whose holes may be used, nearest first."""
    # In a fixed answer only pins must be beside the face; an arm's holes may be anywhere.
    where = structs.replace(limits, along=None, region=()) if answer.fixed else limits
    usable = holes_within(job.table, where).usable
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
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    answer: AngleAnswer,
    every: FreePlaces,
    boxes: FloatArray,
) -> list[int]:
    """The places with a marked or taken hole, or where a piece's box touches another box."""
    touched = np.zeros((job.table.rows, job.table.columns), dtype=np.bool_)
    for hole in (*mark_index(job.table), *(h for s in placed_pieces.values() for h in s.holes)):
        if job.table.has(hole):
            touched[hole.row, hole.col] = True
    met = _close(job, answer, every, boxes)
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
        yield solve_placement(job.table, job.rack, placement)
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


def _close(job: Job, answer: AngleAnswer, every: FreePlaces, boxes: FloatArray) -> BoolArray:
    """For each place, whether the box of a piece there touches the box of anything placed."""
    met = np.zeros(len(every), dtype=np.bool_)
    if not len(every):
        return met
    shift = (every.firsts - every.firsts[0]) * (job.table.pitch_x, job.table.pitch_y)
    for here in _placed(job, answer, every.at(0)):
        if here.fault is not None:
            return np.ones_like(met)  # its position is uncertain, so check every place
        for box in _boxes(here):
            for begin in range(0, len(shift), _ROWS):
                low = shift[begin : begin + _ROWS, None] + box[:2]
                high = shift[begin : begin + _ROWS, None] + box[2:]
                meets = (low <= boxes[None, :, 2:]).all(2) & (high >= boxes[None, :, :2]).all(2)
                met[begin : begin + _ROWS] |= meets.any(1)
    return met


_ROWS = 256
"""How many places have their boxes compared with all others at a time."""


def boxes_on(job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> FloatArray:
    """Return the boxes round all placed solids and all parts, as rows in mm."""
    found = [box for one in placed_pieces.values() if one.fault is None for box in _boxes(one)]
    found += [bounds(part_ring(part)) for part in job.parts]
    return np.array(found, dtype=np.float64).reshape(-1, 4)


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
    """Place the answer in these holes (by default its own); return the job and the new ids.

    `note` goes on the first piece and says what to measure when setting it.
    """
    made = _placements(job, answer, holes)
    for index, placement in enumerate(made):
        job = place(job, structs.replace(placement, note=note) if not index else placement)
    return job, frozenset(p.id for p in made)


# -- setting an arm to an angle within its reach -------------------------------------------------


def at_angle(placement: Placement, reach: ReachAngle, angle: float) -> Placement:
    """Return the placement in the seats of a reach angle, with the face's body turned to `angle`.

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
    """Return the first face's direction in its body, degrees, mirrored if flipped; 0 if no face."""
    if not piece.faces:
        return 0.0
    (ax, ay), (bx, by) = piece.faces[0].a, piece.faces[0].b
    return math.degrees(math.atan2(by - ay, bx - ax)) * (-1.0 if reach.flipped else 1.0)


def nearest_in(reach: ReachAngle, line: float, own: float) -> float:
    """Return the body angle within a reach angle at which a face is nearest to a line, degrees.

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
    """Return how far the face is from a line at the nearest angle in a reach angle, degrees."""
    own = own_direction(piece, reach)
    return abs(math.remainder(nearest_in(reach, line, own) + own - line, 180.0))


def reached(
    job: Job, placement: Placement, piece: Piece, reach: ReachAngle, line: float | None
) -> Placement:
    """Return the placement set within a reach angle, its face nearest to a line (degrees).

    Without a line it keeps its angle if that is in the range, or else takes the first.
    """
    if line is not None:
        return at_angle(placement, reach, nearest_in(reach, line, own_direction(piece, reach)))
    now = solve_placement(job.table, job.rack, placement).poses
    body = now[min(carrier(piece), len(now) - 1)].turn if now else reach.low
    at = reach.low + (body - reach.low) % 360.0
    return at_angle(placement, reach, at if at <= reach.high else reach.low)


class ReachingWay(Struct, frozen=True):
    """A way in which a piece can stand: which way its first face looks, degrees, the line of that
    face, and what is in the way, in a sentence.  The first two are None without a face.
    """

    angle: ReachAngle
    looks: float | None
    line: float | None
    why: str


def reaching_way(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    placement: Placement,
    piece: Piece,
    reach: ReachAngle,
    line: float | None,
) -> ReachingWay:
    """Return how a piece would stand within a reach angle, its face nearest to a line, degrees."""
    there = reached(job, placement, piece, reach, line)
    here = solve_placement(job.table, job.rack, there)
    why = refused(job, placed_pieces, here) or ""
    if not here.faces:
        return ReachingWay(reach, None, None, why)
    face = here.faces[0]
    looks = math.degrees(math.atan2(face.normal[1], face.normal[0]))
    return ReachingWay(reach, looks, line_angle(face.a, face.b), why)


def _wrapped(degrees: float) -> float:
    return -math.remainder(-degrees, 360.0) + 0.0
