"""The stands of a whole job, kept: an edit of one placement works out one stand."""

from collections.abc import Mapping
from types import MappingProxyType

from gridjig.model import Hole, Job, Placement
from gridjig.model.changes import exchanged, renamed

from .placed_piece import PlacedPiece
from .solver import solve_placement


class PlacedPieces:
    """Keeps the stands of the job last asked for, and works out anew only what differs.

    A placement that is the same object on the same table and rack keeps its Stand, the same object.
    Not for use from two threads at once.
    """

    def __init__(self) -> None:
        self._job: Job | None = None
        self._held: dict[str, PlacedPiece] = {}
        self._shown: Mapping[str, PlacedPiece] = MappingProxyType(self._held)

    def of(self, job: Job) -> Mapping[str, PlacedPiece]:
        """The stands by the id of their placement; the same job gives the same mapping."""
        last = self._job
        if last is job:
            return self._shown
        if last is None or last.table is not job.table or last.rack is not job.rack:
            held = {p.id: _stand(job, p) for p in job.placements}
        else:
            held = self._exchanged(last, job)
        self._job = job
        if held is not self._held:
            self._held, self._shown = held, MappingProxyType(held)
        return self._shown

    def _exchanged(self, last: Job, job: Job) -> dict[str, PlacedPiece]:
        """As many placements as before: those at the same place are most often the same object."""
        old, new = last.placements, job.placements
        changed = exchanged(old, new)
        if changed is None or last.display != job.display or renamed(old, new, changed):
            return self._sorted_out(last, job)
        if not changed:
            return self._held
        held = self._held.copy()
        for k in changed:
            held[new[k].id] = _stand(job, new[k])
        return held

    def _sorted_out(self, last: Job, job: Job) -> dict[str, PlacedPiece]:
        """Placements came, went or changed their order; or lengths are to be worded otherwise."""
        same = last.display == job.display
        held: dict[str, PlacedPiece] = {}
        for p in job.placements:
            kept = self._held.get(p.id)
            # a fault is a sentence, which may spell lengths in the job's display
            keep = kept is not None and kept.placement is p and (same or kept.fault is None)
            held[p.id] = kept if kept is not None and keep else _stand(job, p)
        return held


def _stand(job: Job, placement: Placement) -> PlacedPiece:
    return solve_placement(job.table, job.rack, placement, job.display)


def holes_besides(placed_pieces: Mapping[str, PlacedPiece], *ids: str) -> frozenset[Hole]:
    """Holes in which placements other than these stand."""
    return frozenset(h for i, s in placed_pieces.items() if i not in ids for h in s.holes)
