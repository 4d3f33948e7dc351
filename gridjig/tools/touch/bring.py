"""Bringing a piece that stands on the table to a face, in its own holes; and keeping it there."""

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from gridjig.contact.book import contacts
from gridjig.model import Job, Placement
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.poses.attainable import AttainablePose

from .chances import chances, reach_of
from .faces import WorkFace, work_faces
from .ground import Ground
from .tries import Try, tries


class Touched(Struct, frozen=True):
    """What a piece does before it is moved: the faces that it touches, the parts it presses.

    "left open": a face lies before it that it does not touch, so that somebody may have wanted the
    gap; "alone": nothing lies before it.
    """

    what: Literal["touching", "left open", "alone"]
    faces: tuple[tuple[str, int], ...] = ()
    parts: frozenset[str] = frozenset()


def touched(job: Job, there: PlacedPiece) -> Touched:
    """What a piece touches where it stands."""
    if there.fault is not None or not job.parts:
        return Touched("alone")
    found = contacts(job, {there.placement.id: there}).pieces[there.placement.id]
    faces = tuple(
        (c.part, c.face.number)
        for c in found.touching
        if c.face.kind == "side" and c.kind not in ("rest under", "pad on top")
    )
    parts = frozenset(c.part for c in found.touching if c.kind == "pad on top")
    if faces or parts:
        return Touched("touching", faces, parts)
    near = [c for c in found.contacts if c.means != "overlap" and c.kind != "rest under"]
    return Touched("left open" if near else "alone")


def faces_before(
    ground: Ground, there: PlacedPiece, first: Touched, reach: float
) -> list[WorkFace]:
    """The faces about a piece: those it touched before, those it looks at, the nearest first."""
    if there.piece is None:
        return []
    at = ground.job.table.at(there.holes[0])
    found = work_faces(ground.job.parts).near(at, reach_of(there.piece) + reach)
    eye, look = _eye(there)

    def rank(face: WorkFace) -> tuple[object, ...]:
        held = (face.part, face.side) in first.faces or face.part in first.parts
        facing = look is None or look[0] * face.normal[0] + look[1] * face.normal[1] < -0.5
        return (not held, not facing, round(face.distance(eye), 6), face.part, face.side)

    ranked = sorted(found, key=rank)
    if there.tip is None or there.tip.push == "along":
        return ranked
    parts: dict[str, WorkFace] = {}
    for face in ranked:
        parts.setdefault(face.part, face)
    return list(parts.values())


def _eye(there: PlacedPiece) -> tuple[Point, Point | None]:
    """Where a piece looks out of, and which way; None for one that looks all round."""
    if there.faces:
        face = there.faces[0]
        (ax, ay), (bx, by) = face.a, face.b
        return ((ax + bx) / 2.0, (ay + by) / 2.0), face.normal
    if there.tip is not None:
        return there.tip.at, None
    if there.rounds:
        return there.rounds[0].centre, None
    return (there.poses[0].x, there.poses[0].y), None


def brought(ground: Ground, placement: Placement, faces: Sequence[WorkFace], most: float) -> Try:
    """The best setting of a piece in its holes: at the first face that it can come to.

    It has `why` where there is none; the reason is about the first face that was tried.
    """
    there = ground.stood(placement)
    if there.piece is None or there.way is None or there.fault is not None:
        return Try(placement, why=there.fault or "It does not stand in its holes.")
    name = title(ground.job, placement.id) if ground.job.find(placement.id) else there.piece.name
    if not (there.faces or there.rounds or there.tip):
        return Try(placement, why=f"{name} has no face, round or tip that could touch the work.")
    reason = ""
    for near, face in enumerate(faces):
        if not _may(ground, there, face, most):
            continue
        for one in tries(ground, placement, face, near, most):
            if not one.why and (one.touches or one.packed):
                return one
            if not reason:
                reason = one.why or (one.touching.why if one.touching is not None else "")
    return Try(placement, why=reason or "No face of the weldment lies where its holes let it go.")


def _may(ground: Ground, there: PlacedPiece, face: WorkFace, most: float) -> bool:
    """False if no way of the piece's pins can bring it to a face."""
    piece, seat = there.piece, there.placement.seats[0]
    assert piece is not None
    feature = piece.mount(seat.feature)
    if feature.body:
        return True
    at = ground.job.table.at(seat.hole)
    return any(
        True
        for way in there.ways
        for _ in chances(
            piece,
            feature,
            AttainablePose(
                way.seats, way.flipped, way.turn_low, way.turn_high,
                way.slide_low, way.slide_high, way.play_deg, 0.0,
            ),
            at,
            [face],
            most,
            there.z,
        )
    )  # fmt: skip


def to_the_face(ground: Ground, placement: Placement) -> Try:
    """A piece brought to the face that it touches or looks at, however much packing that takes."""
    there = ground.stood(placement)
    first = touched(ground.job, there)
    faces = faces_before(ground, there, first, ground.most)
    return brought(ground, placement, faces, math.inf)


def kept(ground: Ground, first: Touched, moved: Placement) -> Placement:
    """A piece that was moved to other holes or otherwise set, touching again if it can.

    One that left a gap is set as asked, unless it cannot stand so.
    """
    if first.what == "left open" and ground.in_the_way(moved) is None:
        return moved
    there = ground.stood(moved)
    if there.fault is not None:
        return moved
    faces = faces_before(ground, there, first, ground.most)
    one = brought(ground, moved, faces, ground.most)
    return moved if one.why else one.placement
