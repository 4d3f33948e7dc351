"""A piece that would stand in something takes its other pins, or slides out of it.

Who turns a stop towards the work wants it there; how far out it stands is set after that.
"""

from collections.abc import Iterator, Mapping

from msgspec import structs

from gridjig.edits.things import with_placement
from gridjig.model import Job, Placement
from gridjig.solve.click import nearest_turn
from gridjig.solve.stand import stand
from gridjig.solve.stands import holes_besides
from gridjig.solve.stood import Stand

from .refusals import first_refusal


def freed(job: Job, stands: Mapping[str, Stand], changed: Placement) -> Placement | None:
    """The same way round and about the same hole, where nothing is in its way; None if nowhere.

    `job` and `stands` are from before the change.
    """
    for one in _tries(job, stands, changed):
        if first_refusal(job, stands, with_placement(job, one), {changed.id}) is None:
            return one
    return None


def _tries(job: Job, stands: Mapping[str, Stand], changed: Placement) -> Iterator[Placement]:
    """What is as far out as it was comes first."""
    other = _other_pins(job, stands, changed)
    if other is not None:
        yield other
    yield from _ends(job, changed)
    if other is not None:
        yield from _ends(job, other)


def _other_pins(job: Job, stands: Mapping[str, Stand], changed: Placement) -> Placement | None:
    there = stand(job.table, job.rack, changed, job.display)
    if there.fault is not None:
        return None
    taken = holes_besides(stands, changed.id) | set(there.holes[1:])
    wish = nearest_turn(job.table, job.rack, changed, there.turn, taken)
    return None if wish.why else wish.placement


def _ends(job: Job, placement: Placement) -> Iterator[Placement]:
    """Slid to either end of its slot, the nearer first."""
    there = stand(job.table, job.rack, placement, job.display)
    way = there.way
    if there.fault is None and way is not None and way.slides:
        ends = (way.slide_low, way.slide_high)
        for slide in sorted(ends, key=lambda end: abs(end - there.slide)):
            yield structs.replace(placement, turn=there.turn, slide=slide)
