"""What the person asks the angle finder, as one value, and what the job adds to it.

A pane fills it in; here it becomes the finder's input.
"""

import math
from collections.abc import Sequence

from msgspec import Struct, structs

from gridjig.checks.needs import needs
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Display, FaceOf, Hole, Job, Member, Part, Table
from gridjig.rack import Point
from gridjig.solve.angles.answers import AlongFace, AngleLimits, PinSide
from gridjig.solve.angles.wanted import (
    AngleFault,
    Origin,
    Share,
    WantedLine,
    as_edge,
    between_faces,
    read_wanted,
)
from gridjig.solve.weldment.datum import CLEAR
from gridjig.solve.weldment.faces import Stretch, faces
from gridjig.units import INCH, Unit, format_length

COMMON_LEG: dict[bool, float] = {True: 1000.0, False: 36 * INCH}
"""The default leg that errors are given for if no part sets another, mm: metric or not."""

ON_A_JOB = AngleLimits(only_left=True)
"""The default limits on a job: a job has its own rack, which can run out."""

KEEP_OFF: dict[bool, float] = {True: CLEAR, False: INCH}
"""The default clearance of pins from joints, mm: metric or not.  Common practice, no source."""


class FaceRoom(Struct, frozen=True):
    """A face to put pins along, from `a` to `b`, and what its welds leave of it; mm.

    `stretches`, measured from `a`, are clear of its `joints` by `clear`.
    """

    a: Point
    b: Point
    stretches: tuple[Stretch, ...]
    joints: int
    clear: float


def face_room(
    parts: Sequence[Part], of: FaceOf | None, a: Point, b: Point, clear: float
) -> FaceRoom:
    """The room along a side of a part, which ran from `a` to `b` when it was picked.

    If it is not a straight face of a part, it counts as having no joints.
    """
    face = next((face for face in faces(parts) if face.of == of), None)
    if face is None:
        return FaceRoom(a, b, ((0.0, math.dist(a, b)),), 0, clear)
    joints = len({one.joint for one in face.taken})
    return FaceRoom(face.a, face.b, face.room(clear), joints, clear)


class AngleQuestion(Struct, frozen=True, kw_only=True):
    """An angle and the limits for its answers; directions in degrees on the table.

    The angle is the typed `text`, or a picked `edge`, or the second of two picked `faces`.
    `AngleLimitsForm` has the meaning, range and default of each limit.
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
        """The wanted line.  Raises AngleFault, field "wanted", if the text is not an angle."""
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
        """The limits on a job: its taken holes and used pieces are excluded."""
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
    """Limits from entered lengths in mm; None for one left open.

    An open leg is the usual one, an open shorter leg the same as the leg; an open base has no limit
    (or the leg, with `within_leg`).  Raises AngleFault.
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
    """The default leg that errors are given for, mm."""
    return COMMON_LEG[display.unit == "millimetres"]


def taken_holes(job: Job) -> frozenset[Hole]:
    """Every hole taken by a piece on the table."""
    return frozenset(seat.hole for p in job.placements for seat in p.seats)


def used_pieces(job: Job) -> tuple[tuple[str, int], ...]:
    """How many of each piece the job takes from the rack, by piece id."""
    return tuple((piece, need.count) for piece, need in needs(job).items())


def leg_of(part: Part) -> float:
    """The length of a member to its long point, or the longest edge of a plate; mm."""
    if isinstance(part, Member):
        return part.long_point
    ring = part_ring(part)
    return max(math.dist(ring[i - 1], ring[i]) for i in range(len(ring)))


def middle_of(part: Part) -> Point:
    """The middle of a part's bounding box on the table, mm."""
    x1, y1, x2, y2 = bounds(part_ring(part))
    return ((x1 + x2) / 2, (y1 + y2) / 2)


def bases_within(longest: float, low: float | None, high: float | None) -> tuple[float, float]:
    """The shortest and the longest base, mm; an open (None) `high` becomes `longest`.

    `longest` is the leg, as pins beyond its end do not hold a member.
    """
    least = low or 0.0
    return (least, max(longest, least) if high is None else high)


def region_round(table: Table, points: Sequence[Point]) -> tuple[Point, ...]:
    """The region within a pitch of the bounding box of points.  Raises AngleFault if none."""
    if not points:
        raise AngleFault("region", "Nothing is selected; select what the holes should be near.")
    x1, y1, x2, y2 = bounds(points)
    pitch = max(table.pitch_x, table.pitch_y)
    return box_region((x1 - pitch, y1 - pitch), (x2 + pitch, y2 + pitch))


def along_room(job: Job, room: FaceRoom, side: PinSide, most: float | None) -> AlongFace:
    """Pins along what is left of a face, up to `most` mm from it (default: a pitch and a half).

    Raises AngleFault if its joints leave nothing.
    """
    if not room.stretches:
        clear = format_length(room.clear, job.display)
        raise AngleFault(
            "clear", f"{clear} off its joints leaves nothing of the face; type a shorter length."
        )
    far = 1.5 * max(job.table.pitch_x, job.table.pitch_y) if most is None else most
    return AlongFace(room.a, room.b, side, 0.0, far, room.stretches)


def box_region(a: Point, b: Point) -> tuple[Point, ...]:
    """The box between two points as a region."""
    return ((a[0], a[1]), (b[0], a[1]), (b[0], b[1]), (a[0], b[1]))
