"""A pin more than a piece needs, in a further hole that lies over one of the table, and out again.

Two pins hold a square; a third one in its other leg takes what the first two would have to bear.
"""

from collections.abc import Set

from msgspec import structs

from gridjig.model import Hole, Job, Seat
from gridjig.rack import RoundHole
from gridjig.solve.mounting.track import apart
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import TURN_OFF, solve_placement

from .placements import set_seats

NEEDED = 2
"""So many pins hold a piece; what has more of them may be had without the last."""


def further(job: Job, there: PlacedPiece, taken: Set[Hole]) -> tuple[Seat, ...]:
    """Seats in which the piece could be pinned besides, standing just as it does.

    `taken` are the holes that other pieces stand in.
    """
    if there.piece is None or there.fault is not None or not there.poses:
        return ()
    placement, table = there.placement, job.table
    used = {seat.feature for seat in placement.seats}
    found: list[Seat] = []
    for mount in there.piece.mounts:
        if not isinstance(mount, RoundHole) or mount.body or mount.id in used:
            continue
        seat = Seat(mount.id, table.nearest(*there.poses[0].point(mount.at)))
        if not table.has(seat.hole) or seat.hole in taken:
            continue
        pinned = structs.replace(
            placement, seats=(*placement.seats, seat), turn=there.turn, slide=there.slide
        )
        made = solve_placement(table, job.rack, pinned, job.display)
        if made.fault is None and apart(made.turn, there.turn) < TURN_OFF:
            found.append(seat)
    return tuple(found)


def pin_in(job: Job, thing_id: str, seats: tuple[Seat, ...], seat: Seat) -> Job:
    """The piece pinned in one more hole."""
    return set_seats(job, thing_id, (*seats, seat))


def pull_last(job: Job, thing_id: str, seats: tuple[Seat, ...]) -> Job:
    """The piece without its last pin.  Raises ValueError if it needs all that it has."""
    if len(seats) <= NEEDED:
        raise ValueError(f"{NEEDED} pins hold a piece; it has no more than those")
    return set_seats(job, thing_id, seats[:-1])
