"""What a piece is set against: the job, its other pieces, and the packing left on the rack."""

from collections.abc import Mapping
from typing import NamedTuple

from gridjig.checks.conflicts import Obstacle, obstacle
from gridjig.checks.needs import needs
from gridjig.model import Job, Placement
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement


class Ground(NamedTuple):
    """A job without the piece `moving`; `used` counts the shims used elsewhere.

    `without` are the ids that are ignored as obstacles, including its own.
    """

    job: Job
    placed_pieces: Mapping[str, PlacedPiece]
    without: frozenset[str]
    used: Mapping[str, int]

    def stood(self, placement: Placement) -> PlacedPiece:
        """Return the placed piece of a placement."""
        return solve_placement(self.job.table, self.job.rack, placement)

    def in_the_way(self, placement: Placement) -> Obstacle | None:
        """Return what is in the way by the conflict relation; None if it can be there."""
        there = self.stood(placement)
        return obstacle(self.job, self.placed_pieces, there, self.without)

    @property
    def most(self) -> float:
        """The thickest packing that is worth it, mm: with more, the next hole is nearer."""
        return max(self.job.table.pitch_x, self.job.table.pitch_y) - 1.0


def ground(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], moving: Placement | None = None
) -> Ground:
    """Return the ground for a new piece, or for one in the job that is to be set again."""
    used = {piece: need.count for piece, need in needs(job).items()}
    if moving is not None:
        for loose in (*moving.lift, *moving.packing):
            used[loose] -= 1
    without = frozenset() if moving is None else frozenset([moving.id])
    return Ground(job, placed_pieces, without, used)
