"""Where the things of a desk lie, as points on the table: to bring into view, to box in."""

from gridjig.geometry.parts import part_ring
from gridjig.rack import Point
from gridjig.session.desk import Desk


def points_of(desk: Desk, ids: frozenset[str]) -> list[Point]:
    """Points on the table that things cover, mm."""
    points: list[Point] = []
    for thing_id in ids:
        stand = desk.stands.get(thing_id)
        if stand is not None:
            points += [p for solid in stand.solids for p in solid.points]
            points += [desk.shown.table.at(hole) for hole in stand.holes]
    for outline in desk.shown.outlines:
        if outline.id in ids:
            points += part_ring(outline)
    return points
