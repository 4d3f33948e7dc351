"""Edits of the order in which parts are loaded, and of what the shop reckons clamps with."""

from collections.abc import Sequence

from msgspec import structs

from gridjig.model import Job
from gridjig.model.by_weldment import parts_of, weldment_of

from .lookup import with_weldment


def set_loading_order(job: Job, weldment: str, order: Sequence[str]) -> Job:
    """Choose the order of loading; without any part, the proposed order is taken again.

    Ids that are no parts of the weldment are left out.  Raises KeyError if there is no such
    weldment.
    """
    here = {part.id for part in parts_of(job, weldment)}
    chosen = tuple(dict.fromkeys(part for part in order if part in here))
    return with_weldment(job, structs.replace(weldment_of(job, weldment), loading=chosen))


def set_clamp_force(job: Job, newtons: float) -> Job:
    """Set the force that each clamp presses with, N."""
    return structs.replace(job, holding=structs.replace(job.holding, clamp_force=newtons))


def set_friction(job: Job, friction: float) -> Job:
    """Set the coefficient of friction between the work, the pieces and the table."""
    return structs.replace(job, holding=structs.replace(job.holding, friction=friction))
