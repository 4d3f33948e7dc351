"""Stacks of shims: every total thickness the rack can make, each with the fewest pieces."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from gridjig.solve.grid.directions import FloatArray, IntArray
from gridjig.units.progress import look

MICROMETRE = 1e-3
MOST = 50_000
"""The most stacks held at once, fewer with more than 20 kinds: about 5 s and 100 MB."""

_LOOK = 1000  # stacks between two checks
_Stack = tuple[int, float, tuple[int, ...]]  # pieces, total, how many of each kind


class Stacks(Struct, frozen=True, eq=False):
    """All totals (mm, ascending) that can be stacked, and which shims make each.

    `counts[i, k]` is how many of the k-th kind are in stack i; `pieces[i]` is its piece count.
    """

    total: FloatArray
    pieces: IntArray
    counts: IntArray

    def at_most(self, pieces: int) -> IntArray:
        """Indices of the stacks with at most that many pieces, by ascending total."""
        return np.flatnonzero(self.pieces <= pieces)


def stacks(
    kinds: Sequence[tuple[float, int]],
    at_most: int,
    thickest: float,
) -> Stacks:
    """Stacks of at most `at_most` pieces and `thickest` mm from kinds (thickness in mm, count).

    A bounded knapsack, kind by kind, that keeps the fewest pieces for each total (resolved to a
    micrometre), so nothing is left out.  If that gives more than MOST stacks, which takes dozens of
    odd thicknesses, totals are resolved to ten micrometres, to a hundred, and so on.
    """
    grain, most = MICROMETRE, min(MOST, MOST * 20 // max(len(kinds), 1))
    found: dict[int, _Stack] = {0: (0, 0.0, ())}
    for thickness, owned in kinds:
        grown: dict[int, _Stack] = {}
        for number, (pieces, total, counts) in enumerate(found.values()):
            if number % _LOOK == 0:
                look()
            for more in range(min(owned, at_most - pieces) + 1):
                sum_ = total + more * thickness
                if sum_ > thickest + MICROMETRE / 2:
                    break
                at = round(sum_ / grain)
                if at not in grown or pieces + more < grown[at][0]:
                    grown[at] = (pieces + more, sum_, (*counts, more))
            while len(grown) > most:
                grain *= 10.0
                grown = _coarser(grown, grain)
        found = grown
    listed = sorted(found.items())
    return Stacks(
        np.array([total for _, (_, total, _) in listed]),
        np.array([pieces for _, (pieces, _, _) in listed], dtype=np.int64),
        np.array([counts for _, (_, _, counts) in listed], dtype=np.int64).reshape(
            len(listed), len(kinds)
        ),
    )


def _coarser(stacks_: dict[int, _Stack], grain: float) -> dict[int, _Stack]:
    """The stacks at a coarser resolution: of those within one step, the one with fewest pieces."""
    kept: dict[int, _Stack] = {}
    for stack in stacks_.values():
        at = round(stack[1] / grain)
        if at not in kept or stack[0] < kept[at][0]:
            kept[at] = stack
    return kept


def nearest(totals: FloatArray, wanted: FloatArray) -> IntArray:
    """For each wanted value, the index of the nearest in an ascending, non-empty array."""
    right = np.clip(np.searchsorted(totals, wanted), 1, max(totals.size - 1, 1))
    left = right - 1
    right = np.minimum(right, totals.size - 1)
    nearer = np.abs(totals[right] - wanted) < np.abs(totals[left] - wanted)
    return np.where(nearer, right, left)
