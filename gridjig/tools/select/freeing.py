"""A piece that would clash is pinned by other features, or slides clear.

Anyone who turns a stop towards the work wants it there; how far out it stands is set later.
"""

from collections.abc import Iterator, Mapping

from msgspec import structs

from gridjig.edits.lookup import with_placement
from gridjig.model import Job, Placement
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.poses.choose import nearest_turn
from gridjig.tools.core.refusals import first_refusal


def freed(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Placement
) -> Placement | None:
    """Return a clear placement with the same turn about the same hole; None if there is none.

    `job` and `placed_pieces` are from before the change.
    """
    for one in _tries(job, placed_pieces, changed):
        if first_refusal(job, placed_pieces, with_placement(job, one), {changed.id}) is None:
            return one
    return None


def _tries(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Placement
) -> Iterator[Placement]:
    """Yield candidates; those as far out as before come first."""
    other = _other_pins(job, placed_pieces, changed)
    if other is not None:
        yield other
    yield from _ends(job, changed)
    if other is not None:
        yield from _ends(job, other)


def _other_pins(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], changed: Placement
) -> Placement | None:
    there = solve_placement(job.table, job.rack, changed)
    if there.fault is not None:
        return None
    taken = holes_besides(placed_pieces, changed.id) | set(there.holes[1:])
    wish = nearest_turn(job.table, job.rack, changed, there.turn, taken)
    return None if wish.why else wish.placement


def _ends(job: Job, placement: Placement) -> Iterator[Placement]:
    """Yield the placement slid to either end of its slot, the nearer end first."""
    there = solve_placement(job.table, job.rack, placement)
    way = there.way
    if there.fault is None and way is not None and way.slides:
        ends = (way.slide_low, way.slide_high)
        for slide in sorted(ends, key=lambda end: abs(end - there.slide)):
            yield structs.replace(placement, turn=there.turn, slide=slide)
