"""Why a changed job is refused, in words: the one conflict relation, asked for what moved."""

from collections.abc import Mapping, Set

from gridjig.checks.conflicts import refusal
from gridjig.model import Job
from gridjig.solve.placed.placed_piece import PlacedPiece


def first_refusal(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Job, ids: Set[str]
) -> str | None:
    """The first reason why one of `ids`, as it stands in `changed`, cannot be there; else None.

    `job` and `stands` are from before the change; what moves along is left out of the question.
    """
    found = first_refused(job, placed_pieces, changed, ids)
    return found[1] if found is not None else None


def first_refused(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Job, ids: Set[str]
) -> tuple[str, str] | None:
    """As `first_refusal`, with the id of the one that cannot be there first."""
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
    """As `first_refusal`, but what cannot stay where it is may go anywhere.

    A piece that stands badly is put right one typed number after the other.
    """
    moving = frozenset(ids)
    for placement in job.placements:
        if (
            placement.id in moving
            and refusal(job, placed_pieces, placement, ignoring=moving) is not None
        ):
            return None
    return first_refusal(job, placed_pieces, changed, ids)
