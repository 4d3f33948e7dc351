"""Typed values of a placement: it takes them, or the answer says what the holes allow instead.

A typed value is never silently rounded to what fits: if it is not possible, the answer says so and
offers the nearest, for the person to accept.
"""

from msgspec import Struct, structs

from gridjig.geometry import wrap
from gridjig.model import Hole, Job, Placement, Seat
from gridjig.model.labels import address
from gridjig.solve.mounting.track import apart
from gridjig.solve.placed.face_distance import NEAR_MM, face_distance, slide_of_face
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import TURN_OFF, solve_placement
from gridjig.solve.poses.attainable import AttainablePose, TakenHoles
from gridjig.solve.poses.choose import (
    NearestPlacement,
    first_seat,
    nearest_leaf,
    nearest_turn,
    settled,
)
from gridjig.solve.poses.faults import NearestOnly
from gridjig.solve.poses.hole_poses import hole_poses
from gridjig.units import format_angle, format_length
from gridjig.words.placing_text import placing_text

from .lookup import placement_of, with_placement
from .placements import set_pose, set_seats
from .selection import shift


class TypedResult(Struct, frozen=True):
    """The result of a typed value: `job` if it is possible as typed; otherwise `says` why not.

    `offer` is then the job with the nearest possible value, and `nearest` that value in words.
    `told` says what the piece is set to in `job` or `offer`, and its holes if its pins moved.
    `other` offers the other way round, a half turn on, where that comes closer to what was typed;
    it has no `offer` if the piece stands so already.
    """

    job: Job | None = None
    says: str = ""
    offer: Job | None = None
    nearest: str = ""
    told: str = ""
    other: "TypedResult | None" = None


def type_turn(job: Job, thing_id: str, degrees: float, taken: TakenHoles) -> TypedResult:
    """Turn a placement to an angle on the table, degrees; its second hole may change.

    An arm's face lies along the same line a half turn on; where only that comes near to what was
    typed, the answer says so and offers both.
    """
    placement = placement_of(job, thing_id)
    found = nearest_turn(job.table, job.rack, placement, wrap(degrees), taken)
    if isinstance(found.why, NearestOnly):  # told as it was typed: 217, not -143
        found = structs.replace(found, why=structs.replace(found.why, wanted=degrees))
    answer = _answer(job, placement, found, "Turned to", format_angle(found.placement.turn))
    if not isinstance(found.why, NearestOnly):
        return answer
    back = wrap(degrees + 180.0)
    other = nearest_turn(job.table, job.rack, placement, back, taken)
    if apart(other.placement.turn, back) >= apart(found.placement.turn, degrees) - TURN_OFF:
        return answer
    turn = format_angle(other.placement.turn)
    if other.placement == placement:
        offer, holes = TypedResult(), "as it stands"
    else:
        offer = _answer(job, placement, other, "Turned to", turn)
        holes = pinned_words(job, other.placement)
    says = f"{answer.says} The other way round, {turn}, {holes}, is closer."
    return structs.replace(answer, says=says, other=offer)


def type_leaf(job: Job, thing_id: str, degrees: float, taken: TakenHoles) -> TypedResult:
    """Open an arm's second body to an angle from its base, in degrees."""
    placement = placement_of(job, thing_id)
    found = nearest_leaf(job.table, job.rack, placement, degrees, taken)
    return _answer(job, placement, found, "Opened to", format_angle(found.placement.leaf))


def _answer(
    job: Job, old: Placement, found: NearestPlacement, verb: str, nearest: str
) -> TypedResult:
    changed = with_placement(job, found.placement)
    if found.placement.seats == old.seats:
        told, pins = f"{verb} {nearest}.", ""
    else:
        pins = pinned_words(job, found.placement)
        told = f"{verb} {nearest}, now {pins}."
    if found.why is None:
        return TypedResult(changed, told=told)
    says = placing_text(found.why, job.table, job.display)
    if found.placement == old:
        so = ", as it stands." if isinstance(found.why, NearestOnly) else "."
        return TypedResult(says=f"{says.removesuffix('.')}{so}")
    says = f"{says.removesuffix('.')}, {pins}." if pins else says
    return TypedResult(says=says, offer=changed, nearest=nearest, told=told)


def pinned_words(job: Job, placement: Placement) -> str:
    """The holes that a placement is pinned in: "pinned in C4 + D7"."""
    return "pinned in " + " + ".join(address(job.table, seat.hole) for seat in placement.seats)


