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

from . import weldment as whole
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


def mirror_setup(
    job: Job,
    axis: Axis,
    at: float,
    *,
    face_down: bool = False,
    weldment: str | None = None,
    pieces: Set[str] | None = None,
) -> MirroredSetup:
    """Mirror a weldment and its set-up about the line at `at` mm on an axis.

    `weldment` and `pieces` are the ids of what is mirrored, by default everything on the table.
    Axis "x" swaps left and right.  With `face_down` the weldment is turned over; otherwise it
    becomes its own opposite hand.  Raises ValueError if the line is neither a line of holes nor
    midway between two.
    """
    sum_ = _sum_of_lines(job, axis, at)
    a: Point = (at, 0.0) if axis == "x" else (0.0, at)
    b: Point = (at, 1.0) if axis == "x" else (1.0, at)
    change = whole.flip if face_down else whole.mirror
    moved = change(job, a, b, weldment)
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
        if pieces is not None and placement.id not in pieces:
            placements.append(placement)
            continue
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


class MirrorImages(Struct, frozen=True):
    """Placements with their mirror images, and sentences about those that have none.

    `no_twin`: no piece of the rack is their opposite hand; `no_hole`: they find no hole there.
    """

    made: tuple[tuple[Placement, Placement], ...]
    no_twin: tuple[str, ...]
    no_hole: tuple[str, ...]


class FreshCopies(Struct, frozen=True):
    """Mirror images with ids of their own, each with its original.

    `single` are the originals whose image would have the same holes: they serve both hands.
    """

    copies: tuple[tuple[Placement, Placement], ...]
    single: tuple[str, ...]

    @property
    def exchanged(self) -> tuple[str, ...]:
        """Return the copies that are another piece of the rack than their originals."""
        return tuple(copy.id for copy, original in self.copies if copy.piece != original.piece)


def fresh_copies(job: Job, found: MirrorImages) -> FreshCopies:
    """Give the mirror images ids that the job does not have."""
    copies: list[tuple[Placement, Placement]] = []
    single: list[str] = []
    for original, image in found.made:
        if {seat.hole for seat in image.seats} == {seat.hole for seat in original.seats}:
            single.append(original.id)
            continue
        fresh = new_id(job, original.id, [copy.id for copy, _ in copies])
        copies.append((structs.replace(image, id=fresh), original))
    return FreshCopies(tuple(copies), tuple(single))


def images(job: Job, ids: Set[str], axis: Axis, at: float) -> MirrorImages:
    """The mirror images of these placements about the line at `at` mm on an axis.

    They keep the ids of the originals.  Raises ValueError if the line does not suit the holes.
    """
    sum_ = _sum_of_lines(job, axis, at)
    chosen = [p for p in job.placements if p.id in ids]
    twins = {p.piece: _twin(job, p.piece) for p in chosen}
    made: list[tuple[Placement, Placement]] = []
    no_twin: list[str] = []
    no_hole: list[str] = []
    for placement in chosen:
        image = _mirrored(placement, twins, axis, sum_)
        why = _why_not(job, placement, image)
        if image is None:
            no_twin.append(why)
        elif why:
            no_hole.append(why)
        else:
            made.append((placement, image))
    return MirrorImages(tuple(made), tuple(no_twin), tuple(no_hole))


def _twin(job: Job, piece_id: str) -> MirroredPiece | None:
    piece = job.rack.find(piece_id)
    return None if piece is None else mirrored_piece(job.rack, piece)


def mirror_pieces(job: Job, ids: Set[str], axis: Axis, at: float) -> MirroredPieces:
    """Add copies of these placements on the other side of the line at `at` mm on an axis.

    Raises ValueError if the line does not suit the holes, or a piece has no opposite hand or no
    hole there.  Clashes are not checked.
    """
    found = images(job, ids, axis, at)
    for why in (*found.no_twin, *found.no_hole):
        raise ValueError(why)
    fresh = fresh_copies(job, found)
    copies = [copy for copy, _ in fresh.copies]
    return MirroredPieces(
        structs.replace(job, placements=(*job.placements, *copies)),
        frozenset(one.id for one in copies),
        frozenset(fresh.single),
        frozenset(fresh.exchanged),
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
