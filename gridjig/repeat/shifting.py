"""How a weldment moves to another table: its datum stops stand on lines of holes as before."""

from collections.abc import Mapping

from gridjig.contact.book import contacts
from gridjig.contact.values import Contact
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Hole, Job, Table
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.weldment.datum import datum_faces
from gridjig.solve.weldment.faces import WorkFace


def shift_of(job: Job, old: Mapping[str, PlacedPiece], table: Table) -> Point:
    """How far the weldment moves: about to the same place of the new table, its datums on lines."""
    dx = (table.width - job.table.width) / 2.0
    dy = (table.depth - job.table.depth) / 2.0
    if job.parts:
        x1, y1, x2, y2 = bounds([p for part in job.parts for p in part_ring(part)])
        dx = _inside(x1 + dx, x2 + dx, table.width) + dx
        dy = _inside(y1 + dy, y2 + dy, table.depth) + dy
    line_x, line_y = _datum_lines(job, old)
    return (
        _onto(line_x + dx, table.first_x, table.pitch_x) + dx,
        _onto(line_y + dy, table.first_y, table.pitch_y) + dy,
    )


def _inside(low: float, high: float, size: float) -> float:
    """How far a span must move to be on a table of that size, as far as it can be."""
    if high - low > size or low < 0.0:
        return -low if high - low <= size else 0.0
    return min(0.0, size - high)


def _onto(at: float, first: float, pitch: float) -> float:
    """How far a place must move to be on the nearest line of holes."""
    return first + round((at - first) / pitch) * pitch - at


def _datum_lines(job: Job, old: Mapping[str, PlacedPiece]) -> Point:
    """The places of the lines of holes that the datum stops stand in; of the first piece's hole
    where there is no stop.
    """
    first = next((seat.hole for p in job.placements for seat in p.seats), Hole(0, 0))
    x, y = job.table.at(first)
    if not job.parts:
        return x, y
    datum = datum_faces(job)
    found = contacts(job, old)
    for face in (datum.end, datum.long):  # A last: it decides where both look the same way
        stop = None if face is None else _stop_at(job, found.pieces, face)
        if face is None or stop is None:
            continue
        at = job.table.at(stop)
        x, y = (at[0], y) if face.axis == "x" else (x, at[1]) if face.axis == "y" else (x, y)
    return x, y


def _stop_at(job: Job, pieces: Mapping[str, object], face: WorkFace) -> Hole | None:
    """The hole, nearest to a face, of the first piece that touches it."""
    for placement in job.placements:
        own = pieces[placement.id]
        for one in getattr(own, "touching", ()):
            if one.part == face.of.part and side_of(one) == face.of.side:
                return min(
                    (seat.hole for seat in placement.seats),
                    key=lambda hole: abs(
                        (job.table.at(hole)[0] - face.a[0]) * face.normal[0]
                        + (job.table.at(hole)[1] - face.a[1]) * face.normal[1]
                    ),
                )
    return None


def side_of(contact: Contact) -> int | None:
    """The number of the upright face that a contact is with; None for another."""
    upright = contact.face.kind == "side" and contact.kind not in ("rest under", "pad on top")
    return contact.face.number if upright else None
