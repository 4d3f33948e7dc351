"""Mirroring the set-up on the table: the weldment with its pieces' hole picks, or pieces only.

Holes land on holes only if the mirror line is a line of holes or midway between two.
"""

from collections.abc import Mapping, Set

from msgspec import Struct, structs

from gridjig.geometry import wrap
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.grid.hole_faults import hole_fault
from gridjig.solve.layout.remainders import grid_along
from gridjig.solve.mirror.mirrored_piece import MirroredPiece, mirrored_piece
from gridjig.solve.weldment.faces import Axis
from gridjig.units import format_length
from gridjig.words.placing_text import placing_text

from . import weldment
from .lookup import new_id

ON_LINE = 1e-6
"""A mirror line this close to a line of holes, in pitches, is on it."""


class MirroredSetup(Struct, frozen=True):
    """A mirrored job, and what could not be mirrored.

    `stayed` are placements that stay where they are, each with a sentence why; `over` are those now
    turned over; `exchanged` are those replaced by another piece, with its id.
    """

    job: Job
    stayed: tuple[tuple[str, str], ...]
    over: tuple[str, ...]
    exchanged: tuple[tuple[str, str], ...]


def mirror_setup(job: Job, axis: Axis, at: float, *, face_down: bool = False) -> MirroredSetup:
    """Mirror the weldment and its set-up about the line at `at` mm on an axis.

    Axis "x" swaps left and right.  With `face_down` the weldment is turned over; otherwise it
    becomes its own opposite hand.  Raises ValueError if the line is neither a line of holes nor
    midway between two.
    """
    sum_ = _sum_of_lines(job, axis, at)
    a: Point = (at, 0.0) if axis == "x" else (0.0, at)
    b: Point = (at, 1.0) if axis == "x" else (1.0, at)
    moved = weldment.flip(job, a, b) if face_down else weldment.mirror(job, a, b)
    twins = {
        piece.id: mirrored_piece(job.rack, piece)
        for piece in job.rack.pieces
        if any(p.piece == piece.id for p in job.placements)
    }
    placements: list[Placement] = []
    stayed: list[tuple[str, str]] = []
    over: list[str] = []
    exchanged: list[tuple[str, str]] = []
    for placement in job.placements:
        made = _mirrored(placement, twins, axis, sum_)
        why = _why_not(job, placement, made)
        if made is None or why:
            stayed.append((placement.id, why))
            placements.append(placement)
            continue
        placements.append(made)
        if made.flipped != placement.flipped:
            over.append(placement.id)
        if made.piece != placement.piece:
            exchanged.append((placement.id, made.piece))
    return MirroredSetup(
        structs.replace(moved, placements=tuple(placements)),
        tuple(stayed),
        tuple(over),
        tuple(exchanged),
    )


class MirroredPieces(Struct, frozen=True):
    """A job with mirrored copies of pieces.

    `made` are the ids of the copies; `single` pieces are on the mirror line, in the same holes as
    their image, and are not copied; `exchanged` are the copies that are another piece of the rack.
    """

    job: Job
    made: frozenset[str]
    single: frozenset[str]
    exchanged: frozenset[str]


def mirror_pieces(job: Job, ids: Set[str], axis: Axis, at: float) -> MirroredPieces:
    """Add copies of these placements on the other side of the line at `at` mm on an axis.

    Raises ValueError if the line does not suit the holes, or a piece has no opposite hand or no
    hole there.  Clashes are not checked.
    """
    sum_ = _sum_of_lines(job, axis, at)
    copies: list[Placement] = []
    single: set[str] = set()
    exchanged: set[str] = set()
    for placement in (p for p in job.placements if p.id in ids):
        piece = job.rack.find(placement.piece)
        twin = None if piece is None else mirrored_piece(job.rack, piece)
        made = _mirrored(placement, {placement.piece: twin}, axis, sum_)
        why = _why_not(job, placement, made)
        if made is None or why:
            raise ValueError(why)
        if {seat.hole for seat in made.seats} == {seat.hole for seat in placement.seats}:
            single.add(placement.id)
            continue
        fresh = new_id(job, placement.id, [one.id for one in copies])
        copies.append(structs.replace(made, id=fresh))
        if made.piece != placement.piece:
            exchanged.add(fresh)
    return MirroredPieces(
        structs.replace(job, placements=(*job.placements, *copies)),
        frozenset(one.id for one in copies),
        frozenset(single),
        frozenset(exchanged),
    )


def mirror_line(job: Job, axis: Axis, near: float) -> float:
    """The mirror line nearest to `near` on an axis about which holes land on holes, mm."""
    first, pitch = grid_along(job.table, axis)
    return first + round(2.0 * (near - first) / pitch) * pitch / 2.0


def _sum_of_lines(job: Job, axis: Axis, at: float) -> int:
    """The sum of the numbers of a line of holes and of its mirror image."""
    first, pitch = grid_along(job.table, axis)
    twice = 2.0 * (at - first) / pitch
    if abs(twice - round(twice)) > ON_LINE:
        lines = "column" if axis == "x" else "row"
        nearest = format_length(mirror_line(job, axis, at), job.display)
        raise ValueError(
            f"a set-up is mirrored about a {lines} of holes or midway between two; the nearest such"
            f" line is at {nearest}"
        )
    return round(twice)


def _mirrored(
    placement: Placement, twins: Mapping[str, MirroredPiece | None], axis: Axis, sum_: int
) -> Placement | None:
    """The placement in the mirrored holes; None if no piece on the rack can replace it there."""
    twin = twins.get(placement.piece)
    if twin is None:
        return None
    names = dict(twin.mounts)
    seats = tuple(
        Seat(
            names[seat.feature],
            Hole(sum_ - seat.hole.col, seat.hole.row)
            if axis == "x"
            else Hole(seat.hole.col, sum_ - seat.hole.row),
        )
        for seat in placement.seats
    )
    # A mirror at angle m takes direction t to 2 m - t, and the piece's own axis counts twice.
    line = 180.0 if axis == "x" else 0.0
    own = 2.0 * twin.axis * (1.0 if placement.flipped else -1.0)
    return structs.replace(
        placement,
        piece=twin.piece,
        seats=seats,
        turn=wrap(line - placement.turn + own),
        flipped=placement.flipped != twin.over,
    )


def _why_not(job: Job, placement: Placement, made: Placement | None) -> str:
    """Why a placement stays where it is; "" if it does not."""
    name = title(job, placement.id)
    if made is None:
        return (
            f"{name} is handed and the rack has none of the opposite hand;"
            " place another piece instead."
        )
    for seat in made.seats:
        fault = hole_fault(job.table, seat.hole)
        if fault is not None:
            why = placing_text(fault, job.table, job.display)
            return f"There is no hole for {name} on the other side. {why}"
    return ""
