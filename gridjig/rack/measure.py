"""Whether a piece is made to inches or to millimetres, and whether two pieces are of one kind."""

from collections.abc import Iterator
from typing import Literal

from .piece import ArcSlot, Piece, RoundHole, Shank, StraightSlot

UnitSystem = Literal["inch", "metric", ""]

SAME_HOLE = 1.0
"""Pieces whose holes or pins differ by more than this, mm, are for different tables."""
_INCH = 25.4
_CLOSE = 0.003


def measure_of(piece: Piece) -> UnitSystem:
    """Return what a piece is made to, by its size in words or else by most of its sizes; "" if
    neither tells.
    """
    if '"' in piece.size or " in" in piece.size:
        return "inch"
    if "mm" in piece.size:
        return "metric"
    inch = metric = 0
    for size in _sizes(piece):
        in_inches, in_mm = _whole(size / _INCH * 64), _whole(size * 2)
        inch += in_inches and not in_mm
        metric += in_mm and not in_inches
    if inch == metric:
        return ""
    return "inch" if inch > metric else "metric"


def is_same_thing(piece: Piece, other: Piece) -> bool:
    """True if two pieces with one id are the same thing, perhaps changed: of one kind, made to the
    same measure, for the same holes.
    """
    measures = {measure_of(piece), measure_of(other)} - {""}
    return (
        piece.kind == other.kind
        and len(measures) < 2
        and abs(_bore(piece) - _bore(other)) <= SAME_HOLE
    )


def _whole(value: float) -> bool:
    return abs(value - round(value)) < _CLOSE


def _bore(piece: Piece) -> float:
    """The size of its first hole, slot or shank, or of the pin that it is; else 0."""
    if piece.pin_diameter:
        return piece.pin_diameter
    for mount in piece.mounts:
        return mount.diameter if isinstance(mount, RoundHole | Shank) else mount.width
    return 0.0


def _sizes(piece: Piece) -> Iterator[float]:
    """Sizes that were chosen, not computed: heights, spacings, ends of faces, diameters."""
    yield from (piece.thickness, piece.pin_diameter)
    for solid in piece.solids:
        yield from (solid.z_low, solid.z_high)
    for mount in piece.mounts:
        match mount:
            case RoundHole() | Shank():
                yield from (*mount.at, mount.diameter)
            case StraightSlot():
                yield from (*mount.a, *mount.b, mount.width)
            case ArcSlot():
                yield from (*mount.centre, mount.radius, mount.width)
    for face in piece.faces:
        yield from (*face.a, *face.b)
    for body in piece.rounds:
        yield 2 * body.radius
