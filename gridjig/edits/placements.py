"""Edits of single placements: placing one, and setting its choices."""

import math

from msgspec import structs

from gridjig.model import Job, Placement, Seat
from gridjig.rack import Piece

from .lookup import all_ids, placement_of, with_placement


def place(job: Job, placement: Placement) -> Job:
    """Put a piece on the table.

    Raises ValueError if the id is taken, or the rack lacks the piece or one of its features.
    """
    if placement.id in all_ids(job):
        raise ValueError(f"{placement.id} is on the table already; a new piece needs its own id")
    _require_known(job, placement)
    return structs.replace(job, placements=(*job.placements, placement))


def set_seats(job: Job, thing_id: str, seats: tuple[Seat, ...]) -> Job:
    """Pin a placement with these features in these holes."""
    changed = structs.replace(placement_of(job, thing_id), seats=seats)
    _require_known(job, changed)
    return with_placement(job, changed)


def set_pose(
    job: Job,
    thing_id: str,
    *,
    turn: float | None = None,
    slide: float | None = None,
    leaf: float | None = None,
    reach: float | None = None,
) -> Job:
    """Set the turn, slide, leaf or reach of a placement; None leaves it as it is.

    Angles in degrees, lengths in mm, as in `Placement`; whole turns are dropped from an angle
    of more than one.
    """
    old = placement_of(job, thing_id)
    return with_placement(
        job,
        structs.replace(
            old,
            turn=old.turn if turn is None else _less_whole_turns(turn),
            slide=old.slide if slide is None else slide,
            leaf=old.leaf if leaf is None else _less_whole_turns(leaf),
            reach=old.reach if reach is None else reach,
        ),
    )


def _less_whole_turns(degrees: float) -> float:
    """The same direction within a full turn; what is within one stays as it is."""
    return degrees if abs(degrees) <= 360.0 else math.fmod(degrees, 360.0)


def flip(job: Job, thing_id: str) -> Job:
    """Turn a placement over in its holes."""
    old = placement_of(job, thing_id)
    return with_placement(job, structs.replace(old, flipped=not old.flipped))


def rename(job: Job, thing_id: str, name: str) -> Job:
    """Name a placement; an empty name removes it."""
    return with_placement(job, structs.replace(placement_of(job, thing_id), name=name.strip()))


def set_note(job: Job, thing_id: str, note: str) -> Job:
    """Set the note of a placement."""
    return with_placement(job, structs.replace(placement_of(job, thing_id), note=note))


def set_clamped_by_hand(job: Job, thing_id: str, on: bool) -> Job:
    """Say whether the shop clamps a placement where its pins leave it free, and trusts that."""
    return with_placement(job, structs.replace(placement_of(job, thing_id), clamped_by_hand=on))


def set_accepted_gap(job: Job, thing_id: str, gap: float) -> Job:
    """Accept that a gap of at most so many mm stays open in front of a placement; 0: no gap."""
    return with_placement(job, structs.replace(placement_of(job, thing_id), accepted_gap=gap))


def set_force(job: Job, thing_id: str, newtons: float) -> Job:
    """Set what a clamp presses with, N; 0: as its piece, or else the shop, says."""
    return with_placement(job, structs.replace(placement_of(job, thing_id), force=newtons))


def set_lift(job: Job, thing_id: str, lift: tuple[str, ...]) -> Job:
    """Set the risers and shims below a placement, bottom first.

    Raises ValueError if the rack does not have one.
    """
    changed = structs.replace(placement_of(job, thing_id), lift=lift)
    _require_known(job, changed)
    return with_placement(job, changed)


def set_packing(job: Job, thing_id: str, packing: tuple[str, ...]) -> Job:
    """Set the shims in front of a placement's face.  Raises ValueError if one is unknown."""
    changed = structs.replace(placement_of(job, thing_id), packing=packing)
    _require_known(job, changed)
    return with_placement(job, changed)


def _require_known(job: Job, placement: Placement) -> None:
    piece = _known(job, placement.piece)
    for other in (*placement.lift, *placement.packing):
        _known(job, other)
    features = {m.id for m in piece.mounts}
    for seat in placement.seats:
        if seat.feature not in features:
            raise ValueError(f"{piece.name} has no hole or slot {seat.feature} to pin")


def _known(job: Job, piece_id: str) -> Piece:
    piece = job.rack.find(piece_id)
    if piece is None:
        raise ValueError(f"the rack has no piece {piece_id}; add it to the rack first")
    return piece
