"""Round bodies in the round holes and slots of plates: which wall they touch, and with what room.

A pin that fits its hole closely holds the plate in every direction, one in a slot across the slot;
so a close fit is a contact with each of these walls, not only with the nearest.
"""

import math
from collections.abc import Iterator, Sequence

from gridjig.geometry.part_solids import PartFace, PartSolid
from gridjig.geometry.plate_holes import Bore
from gridjig.rack import Point

from .features import RoundFeature
from .shapes import DEPTH
from .upright import Asked, meaning
from .values import TOUCH, Contact

_CENTRED = 1e-9
"""A body this near to the centre line, mm, is on it: no wall is nearer than the opposite one."""


def bore_contacts(
    asked: Asked,
    rounds: Sequence[tuple[int, RoundFeature]],
    solids: Sequence[tuple[int, PartSolid]],
) -> Iterator[tuple[int, Contact]]:
    """The contacts of round bodies whose centres are in a hole, each with the row of its piece."""
    bored = [(part, solid) for part, solid in solids if any(solid.bores)]
    for row, body in rounds:
        for part, solid in bored:
            low, high = max(body.z_low, solid.z_low), min(body.z_high, solid.z_high)
            if high - low <= DEPTH:
                continue
            for number, bore in enumerate(solid.bores):
                if bore is None or math.dist(bore.nearest(body.centre), body.centre) >= bore.radius:
                    continue
                inside = bool(asked.inside[row, part])
                for gap, at, normal in _walls(bore, body):
                    if gap > asked.within:
                        continue
                    yield (
                        row,
                        Contact(
                            asked.ids[row],
                            body.id,
                            asked.parts[part],
                            PartFace("hole", number),
                            "round in hole",
                            meaning(gap, True, inside),
                            gap,
                            0.0,
                            0.0,
                            low,
                            high,
                            (at,),
                            (normal[0] + 0.0, normal[1] + 0.0, 0.0),
                        ),
                    )


def _walls(bore: Bore, body: RoundFeature) -> list[tuple[float, Point, Point]]:
    """The gap to each wall that counts, the place on it, and its normal, out of the steel."""
    near = bore.nearest(body.centre)
    along, across = _axes(bore, near, body.centre)
    room = bore.radius - body.radius
    if room <= TOUCH:
        ways = [
            (bore.b, along),
            (bore.a, _back(along)),
            (near, across),
            (near, _back(across)),
        ]
        held = [_wall(bore, body, room, start, way) for start, way in ways]
        return [one for one in held if one[0] <= TOUCH]
    off = math.dist(near, body.centre)
    way = across
    if off > _CENTRED:
        way = ((body.centre[0] - near[0]) / off, (body.centre[1] - near[1]) / off)
    return [_wall(bore, body, room, near, way)]


def _wall(
    bore: Bore, body: RoundFeature, room: float, start: Point, way: Point
) -> tuple[float, Point, Point]:
    """The wall in one direction from a point of the centre line."""
    (x, y), (ux, uy) = start, way
    gap = room - ((body.centre[0] - x) * ux + (body.centre[1] - y) * uy)
    return gap, (x + bore.radius * ux, y + bore.radius * uy), _back(way)


def _axes(bore: Bore, near: Point, centre: Point) -> tuple[Point, Point]:
    """The directions along and across a slot; in a round hole, towards the nearest wall."""
    (ax, ay), (bx, by) = (bore.a, bore.b) if bore.a != bore.b else (near, centre)
    long = math.hypot(bx - ax, by - ay)
    if long <= _CENTRED:
        return (1.0, 0.0), (0.0, 1.0)
    ux, uy = (bx - ax) / long, (by - ay) / long
    return (ux, uy), (-uy, ux)


def _back(way: Point) -> Point:
    return (-way[0], -way[1])
