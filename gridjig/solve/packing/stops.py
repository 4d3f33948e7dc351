"""The stops of a rack as packing sees them: how far each face lies from its hole."""

import math
from functools import lru_cache

from msgspec import Struct

from gridjig.model import Hole, Table
from gridjig.rack import Piece, Point, Rack, RoundHole, Shank, StraightSlot
from gridjig.rack.same import Same

SQUARE = 0.999
"""A slot runs straight towards the face if the cosine of their angle is at least this."""


class Stop(Struct, frozen=True):
    """A piece that locates a face of the work; lengths in mm.

    `face` is the distance from the centre of the front hole to the face when drawn back; `slot` is
    how far the pins can travel (0 for a fixed stop); `other` gives the positions of the other holes
    relative to the front one: towards the face, and along it (90 degrees to the left of that).
    `half` is half the width of the locating face.
    """

    piece: str
    name: str
    face: float
    slot: float
    half: float
    other: tuple[Point, ...]
    z_low: float
    z_high: float

    def travel(self, pitch: float) -> float:
        """How far the face can be set out from drawn back, held by two pins if possible."""
        return self.slot - pitch if self.slot >= pitch else self.slot


def stops(rack: Rack) -> tuple[Stop, ...]:
    """The stops and round pins of a rack, in rack order; the same rack gives the same tuple."""
    return _stops(Same(rack))


@lru_cache(maxsize=16)
def _stops(rack: Same[Rack]) -> tuple[Stop, ...]:
    made = (stop_of(piece) for piece in rack.value.pieces)
    return tuple(stop for stop in made if stop is not None)


def stop_of(piece: Piece) -> Stop | None:
    """A piece as a stop; None if it is not one, or its face does not point away from its holes."""
    if not piece.mounts:
        return None
    if piece.kind == "pin" and len(piece.rounds) == 1:
        body = piece.rounds[0]
        return Stop(
            piece.id, piece.full_name, body.radius, 0.0, body.radius, (), body.z_low, body.z_high
        )
    if piece.kind not in ("fixed stop", "adjustable stop") or len(piece.faces) != 1:
        return None
    face, front = piece.faces[0], piece.mounts[0]
    length = math.dist(face.a, face.b)
    t = ((face.b[0] - face.a[0]) / length, (face.b[1] - face.a[1]) / length)
    n = (t[1], -t[0])
    slot, hole = 0.0, (0.0, 0.0)
    if isinstance(front, RoundHole | Shank):
        hole = front.at
    elif isinstance(front, StraightSlot):
        slot = math.dist(front.a, front.b)
        towards = ((front.b[0] - front.a[0]) * n[0] + (front.b[1] - front.a[1]) * n[1]) / slot
        if abs(towards) < SQUARE:
            return None
        hole = front.a if towards < 0 else front.b
    else:
        return None
    others = (m.at for m in piece.mounts[1:] if isinstance(m, RoundHole | Shank))
    return Stop(
        piece=piece.id,
        name=piece.full_name,
        face=_dot(face.a, hole, n),
        slot=slot,
        half=length / 2.0,
        other=tuple((_dot(at, hole, n), _dot(at, hole, t)) for at in others),
        z_low=face.z_low,
        z_high=face.z_high,
    )


def _dot(p: Point, q: Point, axis: Point) -> float:
    return (p[0] - q[0]) * axis[0] + (p[1] - q[1]) * axis[1]


def holes_of(table: Table, stop: Stop, front: Hole, facing: tuple[int, int]) -> tuple[Hole, ...]:
    """The holes that a stop takes with its face towards `facing`, a unit step (x, y).

    The second pin in a slot goes one pitch behind the first if the slot is long enough.
    """
    nx, ny = facing
    pitch = table.pitch_x if nx else table.pitch_y
    others = stop.other or (((-pitch, 0.0),) if stop.slot >= pitch else ())
    return (
        front,
        *(
            Hole(
                front.col + round((far * nx - aside * ny) / table.pitch_x),
                front.row + round((far * ny + aside * nx) / table.pitch_y),
            )
            for far, aside in others
        ),
    )
