"""A piece that would stand in something is slid out of it, where its slot lets it.

Who turns a stop towards the work wants it there; how far out it stands is set after that.
"""

from collections.abc import Mapping

from msgspec import structs

from gridjig.edits.things import with_placement
from gridjig.model import Job, Placement
from gridjig.solve.stand import stand
from gridjig.solve.stood import Stand

from .refusals import first_refusal


def freed(job: Job, stands: Mapping[str, Stand], changed: Placement) -> Placement | None:
    """The same at the nearer end of its slot where nothing is in its way; None if there is none.

    `job` and `stands` are from before the change.
    """
    there = stand(job.table, job.rack, changed, job.display)
    way = there.way
    if there.fault is not None or way is None or not way.slides:
        return None
    ends = sorted((way.slide_low, way.slide_high), key=lambda slide: abs(slide - there.slide))
    for slide in ends:
        slid = structs.replace(changed, turn=there.turn, slide=slide)
        if first_refusal(job, stands, with_placement(job, slid), {changed.id}) is None:
            return slid
    return None
