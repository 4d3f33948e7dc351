"""What the user asks the angle finder, as one value, and what the job adds to it.

A pane fills it in; this module turns it into the finder's input.
"""

import math
from collections.abc import Sequence

from msgspec import Struct, structs

from gridjig.checks.needs import needs
from gridjig.geometry.lines import line_angle
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Display, FaceOf, Hole, Job, Member, Part, Table
from gridjig.rack import Point
from gridjig.solve.angles.answers import AlongFace, AngleLimits, PinSide
from gridjig.solve.angles.faults import AngleFault, AskedWrong, JointsTakeFace
from gridjig.solve.angles.wanted import (
    Origin,
    Share,
    WantedLine,
    as_edge,
    between_faces,
    read_wanted,
)
from gridjig.solve.weldment.datum import CLEAR
from gridjig.solve.weldment.faces import Stretch, WorkFace, faces
from gridjig.units import INCH, Unit

COMMON_LEG: dict[bool, float] = {True: 1000.0, False: 36 * INCH}
"""The default leg for stating errors if no part sets one, mm: metric or not."""

ON_A_JOB = AngleLimits(only_left=True)
"""The default limits for a job, whose rack can run out."""

KEEP_OFF: dict[bool, float] = {True: CLEAR, False: INCH}
"""The default clearance of pins from joints, mm: metric or not.  Common practice, no source."""


class FaceRoom(Struct, frozen=True):
    """A face to put pins along, from `a` to `b`, and what its welds leave free of it; mm.

    `stretches`, counted from `a`, lie clear of its `joints` by `clear`.  It lies at the heights
    `z_low` to `z_high`.  The member's opposite long face is `width` behind it (0: there is none),
    and `beyond` are the stretches of that face, measured from `a` in the same direction.
    """

    a: Point
    b: Point
    stretches: tuple[Stretch, ...]
    joints: int
    clear: float
    z_low: float = -math.inf
    z_high: float = math.inf
    width: float = 0.0
    beyond: tuple[Stretch, ...] = ()


def face_room(
    parts: Sequence[Part], of: FaceOf | None, a: Point, b: Point, clear: float
) -> FaceRoom:
    """Return the room along a side of a part, which ran from `a` to `b` when it was picked.

    If it is not a straight face of a part, it is taken to have no joints.
    """
    every = faces(parts)
    face = next((face for face in every if face.of == of), None)
    if face is None:
        return FaceRoom(a, b, ((0.0, math.dist(a, b)),), 0, clear)
    joints = len({one.joint for one in face.taken})
    room = FaceRoom(face.a, face.b, face.room(clear), joints, clear, face.z_low, face.z_high)
    far = _opposite(parts, every, face)
    if far is None:
        return room
    (ax, ay), ux, uy = face.a, -face.normal[1], face.normal[0]
    width = (ax - far.a[0]) * face.normal[0] + (ay - far.a[1]) * face.normal[1]
    start = (far.a[0] - ax) * ux + (far.a[1] - ay) * uy  # the other face runs back
    beyond = tuple((start - high, start - low) for low, high in reversed(far.room(clear)))
    return structs.replace(room, width=width, beyond=beyond) if beyond else room


def _opposite(parts: Sequence[Part], every: Sequence[WorkFace], face: WorkFace) -> WorkFace | None:
    """The other long face of a member; None for a plate and for a cut end."""
    part = next(part for part in parts if part.id == face.of.part)
    if not isinstance(part, Member) or face.of.side not in part.mill_edges:
        return None
    right, left = part.mill_edges
    side = left if face.of.side == right else right
    return next((one for one in every if one.of == FaceOf(part.id, side)), None)


class AngleQuestion(Struct, frozen=True, kw_only=True):
    """An angle and the limits for its answers; directions in degrees on the table.

    The angle is the typed `text`, or a picked `edge`, or the second of two picked `faces`.
    See `AngleLimitsForm` for the meaning, range and default of each limit.
    """

    text: str = ""
    edge: float | None = None
    faces: tuple[float, float] | None = None
    origin: Origin = "table x"
    face: float = 0.0
    share: Share = "whole"
    complement: bool = False
    mirror: bool = False
    limits: AngleLimits = AngleLimits()

    def wanted(self, unit: Unit) -> WantedLine:
        """Return the wanted line.  Raise AngleFault, field "wanted", if the text is no angle."""
        if self.faces is not None:
            return between_faces(*self.faces, self.share, self.complement, self.mirror)
        if self.edge is not None:
            return as_edge(self.edge, self.share, self.complement, self.mirror)
        return read_wanted(
            self.text,
            origin=self.origin,
            face=self.face,
            share=self.share,
            complement=self.complement,
            mirror=self.mirror,
            unit=unit,
        )

    def limits_on(self, job: Job, near: Point | None = None) -> AngleLimits:
        """Return the limits on a job, with its taken holes and used pieces excluded."""
        return structs.replace(
            self.limits,
            taken=taken_holes(job),
            used=used_pieces(job),
            near=near,
            display=job.display,
        )


