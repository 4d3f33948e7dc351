"""Edits of what a job says for its papers: the title block, the order of tacks and welds."""

from collections.abc import Iterable
from typing import Literal

from msgspec import structs

from gridjig.model import Job, JointOf, TitleBlock
from gridjig.model.by_weldment import parts_of
from gridjig.units.limits import require_within

Turn = Literal["tacks", "welds"]


def set_title_block(job: Job, block: TitleBlock) -> Job:
    """Set the title block of the job's papers."""
    return job if block == job.title_block else structs.replace(job, title_block=block)


def set_title_field(job: Job, field: str, value: str) -> Job:
    """Set one field of the title block.  Raises LimitError for one that is too long."""
    if getattr(job.title_block, field) == value:
        return job
    block = structs.replace(job.title_block, **{field: value.strip()})
    require_within(block)
    return set_title_block(job, block)


def set_order(job: Job, turn: Turn, weldment: str, order: Iterable[JointOf]) -> Job:
    """Set the order of the tacks or welds of one weldment; the orders of others stay."""
    mine = {part.id for part in parts_of(job, weldment)}
    others = [one for one in getattr(job.weld_plan, turn) if one.a not in mine]
    plan = structs.replace(job.weld_plan, **{turn: (*others, *order)})
    return job if plan == job.weld_plan else structs.replace(job, weld_plan=plan)


def clear_order(job: Job, turn: Turn, weldment: str) -> Job:
    """Go back to the proposed order of the tacks or welds of one weldment."""
    return set_order(job, turn, weldment, ())
