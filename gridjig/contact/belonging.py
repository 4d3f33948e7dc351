"""Which pieces belong to a weldment: those that touch it; the rest go to the nearest one."""

from collections.abc import Mapping

from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job
from gridjig.model.by_weldment import several
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece

from .values import JobContacts


def pieces_of(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], found: JobContacts, weldment: str
) -> frozenset[str]:
    """The ids of the pieces that belong to a weldment; one that touches two belongs to both.

    A piece that touches no part belongs to the weldment whose part is nearest to its holes.
    """
    if not several(job):
        return frozenset(placed_pieces)
    of = {part.id: part.weldment for part in job.parts}
    mine = set()
    for piece, placed in placed_pieces.items():
        touched = {of[c.part] for c in found.pieces[piece].touching}
        if weldment in (touched or {_nearest(job, placed)}):
            mine.add(piece)
    return frozenset(mine)


def _nearest(job: Job, placed: PlacedPiece) -> str:
    at = [job.table.at(seat.hole) for seat in placed.placement.seats]
    parts = min(
        job.parts,
        key=lambda part: min(_away(bounds(part_ring(part)), point) for point in at),
        default=None,
    )
    return parts.weldment if parts is not None else job.weldments[0].id


def _away(box: tuple[float, float, float, float], point: Point) -> float:
    """The square of the distance of a point from a box; 0 inside."""
    dx = max(box[0] - point[0], 0.0, point[0] - box[2])
    dy = max(box[1] - point[1], 0.0, point[1] - box[3])
    return dx * dx + dy * dy
