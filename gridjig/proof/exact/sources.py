"""The errors of one placed piece: play of its pins, the holes, a slide set by tape, a scale, shims.

The play is the mount kernel's.  Each pin may lie anywhere in a disc; the piece goes where its pins
let it (least squares if they disagree).  What its pins leave free to slide is set by tape; what
they leave free to turn turns onto the work, so that a face holds at one point, straight in front of
the pin.
"""

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from gridjig.contact.values import Contact
from gridjig.geometry import Pose
from gridjig.model import Job
from gridjig.proof.statics.rows import Floats
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.mounting.fit import Seating, prepare
from gridjig.solve.placed.placed_piece import PlacedPiece

from .spread import ErrorSource, Sources

_LEAST = 1e-9


class PieceErrors(NamedTuple):
    """What moves the two bodies of a piece (the second one only of an arm), 3 x width each.

    `turns_about` is the pin that it turns about freely, None if its angle is held.  `faces` are the
    columns of the errors of its features themselves; `shims` is that of its packing, which is in
    front of the feature `packs`.
    """

    sources: Sources
    bodies: tuple[Floats, Floats]
    of_feature: Mapping[str, int]
    faces: Mapping[str, int]
    turns_about: Point | None
    shims: int | None
    packs: str


def hole_error(job: Job) -> float:
    """How far a hole may be off, mm: by the table, or else the shop's value."""
    return job.table.hole_tolerance or job.accuracy.hole


def piece_errors(job: Job, placed: PlacedPiece) -> PieceErrors | None:
    """The errors of a placed piece; None if it cannot stand."""
    piece, way = placed.piece, placed.way
    if placed.fault is not None or piece is None or way is None:
        return None
    accuracy = job.accuracy
    base = placed.poses[0]
    on_leaf = {mount.id for mount in piece.mounts if mount.body}
    seats = tuple(s for s in placed.placement.seats if s.feature not in on_leaf)
    ready = prepare(job.table, piece, seats, job.rack.pin_diameter(piece), base.flipped)
    assert isinstance(ready, list)  # it stands, so its pins go in
    own = placed.placement.id
    moves = dict(_base(own, base, ready, hole_error(job)))
    free = way.kind in ("turns", "slides and turns")
    if way.kind in ("slides", "slides and turns"):
        moves[ErrorSource(f"{own}/slide", 1, accuracy.setting)] = _sliding(base, ready, free)
    on_scale = _on_scale(job, own, placed)
    first = piece.faces[0].id if piece.faces else piece.rounds[0].id if piece.rounds else ""
    of_feature = {face.id: face.body for face in piece.faces}
    of_feature.update((body.id, body.body) for body in piece.rounds)
    names = [*of_feature, "packing"] if accuracy.face > 0.0 else []
    faces = {name: ErrorSource(f"{own}/{name}/face", 1, accuracy.face) for name in names}
    count = len(placed.placement.packing)
    shims = ErrorSource(f"{own}/shims", 1, accuracy.shim, count) if count else None
    sources = Sources([*moves, *on_scale, *faces.values(), *([shims] if shims is not None else [])])
    body = np.zeros((3, sources.width))
    for source, columns in moves.items():
        body[:, sources.at[source] : sources.at[source] + source.size] = columns
    leaf = body.copy()
    for source, columns in on_scale.items():
        leaf[:, sources.at[source] : sources.at[source] + source.size] = columns
    return PieceErrors(
        sources,
        (body, leaf),
        of_feature,
        {name: sources.at[source] for name, source in faces.items()},
        (ready[0].x, ready[0].y) if free else None,
        sources.at[shims] if shims is not None else None,
        first,
    )


def _on_scale(job: Job, own: str, placed: PlacedPiece) -> dict[ErrorSource, Floats]:
    """The error of the angle of a second body: of its scale, or of the pin that locks it."""
    piece, base = placed.piece, placed.poses[0]
    if piece is None or piece.pivot is None:
        return {}
    x, y = base.point(piece.pivot.at)
    limit = math.radians(placed.leaf_play)
    if placed.leaf_hole is not None:
        far = math.dist((x, y), job.table.at(placed.leaf_hole))
        limit += hole_error(job) / max(far, 1.0)
    return {ErrorSource(f"{own}/leaf", 1, limit): np.array([[y], [-x], [1.0]])}


