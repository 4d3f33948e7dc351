"""Between two faces, as at the corner of a frame: the one that no piece holds yet comes first."""

from collections.abc import Mapping
from functools import lru_cache

from gridjig.contact.book import contacts
from gridjig.model import Job
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.placed.placed_piece import PlacedPiece

from .faces import UprightFace

NEAR = 1.0 / 16.0
"""Of a pitch: a pointer that is no farther off the line between two faces counts as between."""

_SAME = 1e-6


def held_last(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], found: list[UprightFace], at: Point
) -> list[UprightFace]:
    """Return faces, nearest to a point first, with those already held behind their equals.

    Only faces that are equally near, with the point between them, change places.
    """
    if len(found) < 2 or not job.placements:
        return found
    far, gap = found[0].distance(at), found[0].gap(at)
    room = NEAR * min(job.table.pitch_x, job.table.pitch_y)
    many = 1
    while many < len(found) and _equal(found[many], at, far, gap, room):
        many += 1
    if many == 1:
        return found
    held = _held(Same(job), Same(placed_pieces))
    equals = sorted(found[:many], key=lambda face: (face.part, face.side) in held)
    return [*equals, *found[many:]]


def _equal(face: UprightFace, at: Point, far: float, gap: float, room: float) -> bool:
    return abs(face.distance(at) - far) <= _SAME and abs(face.gap(at) - gap) <= room


@lru_cache(maxsize=2)
def _held(
    job: Same[Job], placed_pieces: Same[Mapping[str, PlacedPiece]]
) -> frozenset[tuple[str, int]]:
    """The upright faces that some piece touches, by part and side."""
    found = contacts(job.value, placed_pieces.value)
    return frozenset(
        (one.part, one.face.number)
        for one in found.every()
        if one.touches and one.face.kind == "side" and one.kind not in ("rest under", "pad on top")
    )