def type_reach(job: Job, there: PlacedPiece, mm: float) -> TypedResult:
    """Set the reach of a clamp, mm."""
    tip = there.piece.tip if there.piece else None
    if tip is None:
        return TypedResult(says="This piece has no reach to set.")
    near = min(max(mm, tip.reach_min), tip.reach_max)
    made = set_pose(job, there.placement.id, reach=near)
    if abs(near - mm) <= NEAR_MM:
        return TypedResult(made)
    ends = (tip.reach_min, tip.reach_max)
    wanted, nearest, low, high = (format_length(v, job.display) for v in (mm, near, *ends))
    says = f"It does not reach {wanted}; it reaches from {low} to {high}."
    return TypedResult(None, says, made, nearest)


def type_face_distance(job: Job, there: PlacedPiece, mm: float) -> TypedResult:
    """Slide a placement so that its face is that far from the hole, mm."""
    found = face_distance(job, there)
    if found is None:
        return TypedResult(says="This piece is held by its pins; it does not slide.")
    near = min(max(mm, found.low), found.high)
    slide = slide_of_face(job, there, near)
    made = set_pose(job, there.placement.id, slide=slide)
    if abs(near - mm) <= NEAR_MM:
        return TypedResult(made)
    wanted, nearest = format_length(mm, job.display), format_length(near, job.display)
    low, high = format_length(found.low, job.display), format_length(found.high, job.display)
    return TypedResult(
        None,
        f"The face cannot be {wanted} from the hole; it can be {low} to {high}.",
        made,
        nearest,
    )


def type_hole(job: Job, thing_id: str, index: int, hole: Hole) -> TypedResult:
    """Move the seat of that index to a hole; the first seat moves the whole piece."""
    placement = placement_of(job, thing_id)
    seat = placement.seats[index]
    if index == 0:
        moved = shift(job, {thing_id}, hole.col - seat.hole.col, hole.row - seat.hole.row)
    else:
        seats = list(placement.seats)
        seats[index] = Seat(seat.feature, hole)
        moved = set_seats(job, thing_id, tuple(seats))
    there = solve_placement(job.table, job.rack, placement_of(moved, thing_id))
    if there.fault is not None:
        return TypedResult(says=placing_text(there.fault, job.table, job.display))
    return TypedResult(moved)


class TurnChoice(Struct, frozen=True):
    """A turn that a placement can have about its first hole, and the holes for it."""

    turn: float
    holes: str
    pose: AttainablePose


def turn_choices(job: Job, thing_id: str, taken: TakenHoles) -> tuple[TurnChoice, ...]:
    """The separate turns that a placement can have about its first hole, sorted; none if it turns
    freely.

    Each pair of holes is a turn of its own, whichever feature goes into the first hole.  Of equal
    turns, the one in the present holes comes first, then the one with the longest base.
    """
    placement = placement_of(job, thing_id)
    piece = job.rack.piece(placement.piece)
    hole = first_seat(placement, piece).hole
    held = set(placement.seats)
    found: dict[tuple[float, frozenset[Hole]], AttainablePose] = {}
    for one in hole_poses(job.table, job.rack, piece, hole, placement.flipped, taken):
        spot = one.pose
        if spot.low < spot.high:
            continue
        key = (round(wrap(spot.low), 3), frozenset(s.hole for s in spot.seats))
        if key not in found or _better(spot, found[key], held):
            found[key] = spot
    ranked = sorted(
        found.items(),
        key=lambda f: (f[0][0], not held.issuperset(f[1].seats), -f[1].base, sorted(f[0][1])),
    )
    return tuple(
        TurnChoice(spot.low, " + ".join(address(job.table, s.hole) for s in spot.seats), spot)
        for _, spot in ranked
    )


def _better(one: AttainablePose, other: AttainablePose, held: set[Seat]) -> bool:
    return (held.issuperset(one.seats), one.base) > (held.issuperset(other.seats), other.base)


def take_turn_choice(job: Job, thing_id: str, choice: TurnChoice, taken: TakenHoles) -> Job:
    """The placement in the holes of that choice, with the turn and slide attained there."""
    placement = placement_of(job, thing_id)
    made = settled(job.table, job.rack, placement, choice.pose, choice.turn, placement.slide, taken)
    return with_placement(job, made)
