"""Why a changed job is refused, in words: the conflict relation applied to what moved."""

from collections.abc import Mapping, Set

from gridjig.checks.conflicts import refusal
from gridjig.model import Job
from gridjig.solve.placed.placed_piece import PlacedPiece


def first_refusal(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Job, ids: Set[str]
) -> str | None:
    """Return the first reason why one of `ids` cannot be where it is in `changed`, or None.

    `job` and `placed_pieces` are from before the change; things that move along are ignored.
    """
    found = first_refused(job, placed_pieces, changed, ids)
    return found[1] if found is not None else None


def first_refused(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Job, ids: Set[str]
) -> tuple[str, str] | None:
    """Like `first_refusal`, but with the id of the thing refused first."""
    if changed is job:
        return None
    moving = frozenset(ids)
    for placement in changed.placements:
        if placement.id in moving:
            why = refusal(job, placed_pieces, placement, ignoring=moving)
            if why is not None:
                return placement.id, why
    return None


def newly_refused(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Job, ids: Set[str]
) -> str | None:
    """Like `first_refusal`, but a thing that is already refused where it is may go anywhere.

    A piece that clashes is often put right one typed number at a time.
    """
    moving = frozenset(ids)
    for placement in job.placements:
        if (
            placement.id in moving
            and refusal(job, placed_pieces, placement, ignoring=moving) is not None
        ):
            return None
    return first_refusal(job, placed_pieces, changed, ids)
