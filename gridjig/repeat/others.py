"""Which other pieces of the rack can do what a piece did, the likeliest first."""

import math
from collections.abc import Mapping

from gridjig.rack import Piece, PieceKind, Rack
from gridjig.solve.placed.placed_piece import PlacedPiece

MOST_OTHERS = 6
"""How many other pieces are tried for one that cannot be kept."""

_LOCATORS: tuple[PieceKind, ...] = ("fixed stop", "adjustable stop", "square", "V-block", "pin")
_INSTEAD: Mapping[PieceKind, tuple[PieceKind, ...]] = {
    **dict.fromkeys(_LOCATORS, _LOCATORS),
    "arm": ("arm",),
    "clamp": ("clamp",),
    "riser": ("riser",),
}


def others(rack: Rack, piece: Piece, used: Mapping[str, int]) -> tuple[Piece, ...]:
    """Return the pieces that may stand for another and are not all in use: those of its kind first.

    `used` is how many of each piece are in use.  A riser only stands for one of its own height, as
    the work lies on it; an adjustable stop comes before what cannot be set.
    """
    found = [
        one
        for one in rack.pieces
        if one.is_placed
        and one.id != piece.id
        and one.kind in _INSTEAD.get(piece.kind, ())
        and used.get(one.id, 0) < one.owned
        and (piece.kind != "riser" or _height(one) == _height(piece))
        and (piece.tip is None) == (one.tip is None)
    ]
    found.sort(key=lambda one: (one.kind != piece.kind, one.kind != "adjustable stop", one.id))
    return tuple(found[:MOST_OTHERS])


def turn_instead(piece: Piece, there: PlacedPiece) -> float:
    """Return the turn at which a piece looks, or presses, the way that another one did, degrees."""
    if there.faces and piece.faces:
        (x, y), face = there.faces[0].normal, piece.faces[0]
        own = math.degrees(math.atan2(face.a[0] - face.b[0], face.b[1] - face.a[1]))
        return math.remainder(math.degrees(math.atan2(y, x)) - own, 360.0)
    if there.tip is not None and piece.tip is not None:
        return math.remainder(there.tip.direction - piece.tip.direction, 360.0)
    return there.turn


def _height(piece: Piece) -> float:
    """How high it carries what rests on it, mm; 0 for a piece that carries nothing."""
    return max((rest.z for rest in piece.rests), default=0.0)