def limits_entered(
    display: Display,
    *,
    leg: float | None = None,
    shorter_leg: float | None = None,
    base_from: float | None = None,
    base_to: float | None = None,
    within_leg: bool = False,
) -> AngleLimits:
    """Return limits from entered lengths in mm; None for one left blank.

    A blank leg is the usual one, a blank shorter leg the same as the leg; a blank base has no limit
    (or the leg, with `within_leg`).  Raise AngleFault if they cannot be met.
    """
    in_force = usual_leg(display) if leg is None else leg
    low, high = bases_within(in_force if within_leg else math.inf, base_from, base_to)
    return AngleLimits(
        base_from=low,
        base_to=high,
        leg=in_force,
        shorter_leg=0.0 if shorter_leg is None else shorter_leg,
        display=display,
    )


def usual_leg(display: Display) -> float:
    """Return the default leg for stating errors, mm."""
    return COMMON_LEG[display.unit == "millimetres"]


def taken_holes(job: Job) -> frozenset[Hole]:
    """Return every hole taken by a piece on the table."""
    return frozenset(seat.hole for p in job.placements for seat in p.seats)


def used_pieces(job: Job) -> tuple[tuple[str, int], ...]:
    """Return how many of each piece the job takes from the rack, by piece id."""
    return tuple((piece, need.count) for piece, need in needs(job).items())


def leg_of(part: Part) -> float:
    """Return the length of a member to its long points, or the longest edge of a plate; mm."""
    if isinstance(part, Member):
        return part.long_point
    ring = part_ring(part)
    return max(math.dist(ring[i - 1], ring[i]) for i in range(len(ring)))


def middle_of(part: Part) -> Point:
    """Return the middle of a part's bounding box on the table, mm."""
    x1, y1, x2, y2 = bounds(part_ring(part))
    return ((x1 + x2) / 2, (y1 + y2) / 2)


def bases_within(longest: float, low: float | None, high: float | None) -> tuple[float, float]:
    """Return the shortest and the longest base, mm; None for `high` becomes `longest`.

    `longest` is the leg, as pins beyond its end do not hold a member.
    """
    least = low or 0.0
    return (least, max(longest, least) if high is None else high)


def region_round(table: Table, points: Sequence[Point]) -> tuple[Point, ...]:
    """Return the region within a pitch of the points' bounding box.  Raise AngleFault if none."""
    if not points:
        raise AngleFault("region", AskedWrong("nothing selected"))
    x1, y1, x2, y2 = bounds(points)
    pitch = max(table.pitch_x, table.pitch_y)
    return box_region((x1 - pitch, y1 - pitch), (x2 + pitch, y2 + pitch))


def along_room(job: Job, room: FaceRoom, side: PinSide, most: float | None) -> AlongFace:
    """Return pins along the free rest of a face, up to `most` mm from it (default: 1.5 pitches).

    Raise AngleFault if its joints leave nothing.
    """
    if not room.stretches:
        raise AngleFault("clear", JointsTakeFace(room.clear))
    far = 1.5 * max(job.table.pitch_x, job.table.pitch_y) if most is None else most
    return AlongFace(
        room.a,
        room.b,
        side,
        0.0,
        far,
        room.stretches,
        room.z_low,
        room.z_high,
        room.width,
        room.beyond,
    )


def hold_face(job: Job, of: FaceOf, limits: AngleLimits, leg: float | None = None) -> AngleQuestion:
    """Return the question for holding one face: its direction, the pins along it, and the leg, mm
    (default: the length of its part).

    Bases are no longer than the face.  Raise AngleFault if it is not a straight face, or if its
    joints leave nothing of it.
    """
    metric = job.display.unit == "millimetres"
    face = next((face for face in faces(job.parts) if face.of == of), None)
    if face is None:
        raise AngleFault("along", AskedWrong("not a straight face"))
    room = face_room(job.parts, of, face.a, face.b, KEEP_OFF[metric])
    part = next(part for part in job.parts if part.id == of.part)
    return AngleQuestion(
        edge=line_angle(face.a, face.b),
        limits=structs.replace(
            limits,
            along=along_room(job, room, "right", None),
            leg=leg_of(part) if leg is None else leg,
            base_to=min(limits.base_to, max(face.length, limits.base_from)),
        ),
    )


def box_region(a: Point, b: Point) -> tuple[Point, ...]:
    """Return the box between two points as a region."""
    return ((a[0], a[1]), (b[0], a[1]), (b[0], b[1]), (a[0], b[1]))
