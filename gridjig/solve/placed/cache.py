"""A cache of a job's placed pieces: editing one placement solves one placement."""

from collections.abc import Mapping
from types import MappingProxyType

from gridjig.model import Hole, Job, Placement
from gridjig.model.changes import exchanged, renamed

from .placed_piece import PlacedPiece
from .solver import solve_placement


class PlacedPieces:
    """Keeps the placed pieces of the last job, and solves only placements that differ.

    A placement that is the same object on the same table and rack keeps the same PlacedPiece.  Not
    thread-safe.
    """

    def __init__(self) -> None:
        self._job: Job | None = None
        self._held: dict[str, PlacedPiece] = {}
        self._shown: Mapping[str, PlacedPiece] = MappingProxyType(self._held)

    def of(self, job: Job) -> Mapping[str, PlacedPiece]:
        """The placed pieces by placement id; the same job gives the same mapping."""
        last = self._job
        if last is job:
            return self._shown
        if last is None or last.table is not job.table or last.rack is not job.rack:
            held = {p.id: _placed_piece(job, p) for p in job.placements}
        else:
            held = self._exchanged(last, job)
        self._job = job
        if held is not self._held:
            self._held, self._shown = held, MappingProxyType(held)
        return self._shown

    def _exchanged(self, last: Job, job: Job) -> dict[str, PlacedPiece]:
        """For as many placements as before: those at the same index are mostly the same object."""
        old, new = last.placements, job.placements
        changed = exchanged(old, new)
        if changed is None or renamed(old, new, changed):
            return self._sorted_out(job)
        if not changed:
            return self._held
        held = self._held.copy()
        for k in changed:
            held[new[k].id] = _placed_piece(job, new[k])
        return held

    def _sorted_out(self, job: Job) -> dict[str, PlacedPiece]:
        """For placements added, removed or reordered."""
        held: dict[str, PlacedPiece] = {}
        for p in job.placements:
            kept = self._held.get(p.id)
            keep = kept is not None and kept.placement is p
            held[p.id] = kept if kept is not None and keep else _placed_piece(job, p)
        return held


def _placed_piece(job: Job, placement: Placement) -> PlacedPiece:
    return solve_placement(job.table, job.rack, placement)


def holes_besides(placed_pieces: Mapping[str, PlacedPiece], *ids: str) -> frozenset[Hole]:
    """The holes taken by all placements except these."""
    return frozenset(h for i, s in placed_pieces.items() if i not in ids for h in s.holes)
