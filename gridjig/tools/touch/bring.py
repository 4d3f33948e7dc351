"""Bringing a piece on the table to a face, in its own holes, and keeping it there."""

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

from gridjig.contact.book import contacts
from gridjig.contact.setting import Touching
from gridjig.contact.touching import to_touch
from gridjig.model import Job, Placement
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.solve.mounting.track import apart
from gridjig.solve.mounting.ways import Way
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import TURN_OFF
from gridjig.solve.poses.attainable import AttainablePose
from gridjig.words.placing_text import placing_text
from gridjig.words.touching_text import touching_text

from .chances import chances, reach_of
from .faces import UprightFace, faces_alike, upright_faces
from .ground import Ground
from .tries import Try, tries


class Touched(Struct, frozen=True):
    """What a piece does before it is moved: the faces it touches, the parts it presses.

    "left open": there is a face in front of it that it does not touch, so the gap may be intended;
    "alone": there is nothing in front of it.
    """

    what: Literal["touching", "left open", "alone"]
    faces: tuple[tuple[str, int], ...] = ()
    parts: frozenset[str] = frozenset()


def touched(job: Job, there: PlacedPiece) -> Touched:
    """Return what a piece touches where it stands."""
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
) -> list[UprightFace]:
    """Return the faces about a piece: those it touched, then those it looks at, nearest first."""
    if there.piece is None:
        return []
    at = ground.job.table.at(there.holes[0])
    found = upright_faces(ground.job.parts).near(at, reach_of(there.piece) + reach)
    eye, look = _eye(there)

    def rank(face: UprightFace) -> tuple[object, ...]:
        held = (face.part, face.side) in first.faces or face.part in first.parts
        facing = look is None or look[0] * face.normal[0] + look[1] * face.normal[1] < -0.5
        return (not held, not facing, round(face.distance(eye), 6), face.part, face.side)

    ranked = sorted(found, key=rank)
    if there.tip is None or there.tip.push == "along":
        return ranked
    parts: dict[str, UprightFace] = {}
    for face in ranked:
        parts.setdefault(face.part, face)
    return list(parts.values())


def _eye(there: PlacedPiece) -> tuple[Point, Point | None]:
    """Return the point a piece looks out from, and its direction; None if it looks all round."""
    if there.faces:
        face = there.faces[0]
        (ax, ay), (bx, by) = face.a, face.b
        return ((ax + bx) / 2.0, (ay + by) / 2.0), face.normal
    if there.tip is not None:
        return there.tip.at, None
    if there.rounds:
        return there.rounds[0].centre, None
    return (there.poses[0].x, there.poses[0].y), None


def brought(ground: Ground, placement: Placement, faces: Sequence[UprightFace], most: float) -> Try:
    """Return the best setting of a piece in its holes, at the first face it can reach.

    If there is none, `why` says why not at the first face tried.
    """
    there = ground.stood(placement)
    if there.fault is not None:
        job = ground.job
        return Try(placement, why=placing_text(there.fault, job.table, job.display))
    if there.piece is None or there.way is None:
        return Try(placement, why="It does not fit in its holes.")
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
                reason = one.why or _missed(ground, one.touching)
    if not reason and faces:
        reason = _missed(ground, to_touch(ground.job, placement, faces[0].of, ground.used))
    return Try(placement, why=reason or "No face of the weldment is within reach from its holes.")


def _missed(ground: Ground, touching: Touching | None) -> str:
    """Why a setting does not touch, in a sentence; "" if it does."""
    if touching is None or touching.why is None:
        return ""
    return touching_text(touching.why, ground.job)


def _may(ground: Ground, there: PlacedPiece, face: UprightFace, most: float) -> bool:
    """False if no way that its pins leave can bring the piece to a face."""
    piece = there.piece
    assert piece is not None
    alone = faces_alike([face])
    return any(
        True
        for way in there.ways
        for _ in chances(ground.job.table, piece, _pose_of(way), alone, most, there.z)
    )


def _pose_of(way: Way) -> AttainablePose:
    return AttainablePose(
        way.seats,
        way.flipped,
        way.turn_low,
        way.turn_high,
        way.slide_low,
        way.slide_high,
        way.play_deg,
        0.0,
    )


def to_the_face(ground: Ground, placement: Placement) -> Try:
    """Bring a piece to the face it touches or looks at, however much packing that takes."""
    there = ground.stood(placement)
    first = touched(ground.job, there)
    faces = faces_before(ground, there, first, ground.most)
    return brought(ground, placement, faces, math.inf)


def kept(ground: Ground, first: Touched, moved: Placement) -> Try | None:
    """Make a piece moved to other holes touch again; None if it stays as moved.

    A piece that had a gap is set as asked, unless it does not fit there.
    """
    there = ground.stood(moved)
    if there.fault is not None:
        return None
    if first.what == "left open" and ground.in_the_way(moved) is None:
        return None
    one = brought(ground, moved, faces_before(ground, there, first, ground.most), ground.most)
    return None if one.why else one


def touching_settings(ground: Ground, placement: Placement) -> tuple[Try, ...]:
    """Return every setting of a piece in its own holes, packing unchanged, that touches a face."""
    there = ground.stood(placement)
    if there.piece is None or there.fault is not None or presses_down(there):
        return ()
    faces = faces_before(ground, there, Touched("alone"), 0.0)
    packed = tuple(sorted(placement.packing))
    return tuple(
        one
        for near, face in enumerate(faces)
        if _may(ground, there, face, ground.most)
        for one in tries(ground, placement, face, near)
        if one.touches and not one.why and tuple(sorted(one.placement.packing)) == packed
    )


def presses_down(there: PlacedPiece) -> bool:
    """True for a clamp that presses down."""
    return there.tip is not None and there.tip.push == "down"


def nearest_touching(
    ground: Ground, settings: Sequence[Try], bent: Placement, within: float
) -> Try | None:
    """Return the touching setting that a dragged piece snaps to; None if it does not snap."""
    there = ground.stood(bent)
    if presses_down(there):
        return _pressed_near(ground, there, within)
    far = [
        (_apart(there, one.placement), one) for one in settings if one.placement.seats == bent.seats
    ]
    if not far:
        return None
    least, one = min(far, key=lambda f: f[0])
    if least <= within or ground.in_the_way(bent) is not None:
        return one
    return None


def _pressed_near(ground: Ground, there: PlacedPiece, within: float) -> Try | None:
    """A clamp in its present direction, reaching to the middle of the part near its tip."""
    bent = there.placement
    for face in faces_before(ground, there, Touched("alone"), 0.0)[:1]:
        for one in tries(ground, bent, face, 0):
            same = apart(one.placement.turn, there.turn) <= TURN_OFF
            if same and one.touches and not one.why:
                near = abs(one.placement.reach - there.reach) <= within
                return one if near else None
    return None


def _apart(there: PlacedPiece, to: Placement) -> float:
    """Roughly how far the farthest point of a piece moves between two settings, mm."""
    pose = there.poses[0]
    points = [p for solid in there.solids if solid.role != "handle" for p in solid.points]
    radius = max((math.dist(p, (pose.x, pose.y)) for p in points), default=0.0)
    turned = math.radians(apart(there.turn, to.turn) + abs(there.leaf - to.leaf)) * radius
    return turned + abs(there.slide - to.slide) + abs(there.reach - to.reach)