def _base(
    own: str, base: Pose, ready: list[Seating], hole: float
) -> list[tuple[ErrorSource, Floats]]:
    """What play and holes do to the base: the pseudo-inverse of what its pins hold."""
    x0, y0 = ready[0].x, ready[0].y
    scale = max([math.dist((x0, y0), (s.x, s.y)) for s in ready[1:]], default=0.0) or 1.0
    rows: list[tuple[float, float, float]] = []
    which: list[tuple[int, Point]] = []
    for k, seating in enumerate(ready):
        for nx, ny in _held(base, seating):
            dx, dy = seating.x - x0, seating.y - y0
            rows.append((nx, ny, (dx * ny - dy * nx) / scale))
            which.append((k, (nx, ny)))
    back = np.linalg.pinv(np.array(rows), rcond=1e-9)
    back[2] /= scale
    # About the table's zero, where everything else is reckoned.
    back[0] += back[2] * y0
    back[1] -= back[2] * x0
    found = []
    for k, seating in enumerate(ready):
        normals = np.zeros((len(rows), 2))
        for i, (of, normal) in enumerate(which):
            if of == k:
                normals[i] = normal
        effect = back @ normals
        name = f"{own}/{seating.seat.feature}/{k}"
        if seating.play > 0.0:
            found.append((ErrorSource(f"{name}/play", 2, seating.play), effect))
        if hole > 0.0:
            found.append((ErrorSource(f"{name}/hole", 2, hole), effect))
    return found


def _held(base: Pose, seating: Seating) -> list[Point]:
    """The directions in which a pin holds the piece: both, or only across its slot."""
    along = _along(base, seating)
    if along is None:
        return [(1.0, 0.0), (0.0, 1.0)]
    return [(-along[1], along[0])]


def _along(base: Pose, seating: Seating) -> Point | None:
    """The direction of the slot where its pin is, on the table; None for a round hole."""
    track = seating.track
    if track.kind == "point":
        return None
    # Tracks are mirrored already, so that the pose is taken without its flip.
    frame = Pose(base.x, base.y, base.turn)
    t = track.nearest(*frame.back((seating.x, seating.y)))
    a, b = track.at(max(t - 1e-3, 0.0)), track.at(min(t + 1e-3, track.length))
    (ax, ay), (bx, by) = frame.point(a), frame.point(b)
    length = math.hypot(bx - ax, by - ay)
    return ((bx - ax) / length, (by - ay) / length)


def _sliding(base: Pose, ready: list[Seating], turns: bool) -> Floats:
    """The motion that its slots leave, 1 mm at the first pin."""
    along = _along(base, ready[0])
    if turns or len(ready) == 1:
        assert along is not None
        return np.array([[along[0]], [along[1]], [0.0]])
    rows = []
    x0, y0 = ready[0].x, ready[0].y
    for seating in ready:
        dx, dy = seating.x - x0, seating.y - y0
        rows += [(nx, ny, dx * ny - dy * nx) for nx, ny in _held(base, seating)]
    motion = np.linalg.svd(np.array(rows))[2][-1]
    motion = motion / max(float(np.hypot(motion[0], motion[1])), _LEAST)
    return np.array([[motion[0] + motion[2] * y0], [motion[1] - motion[2] * x0], [motion[2]]])


def holds_at(errors: PieceErrors, contact: Contact) -> tuple[Point, ...]:
    """The points at which a contact holds: both ends of a common length, or the foot of the pin."""
    if errors.turns_about is None or len(contact.points) < 2:
        return contact.points
    (ax, ay), (bx, by) = contact.points
    px, py = errors.turns_about
    square = (bx - ax) ** 2 + (by - ay) ** 2
    t = ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / square if square else 0.0
    t = min(max(t, 0.0), 1.0)
    return ((ax + t * (bx - ax), ay + t * (by - ay)),)


def pushes_of(errors: PieceErrors, contact: Contact) -> tuple[tuple[Point, ...], Floats]:
    """The points at which a contact holds, and how far each source pushes the part there."""
    return _pushes_of(Same(errors), Same(contact))


@lru_cache(maxsize=8192)  # the same contact counts for its part and for its weldment
def _pushes_of(
    errors: Same[PieceErrors], contact: Same[Contact]
) -> tuple[tuple[Point, ...], Floats]:
    points = holds_at(errors.value, contact.value)
    return points, pushed(errors.value, contact.value, points)


def pushed(errors: PieceErrors, contact: Contact, points: Sequence[Point]) -> Floats:
    """How far each source pushes the part at each point of a contact, along the push: n x width."""
    nx, ny = -contact.normal[0], -contact.normal[1]
    rows = np.array([(nx, ny, x * ny - y * nx) for x, y in points])
    found: Floats = rows @ errors.bodies[errors.of_feature.get(contact.feature, 0)]
    face = errors.faces.get(contact.feature)
    if face is not None:
        found[:, face] += 1.0
    if errors.shims is not None and contact.feature in (errors.packs, "packing"):
        found[:, errors.shims] += 1.0
    return found


def room(contact: Contact) -> ErrorSource | None:
    """The room of a pin in a hole of the work, where both walls are contacts; None elsewhere."""
    if contact.kind != "round in hole" or contact.gap <= 0.0:
        return None
    return ErrorSource(f"{contact.piece}/{contact.part}/{contact.face.label}/room", 1, contact.gap)
