"""Packing: the shims of the rack that go into the gap the grid leaves, never into the work."""

import math
from collections import Counter
from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from msgspec import Struct

from gridjig.rack import Rack
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import FloatArray, IntArray

from .stacks import Stacks, stacks

SAME = 0.05
"""A pack that leaves no more than this open, mm, fills its gap: half of the last digit shown."""

AT_MOST = 4
"""Pieces in one pack.  Oil and dirt between shims add thickness: common practice, no source."""

ONE_MORE = 1
"""How many more may go into one pack before a pin, where a shim of the rack still fits."""


class Packing(Struct, frozen=True, gc=False):
    """A stack of shims: which pieces and how many of each.  Lengths in mm.

    `residual` is the gap less the total: what stays open.
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


def pack_sizes(
    rack: Rack, wanted: FloatArray, at_most: int = AT_MOST
) -> tuple[IntArray, FloatArray]:
    """For each gap in mm, how many shims `pack_down` puts into it and their total thickness, mm."""
    _, made = _stacks(Same(rack), (), at_most)
    best = np.searchsorted(made.total, wanted + ROUNDING, side="right") - 1
    return made.pieces[best], made.total[best]


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
