"""Readings that set a piece which is turned by hand to an angle: from a hole to its face."""

import math
from collections.abc import Mapping, Sequence

import shapely
from msgspec import Struct

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Hole, Job
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece

_NEAR, _FAR = 0.4, 4.0
"""How far from the end of the face the hole is, in pitches: room for a pin, and a short reading."""
_SQUARE = 0.01
_CLEAR = 1.1
"""How far the hole is clear of what lies on the table, in its own radii."""


class Gauge(Struct, frozen=True):
    """From the middle of a hole to an end of the face of a placement, mm."""

    placement: str
    hole: Hole
    end: Point
    distance: float


def gauges(
    job: Job, order: Sequence[str], placed_pieces: Mapping[str, PlacedPiece]
) -> tuple[Gauge, ...]:
    """Return a reading for each piece that turns on one pin and does not stand square.

    None for an arm, which has its chord, nor where every hole nearby is covered.
    """
    turned = [placed_pieces[k] for k in order if _needs(placed_pieces[k])]
    if not turned:
        return ()
    table = job.table
    rings = [part_ring(part) for part in job.parts]
    rings += [s.points for one in placed_pieces.values() for s in one.solids if s.role != "handle"]
    covered = shapely.union_all([shapely.Polygon(ring).buffer(0.0) for ring in rings])
    taken = {hole for one in placed_pieces.values() for hole in one.holes}
    pitch = min(table.pitch_x, table.pitch_y)
    made: list[Gauge] = []
    for placed in turned:
        face, pin = placed.faces[0], table.at(placed.holes[0])
        end = max((face.a, face.b), key=lambda p: round(math.dist(p, pin), 6))
        middle = table.nearest(*end)
        near = [Hole(middle.col + i, middle.row + j) for i in range(-4, 5) for j in range(-4, 5)]
        able = [
            (round(math.dist(table.at(hole), end), 6), hole)
            for hole in near
            if table.has(hole)
            and hole not in taken
            and _NEAR * pitch <= math.dist(table.at(hole), end) <= _FAR * pitch
            and _telling(table.at(hole), end, pin)
            and shapely.Point(table.at(hole)).distance(covered) > _CLEAR * table.hole_diameter / 2
        ]
        if able:
            apart, hole = min(able)
            made.append(Gauge(placed.placement.id, hole, end, apart))
    return tuple(made)


def _needs(placed: PlacedPiece) -> bool:
    piece, way = placed.piece, placed.way
    if piece is None or way is None or placed.fault is not None or not placed.faces:
        return False
    turns = "turns" in way.kind and piece.pivot is None and bool(placed.holes)
    return turns and abs(math.remainder(placed.turn, 90.0)) > _SQUARE


def _telling(hole: Point, end: Point, pin: Point) -> bool:
    """True if turning about the pin moves the end mostly towards the hole or away from it."""
    (ax, ay), (bx, by) = (end[0] - hole[0], end[1] - hole[1]), (end[0] - pin[0], end[1] - pin[1])
    long = math.hypot(ax, ay) * math.hypot(bx, by)
    return long > 0.0 and abs(ax * by - ay * bx) >= 0.7 * long
