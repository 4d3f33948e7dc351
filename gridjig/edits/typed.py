"""Typed values of one placement: go there, or say what is nearest of what the holes allow.

A typed value is never rounded to what fits without a word: the answer holds either the job or the
nearest value, to be taken by a second deed.
"""

from dataclasses import dataclass

from gridjig.geometry import wrap
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.rack import Point
from gridjig.solve import Stand, stand
from gridjig.units import format_angle, format_length

from .placements import set_pose, set_seats
from .selection import shift
from .things import placement_of

_NEAR_DEG = 0.005
_NEAR_MM = 0.005


@dataclass(frozen=True, slots=True)
class Typed:
    """What a typed value led to: `job` if it can be had; else `says` why not.

    `nearest` is the value that can be had instead (degrees or mm), None if there is none.
    """

    job: Job | None
    says: str = ""
    nearest: float | None = None


def type_turn(job: Job, thing_id: str, degrees: float) -> Typed:
    """Turn a placement to an angle of the table, in degrees."""
    wanted = wrap(degrees)
    there = _stood(job, set_pose(job, thing_id, turn=wanted), thing_id)
    if there.fault is not None:
        return Typed(None, there.fault)
    if abs(wrap(there.turn - wanted)) > _NEAR_DEG:
        near = format_angle(there.turn)
        return Typed(
            None,
            f"These holes do not allow {format_angle(wanted)}; the nearest is {near}.",
            there.turn,
        )
    return Typed(set_pose(job, thing_id, turn=wanted, slide=there.slide))


def take_turn(job: Job, thing_id: str, degrees: float) -> Job:
    """Turn a placement to the nearest that its holes allow."""
    there = _stood(job, set_pose(job, thing_id, turn=wrap(degrees)), thing_id)
    return set_pose(job, thing_id, turn=there.turn, slide=there.slide)


def type_leaf(job: Job, thing_id: str, degrees: float) -> Typed:
    """Open an arm's second body to an angle from its base, in degrees."""
    there = _stood(job, set_pose(job, thing_id, leaf=degrees), thing_id)
    if there.fault is not None:
        return Typed(None, there.fault)
    if abs(there.leaf - degrees) > _NEAR_DEG:
        near = format_angle(there.leaf)
        return Typed(
            None,
            f"The arm does not open to {format_angle(degrees)}; the nearest is {near}.",
            there.leaf,
        )
    return Typed(set_pose(job, thing_id, leaf=degrees))


def type_reach(job: Job, thing_id: str, mm: float) -> Typed:
    """Set a clamp's reach, in mm."""
    there = _stood(job, set_pose(job, thing_id, reach=mm), thing_id)
    if abs(there.reach - mm) > _NEAR_MM:
        near = format_length(there.reach, job.display)
        return Typed(
            None,
            f"The clamp does not reach {format_length(mm, job.display)}; the nearest is {near}.",
            there.reach,
        )
    return Typed(set_pose(job, thing_id, reach=mm))


@dataclass(frozen=True, slots=True)
class FaceDistance:
    """Distance from the first pinned hole to the piece's first face, now and at most and least."""

    now: float
    low: float
    high: float


def face_distance(job: Job, there: Stand) -> FaceDistance | None:
    """How far the face stands from the hole, mm, and how far it can; None without face or slot."""
    now = _face_from_hole(job, there)
    way = there.way
    if now is None or way is None or way.slide_low == way.slide_high:
        return None
    ends = [_face_at(job, there.placement, slide) for slide in (way.slide_low, way.slide_high)]
    if None in ends or ends[0] == ends[1]:
        return None
    low, high = sorted(e for e in ends if e is not None)
    return FaceDistance(now, low, high)


def type_face_distance(job: Job, there: Stand, mm: float) -> Typed:
    """Slide a placement so that its face stands that far from the hole, in mm."""
    found = face_distance(job, there)
    way = there.way
    if found is None or way is None:
        return Typed(None, "This piece does not slide in its holes.")
    if not found.low - _NEAR_MM <= mm <= found.high + _NEAR_MM:
        near = min(max(mm, found.low), found.high)
        return Typed(
            None,
            f"The slot does not let the face stand {format_length(mm, job.display)} from the hole;"
            f" it goes from {format_length(found.low, job.display)} to"
            f" {format_length(found.high, job.display)}.",
            near,
        )
    at_low = _face_at(job, there.placement, way.slide_low)
    assert at_low is not None
    # A face moves as far as its piece slides, at a constant rate along a straight slot.
    rising = abs(at_low - found.low) < abs(at_low - found.high)
    part = (mm - found.low) / (found.high - found.low)
    span = way.slide_high - way.slide_low
    slide = way.slide_low + span * (part if rising else 1 - part)
    return Typed(
        set_pose(job, there.placement.id, slide=min(max(slide, way.slide_low), way.slide_high))
    )


def type_hole(job: Job, thing_id: str, index: int, hole: Hole) -> Typed:
    """Put a placement's seat of that index in a hole: the first takes the whole piece along."""
    placement = placement_of(job, thing_id)
    seat = placement.seats[index]
    if index == 0:
        moved = shift(job, {thing_id}, hole.col - seat.hole.col, hole.row - seat.hole.row)
    else:
        seats = list(placement.seats)
        seats[index] = Seat(seat.feature, hole)
        moved = set_seats(job, thing_id, tuple(seats))
    there = _stood(job, moved, thing_id)
    return Typed(None, there.fault) if there.fault is not None else Typed(moved)


def _stood(job: Job, changed: Job, thing_id: str) -> Stand:
    return stand(job.table, job.rack, placement_of(changed, thing_id))


def _face_at(job: Job, placement: Placement, slide: float) -> float | None:
    probe = set_pose(job, placement.id, slide=slide)
    return _face_from_hole(job, _stood(job, probe, placement.id))


def _face_from_hole(job: Job, there: Stand) -> float | None:
    if not there.faces or not there.holes:
        return None
    return _along(job.table.at(there.holes[0]), there.faces[0].a, there.faces[0].normal)


def _along(hole: Point, on_face: Point, normal: Point) -> float:
    return (on_face[0] - hole[0]) * normal[0] + (on_face[1] - hole[1]) * normal[1]
