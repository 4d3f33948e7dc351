"""Extra pins: one more pin in a further hole of a piece that lies over a table hole, or one fewer.

Two pins hold a square; a third in its other leg takes load off the first two.
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
"""How many pins hold a piece; any more can be taken out again."""


def further(job: Job, there: PlacedPiece, taken: Set[Hole]) -> tuple[Seat, ...]:
    """Further seats in which the piece could be pinned as it stands.

    `taken` are the holes of other pieces.
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
        made = solve_placement(table, job.rack, pinned)
        if made.fault is None and apart(made.turn, there.turn) < TURN_OFF:
            found.append(seat)
    return tuple(found)


def pin_in(job: Job, thing_id: str, seats: tuple[Seat, ...], seat: Seat) -> Job:
    """Pin the piece in one more hole."""
    return set_seats(job, thing_id, (*seats, seat))


def pull_last(job: Job, thing_id: str, seats: tuple[Seat, ...]) -> Job:
    """Take out the last pin of a piece.  Raises ValueError if it needs all its pins."""
    if len(seats) <= NEEDED:
        raise ValueError(f"a piece needs {NEEDED} pins, and this one has no more than that")
    return set_seats(job, thing_id, seats[:-1])
