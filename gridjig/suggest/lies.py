"""Where the work may lie: as it does, or at the places that need the least packing."""

from msgspec import Struct, structs

from gridjig.edits.weldment import put
from gridjig.model import Job
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.places import weldment_places
from gridjig.units.progress import Progress

from .values import Wishes

MOST = 4
"""How many places are considered, besides the one where the work lies."""


class Lie(Struct, frozen=True, eq=False):
    """A job with its work at a place: moved by `shift` mm after a turn, degrees."""

    job: Job
    shift: tuple[float, float] = (0.0, 0.0)
    turn: float = 0.0


def lies(job: Job, wishes: Wishes, progress: Progress) -> list[Lie]:
    """Return the places to consider, the most promising first."""
    bare = job if wishes.keep else structs.replace(job, placements=())
    here = Lie(bare)
    if wishes.keep or not wishes.move or len(job.weldments) > 1:
        return [here]
    try:
        found = weldment_places(bare, flips=False, top=MOST, progress=progress)
    except LayoutFault:
        return [here]
    made = [
        Lie(put(bare, one), (one.dx, one.dy), one.turn) for one in found.found if one.over <= 0.0
    ]
    still = [one for one in made if abs(one.turn) < 1e-9 and max(map(abs, one.shift)) < 1e-6]
    now = (found.now.over > 0.0, found.now.packed, found.now.blocked)
    best = found.found[0]
    if still:
        return made
    if now <= (False, best.packed, best.blocked):  # nothing is gained by moving it
        return [here, *made]
    return [*made, here]
