"""The packing that a shift of the weldment along one axis costs, for all shifts at once.

Costs are compared in a fixed order: critical faces off the grid, packed lines, lines off the grid,
number of shims, total thickness.
"""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from gridjig.rack import Rack
from gridjig.solve.grid.directions import FloatArray, IntArray
from gridjig.solve.layout.remainders import EXACT
from gridjig.solve.layout.rows import FaceRow
from gridjig.solve.packing.pack import pack_sizes

_AT_ONCE = 250_000
"""The most shifts times lines computed in one go: 2 MB per array."""


class Costs(Struct, frozen=True, eq=False):
    """The cost of each shift, and the gap it leaves in front of each line; mm.

    `counts` has a row for each shift: critical lines off the grid, packed lines, lines off the
    grid, shims.  `thickness` is that of all packs; `left` has a column for each line in `numbers`.
    """

    shifts: FloatArray
    counts: IntArray
    thickness: FloatArray
    left: FloatArray
    numbers: tuple[int, ...]

    def left_at(self, shift: int) -> dict[int, float]:
        """Return the gap that a shift leaves in front of each line, by line number; mm."""
        return dict(zip(self.numbers, self.left[shift].tolist(), strict=True))

    def sum(self, i: int, other: "Costs", j: int) -> tuple[int, int, int, int, float]:
        """Return the combined cost of a shift along this axis and one along the other."""
        first, second, third, fourth = (self.counts[i] + other.counts[j]).tolist()
        return first, second, third, fourth, float(self.thickness[i] + other.thickness[j])


def costs(
    rack: Rack, rows: Sequence[FaceRow], shifts: FloatArray, face: float, first: float, pitch: float
) -> Costs:
    """Return the cost of each shift of `rows`, which all face along one axis.

    `first` and `pitch` are those of the holes on that axis; `face` is the distance of the stop's
    face from its hole; mm.
    """
    at = np.array([row.at for row in rows])
    sign = np.array([row.sign for row in rows], dtype=np.float64)
    allowed = np.array([row.allowed for row in rows])
    critical = np.array([row.critical for row in rows], dtype=np.bool_)
    counts = np.zeros((len(shifts), 4), dtype=np.int64)
    thickness = np.zeros(len(shifts))
    left = np.zeros((len(shifts), len(rows)))
    step = max(1, _AT_ONCE // max(len(rows), 1))
    for begin in range(0, len(shifts), step):
        some = slice(begin, begin + step)
        here = np.mod(sign * (first - (at + shifts[some, None])) - face, pitch)
        nearest = np.minimum(here, pitch - here)
        off = nearest > EXACT
        packed = off & (nearest > allowed)
        left[some] = here = np.where(off, here, 0.0)
        wanted = np.asarray(np.round(here[packed], 3), dtype=np.float64)
        pieces, thick = pack_sizes(rack, wanted)
        shims, total = np.zeros(here.shape, dtype=np.int64), np.zeros(here.shape)
        shims[packed], total[packed] = pieces, thick
        counts[some] = np.stack(
            [(off & critical).sum(1), packed.sum(1), off.sum(1), shims.sum(1)], axis=1
        )
        thickness[some] = total.sum(1)
    return Costs(shifts, counts, thickness, left, tuple(row.number for row in rows))


def best_pairs(x: Costs, y: Costs, most: int) -> list[tuple[int, int]]:
    """Return the pairs of shifts with the least cost, then the least movement; at most `most`.

    Costs add up, so a pair can only be among the best if few shifts on either axis are better: with
    both sorted, the pair of the i-th and the j-th comes after i * j others.
    """
    orders = [
        np.lexsort((np.abs(c.shifts), np.round(c.thickness, 3), *c.counts.T[::-1])) for c in (x, y)
    ]
    pairs = [
        (int(i), int(j))
        for n, i in enumerate(orders[0][:most], 1)
        for j in orders[1][: max(most // n, 1)]
    ]

    def rank(pair: tuple[int, int]) -> tuple[float, ...]:
        i, j = pair
        *counted, thick = x.sum(i, y, j)
        far = round(float(np.hypot(x.shifts[i], y.shifts[j])), 3)
        return (*counted, round(thick, 3), far, i, j)

    return sorted(pairs, key=rank)[:most]
