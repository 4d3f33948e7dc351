"""Why a changed job is refused, in words: the one conflict relation, asked for what moved."""

from collections.abc import Mapping, Set

from gridjig.checks.conflicts import refusal
from gridjig.model import Job
from gridjig.solve.stood import Stand


def first_refusal(job: Job, stands: Mapping[str, Stand], changed: Job, ids: Set[str]) -> str | None:
    """The first reason why one of `ids`, as it stands in `changed`, cannot be there; else None.

    `job` and `stands` are from before the change; what moves along is left out of the question.
    """
    if changed is job:
        return None
    moving = frozenset(ids)
    for placement in changed.placements:
        if placement.id in moving:
            why = refusal(job, stands, placement, ignoring=moving)
            if why is not None:
                return why
    return None
