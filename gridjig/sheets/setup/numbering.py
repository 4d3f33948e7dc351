"""The order in which pieces are set, which gives each its number on the plan and in the lists.

What a good hand does, common practice: the stops on the datum faces first, A and then B; then the
other stops and squares, arms, what carries the work, and the clamps last.
"""

from collections.abc import Mapping

from gridjig.contact.values import JobContacts
from gridjig.geometry.part_outline import part_edge
from gridjig.geometry.part_solids import PartFace
from gridjig.model import Job, Part
from gridjig.model.titles import thing_of
from gridjig.rack import PieceKind
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.faces import WorkFace

_RANKS: dict[PieceKind, int] = {
    "fixed stop": 2,
    "square": 2,
    "V-block": 2,
    "pin": 2,
    "adjustable stop": 2,
    "bevel": 3,
    "arm": 3,
    "riser": 4,
    "clamp": 5,
}
_OTHER = 4
_ON_LINE = 0.1  # mm; a contact this near to a datum face is on it


def setting_order(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts | None
) -> tuple[str, ...]:
    """Return the ids of all placements in the order in which they are set."""
    on_datum = _on_datum(job, contacts)

    def rank(placement_id: str) -> tuple[object, ...]:
        placed = placed_pieces[placement_id]
        kind = placed.piece.kind if placed.piece is not None else "other"
        at = placed.holes[0] if placed.holes else placed.placement.seats[0].hole
        first = on_datum.get(placement_id, _RANKS.get(kind, _OTHER))
        return (first, at.row, at.col, placement_id)

    return tuple(sorted((p.id for p in job.placements), key=rank))


def numbers(order: tuple[str, ...]) -> Mapping[str, int]:
    """Return the number of each placement, from 1."""
    return {placement_id: number for number, placement_id in enumerate(order, 1)}


def _on_datum(job: Job, contacts: JobContacts | None) -> dict[str, int]:
    """0 for what stands at a datum face A, 1 at a datum face B.  Clamps are not meant."""
    if contacts is None or not job.parts:
        return {}
    found: dict[str, int] = {}
    for one in job.weldments:
        datum = datum_faces(job, one.id)
        for number, face in ((1, datum.end), (0, datum.long)):
            if face is None:
                continue
            for contact in contacts.touching():
                if contact.feature != "tip" and _is_on(job, contact.part, contact.face, face):
                    found[contact.piece] = min(number, found.get(contact.piece, number))
    return found


def _is_on(job: Job, part_id: str, touched: PartFace, face: WorkFace) -> bool:
    """True if the face of a part that is touched lies in the line of a datum face."""
    part = thing_of(job, part_id)
    if not isinstance(part, Part) or touched.kind != "side":
        return False
    nx, ny = face.normal
    ends = part_edge(part, touched.number)
    return all(abs((x - face.a[0]) * nx + (y - face.a[1]) * ny) <= _ON_LINE for x, y in ends)
