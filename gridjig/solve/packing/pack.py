"""Packing: the fewest shims of the rack that fill the gap the grid leaves."""

import math
from collections import Counter
from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from msgspec import Struct

from gridjig.rack import Rack
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import FloatArray, IntArray

from .stacks import Stacks, nearest, stacks

SAME = 0.05
"""Totals this close, in mm, are equally good: half of the last digit that is shown."""

AT_MOST = 4
"""Pieces in one pack.  Oil and dirt between shims add thickness: common practice, no source."""

ONE_MORE = 1
"""How many more may go into one pack before a pin, where a shim of the rack still fits."""


class Packing(Struct, frozen=True, gc=False):
    """A stack of shims: which pieces and how many of each.  Lengths in mm.

    `residual` is the wanted thickness less the total; if positive, the pack is too thin.
    """

    pieces: tuple[tuple[str, int], ...]
    total: float
    residual: float

    @property
    def count(self) -> int:
        """The number of pieces in the stack."""
        return sum(many for _, many in self.pieces)

    @property
    def ids(self) -> tuple[str, ...]:
        """The pieces one by one, as a placement's packing lists them."""
        return tuple(piece for piece, many in self.pieces for _ in range(many))


NOTHING = Packing((), 0.0, 0.0)


def pack(
    rack: Rack,
    wanted: float,
    used: Mapping[str, int] | None = None,
    at_most: int = AT_MOST,
) -> Packing:
    """The shims that come nearest to a thickness in mm; of those equally near, the fewest.

    `used` is how many of each piece are in use elsewhere.  An empty stack is a valid answer.
    """
    known = tuple(sorted((used or {}).items()))
    names, made = _stacks(Same(rack), known, at_most)
    off = np.abs(made.total - wanted)
    near = np.flatnonzero(off <= off.min() + SAME)
    best = int(near[np.lexsort((off[near], made.pieces[near]))[0]])
    counts = zip(names, made.counts[best].tolist(), strict=True)
    total = float(made.total[best])
    return Packing(tuple((n, many) for n, many in counts if many), total, wanted - total)


def pack_sizes(
    rack: Rack, wanted: FloatArray, at_most: int = AT_MOST
) -> tuple[IntArray, FloatArray]:
    """For each thickness in mm, how many shims `pack` takes and their total thickness in mm."""
    values, back = np.unique(wanted, return_inverse=True)
    _, made = _stacks(Same(rack), (), at_most)
    totals, pieces = made.total, made.pieces
    if not values.size:
        return np.zeros(0, dtype=np.int64), np.zeros(0)
    best = nearest(totals, values)
    near = np.abs(totals[best] - values) + SAME
    low = np.searchsorted(totals, values - near * 1.001, side="left")
    high = np.searchsorted(totals, values + near * 1.001, side="right")
    for ahead in range(int((high - low).max(initial=0))):
        at = np.minimum(low + ahead, totals.size - 1)
        off, least = np.abs(totals[at] - values), np.abs(totals[best] - values)
        fewer = pieces[at] < pieces[best]
        as_few = pieces[at] == pieces[best]
        nearer = as_few & ((off < least) | ((off == least) & (at < best)))
        best = np.where((off <= near) & (fewer | nearer), at, best)
    return pieces[best][back], totals[best][back]


@lru_cache(maxsize=64)
def _stacks(
    rack: Same[Rack], used: tuple[tuple[str, int], ...], at_most: int
) -> tuple[tuple[str, ...], Stacks]:
    taken = dict(used)
    shims = [
        (piece.id, piece.thickness, max(0, piece.owned - taken.get(piece.id, 0)))
        for piece in rack.value.shims
    ]
    thickest = at_most * max((thick for _, thick, _ in shims), default=0.0)
    kinds = [(thick, owned) for _, thick, owned in shims]
    return tuple(name for name, _, _ in shims), stacks(kinds, at_most, thickest)


ROUNDING = 1e-6
"""A pack may exceed the gap by a nanometre: sums of decimals are not exact."""


def pack_down(
    rack: Rack,
    gap: float,
    used: Mapping[str, int] | None = None,
    at_most: int = AT_MOST,
    one_more: bool = False,
) -> Packing:
    """The thickest pack of shims that goes into a gap in mm; of those equally thick, the fewest.

    It never overlaps the work: the residual is what stays open, 0 or more.  With `one_more` it is
    ONE_MORE pieces higher than `at_most` where the rack has a shim left that would still go in.
    `used` is how many of each piece are in use elsewhere.  An empty stack is a valid answer.
    """
    known = tuple(sorted((used or {}).items()))
    made = _thickest(rack, gap, known, at_most)
    if not one_more or made.residual + ROUNDING < _thinnest_left(rack, known, made):
        return made
    return _thickest(rack, gap, known, at_most + ONE_MORE)


def _thickest(rack: Rack, gap: float, known: tuple[tuple[str, int], ...], at_most: int) -> Packing:
    names, made = _stacks(Same(rack), known, at_most)
    best = int(np.searchsorted(made.total, gap + ROUNDING, side="right")) - 1
    if best <= 0:
        return Packing((), 0.0, max(gap, 0.0))
    counts = zip(names, made.counts[best].tolist(), strict=True)
    total = float(made.total[best])
    return Packing(tuple((n, many) for n, many in counts if many), total, max(gap - total, 0.0))


def _thinnest_left(rack: Rack, known: tuple[tuple[str, int], ...], made: Packing) -> float:
    """The thinnest shim that the rack has left besides a pack, mm; infinite if it has none."""
    taken = Counter(dict(known)) + Counter(dict(made.pieces))
    left = (piece.thickness for piece in rack.shims if piece.owned > taken[piece.id])
    return min(left, default=math.inf)


def pack_between(
    rack: Rack,
    low: float,
    high: float,
    used: Mapping[str, int] | None = None,
    at_most: int = AT_MOST,
) -> Packing | None:
    """The fewest shims with a total thickness from low to high, mm; of those, the thinnest stack.

    For a piece that slides, as the slide makes up for a pack that is too thick.  None if the rack
    makes no total in that range.
    """
    known = tuple(sorted((used or {}).items()))
    names, made = _stacks(Same(rack), known, at_most)
    fits = np.flatnonzero((made.total >= low - ROUNDING) & (made.total <= high + ROUNDING))
    if not len(fits):
        return None
    best = int(fits[np.lexsort((made.total[fits], made.pieces[fits]))[0]])
    counts = zip(names, made.counts[best].tolist(), strict=True)
    return Packing(tuple((n, many) for n, many in counts if many), float(made.total[best]), 0.0)
