"""How far the face of a placed piece stands from its hole: one measure, wherever it is told.

It is taken from the centre of that pinned hole to which the face is nearest, square to the face.
"""

from msgspec import Struct, structs

from gridjig.model import Hole, Job, Placement, Table
from gridjig.rack import Point

from .placed_piece import PlacedFace, PlacedPiece
from .solver import solve_placement

NEAR_MM = 0.005
"""Distances that differ by no more than this are one and the same."""


class FaceFromHole(Struct, frozen=True):
    """How far a face stands from a hole, mm; below 0 it has not come as far as the hole."""

    hole: Hole
    distance: float


class FaceDistance(Struct, frozen=True):
    """How far the face stands from the hole nearest to it, mm: now, at least and at most."""

    now: float
    low: float
    high: float


def face_from_hole(table: Table, placed: PlacedPiece) -> FaceFromHole | None:
    """Where the first face of a piece stands, packing before it included; None if it has none.

    Nobody can measure to one flank of a V.
    """
    vee = placed.piece is not None and placed.piece.kind == "V-block"
    if vee or not placed.faces or not placed.holes:
        return None
    face = placed.faces[0]
    found = [FaceFromHole(hole, _along(table.at(hole), face)) for hole in placed.holes]
    return min(found, key=lambda one: round(abs(one.distance), 6))


def face_distance(job: Job, placed: PlacedPiece) -> FaceDistance | None:
    """How far the face stands from the hole and how far it can; None where nothing slides."""
    ends = _ends(job, placed)
    here = face_from_hole(job.table, placed)
    if ends is None or here is None:
        return None
    return FaceDistance(here.distance, min(ends), max(ends))


def slide_of_face(job: Job, placed: PlacedPiece, distance: float) -> float | None:
    """The slide with which the face stands that far from the hole; None where nothing slides."""
    ends, way = _ends(job, placed), placed.way
    if ends is None or way is None:
        return None
    # Along a straight slot the face moves with the slide at a constant rate, one way or the other.
    part = (distance - ends[0]) / (ends[1] - ends[0])
    return way.slide_low + part * (way.slide_high - way.slide_low)


def face_of_slide(job: Job, placed: PlacedPiece, slide: float) -> float | None:
    """How far the face would stand from the hole with a slide; None where nothing slides."""
    ends, way = _ends(job, placed), placed.way
    if ends is None or way is None:
        return None
    part = (slide - way.slide_low) / (way.slide_high - way.slide_low)
    return ends[0] + part * (ends[1] - ends[0])


def _ends(job: Job, placed: PlacedPiece) -> tuple[float, float] | None:
    """The distance at both ends of the slide, from the hole that is nearest now."""
    here, way = face_from_hole(job.table, placed), placed.way
    if here is None or way is None or way.slide_low == way.slide_high:
        return None
    low, high = (
        _at(job, placed.placement, here.hole, slide) for slide in (way.slide_low, way.slide_high)
    )
    if low is None or high is None or abs(low - high) <= NEAR_MM:
        return None
    return (low, high)


def _at(job: Job, placement: Placement, hole: Hole, slide: float) -> float | None:
    probe = structs.replace(placement, slide=slide)
    there = solve_placement(job.table, job.rack, probe)
    return _along(job.table.at(hole), there.faces[0]) if there.faces else None


def _along(hole: Point, face: PlacedFace) -> float:
    (x, y), (nx, ny) = face.a, face.normal
    return (x - hole[0]) * nx + (y - hole[1]) * ny
