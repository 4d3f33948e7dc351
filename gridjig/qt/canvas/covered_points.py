"""Points on the table that the things of a document cover, used to bring them into view."""

from gridjig.geometry.part_outline import part_ring
from gridjig.rack import Point
from gridjig.session.document import Document


def points_of(document: Document, ids: frozenset[str]) -> list[Point]:
    """Return points on the table that the things cover, mm."""
    points: list[Point] = []
    for thing_id in ids:
        placed = document.placed_pieces.get(thing_id)
        if placed is not None:
            points += [p for solid in placed.solids for p in solid.points]
            points += [document.shown.table.at(hole) for hole in placed.holes]
    for part in document.shown.parts:
        if part.id in ids:
            points += part_ring(part)
    return points
