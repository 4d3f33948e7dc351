"""The holes that pins may use, and how many places there are for every step between two holes.

A field is a yes or no for every hole; the number of places of all steps is its autocorrelation.
It knows limits, but no ways and no rack.
"""

import math
from collections.abc import Callable, Hashable
from functools import cached_property, lru_cache
from typing import TypeVar

import numpy as np
import numpy.typing as npt
from msgspec import Struct, field

from gridjig.model import Hole, Table
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import (
    BoolArray,
    Directions,
    FloatArray,
    Grid,
    IntArray,
    all_steps,
    directions,
)

from .answers import AlongFace, AngleLimits
from .faults import AngleFault, TooFewHoles

V = TypeVar("V")


def grid_of(table: Table) -> Grid:
    """Return the size of a table's hole grid."""
    return Grid(table.columns, table.rows, table.pitch_x, table.pitch_y)


class PossibleSteps(Struct, frozen=True, eq=False):
    """The steps with a base within the limits and a place, one of each opposite pair.

    `pairs` is how many pairs of holes they cover, `steps` how many steps there are.
    """

    pairs: int
    steps: int


class PairTable(Struct, frozen=True, eq=False):
    """The directions with a place and a base within the limits, by ascending angle.

    (across, up) is the longest such pair of steps of each direction, `base` its length in mm and
    `times` how many of the shortest steps (`index` into the grid's directions) it is.
    """

    angle: FloatArray
    across: IntArray
    up: IntArray
    base: FloatArray
    times: IntArray
    index: IntArray


class HoleField(Struct, frozen=True, eq=False, dict=True):
    """The holes that may be used: `usable[row, col]`."""

    grid: Grid
    first: Point
    usable: BoolArray
    whole: bool
    _kept: dict[Hashable, object] = field(default_factory=dict)

    @cached_property
    def holes(self) -> int:
        """The number of usable holes."""
        return int(np.count_nonzero(self.usable))

    @cached_property
    def counts(self) -> npt.NDArray[np.int32]:
        """Number of places of steps (across, up), up >= 0, at [up, across + columns - 1].

        The autocorrelation of the field: by multiplication if every hole may be used, else by
        Fourier transform, padded so that nothing wraps round, and rounded to whole numbers.
        """
        columns, rows = self.grid.columns, self.grid.rows
        if self.whole:
            wide = columns - np.abs(np.arange(-(columns - 1), columns))
            return np.outer(np.arange(rows, 0, -1), wide).astype(np.int32)
        spectrum = np.fft.rfft2(self.usable.astype(np.float64), s=(2 * rows, 2 * columns))
        power = spectrum.real**2 + spectrum.imag**2
        round_trip = np.fft.irfft2(power, s=(2 * rows, 2 * columns))[:rows]
        right, left = round_trip[:, :columns], round_trip[:, columns + 1 :]
        return np.asarray(np.rint(np.concatenate([left, right], axis=1)), dtype=np.int32)

    def count(self, across: IntArray, up: IntArray) -> npt.NDArray[np.int32]:
        """Return the number of places of each step on the grid, in either direction."""
        way = np.where(up < 0, -1, 1)
        return np.asarray(self.counts[up * way, across * way + self.grid.columns - 1])

    def places(self, across: int, up: int) -> list[tuple[Hole, Hole]]:
        """Return all pairs of usable holes (across, up) apart, by row, then by column."""
        a, b = self._windows(across, up)
        rows, cols = np.nonzero(a & b)
        cols = cols + max(-across, 0)
        rows = rows + max(-up, 0)
        return [
            (Hole(c, r), Hole(c + across, r + up))
            for c, r in zip(cols.tolist(), rows.tolist(), strict=True)
        ]

    def place(self, across: int, up: int, near: Point | None) -> tuple[Hole, Hole]:
        """Return the place nearest to a point (by its middle), or the first by row and column."""
        a, b = self._windows(across, up)
        both = a & b
        if near is None:
            row, col = divmod(int(both.argmax()), both.shape[1])
        else:
            g = self.grid
            rows, cols = np.nonzero(both)
            x = self.first[0] + (cols + max(-across, 0) + across / 2) * g.pitch_x - near[0]
            y = self.first[1] + (rows + max(-up, 0) + up / 2) * g.pitch_y - near[1]
            best = int(np.argmin(np.round(x * x + y * y, 6)))
            row, col = int(rows[best]), int(cols[best])
        first = Hole(col + max(-across, 0), row + max(-up, 0))
        return first, Hole(first.col + across, first.row + up)

    def _windows(self, across: int, up: int) -> tuple[BoolArray, BoolArray]:
        """The field, and the field seen from (across, up) away, where both are on the grid."""

        def cut(step: int, size: int) -> tuple[slice, slice]:
            if step >= 0:
                return slice(0, max(size - step, 0)), slice(min(step, size), size)
            return slice(min(-step, size), size), slice(0, max(size + step, 0))

        col_a, col_b = cut(across, self.grid.columns)
        row_a, row_b = cut(up, self.grid.rows)
        return self.usable[row_a, col_a], self.usable[row_b, col_b]

    def reach(self, base_from: float, base_to: float) -> PossibleSteps:
        """Return how many pairs of holes and distinct steps are within a range of bases (mm)."""

        def work() -> PossibleSteps:
            across, up = all_steps(self.grid)
            d = np.hypot(across * self.grid.pitch_x, up * self.grid.pitch_y)
            count = self.count(across, up)[within(d, base_from, base_to)]
            return PossibleSteps(int(count.sum()), int(np.count_nonzero(count)))

        return self.keep(("reach", base_from, base_to), PossibleSteps, work)

    def pairs(self, base_from: float, base_to: float) -> PairTable:
        """Return the directions of the field within a range of bases (mm), ready for look-up."""
        return self.keep(
            ("pairs", base_from, base_to),
            PairTable,
            lambda: _pair_table(self, directions(self.grid), base_from, base_to),
        )

    def keep(self, key: Hashable, kind: type[V], work: Callable[[], V]) -> V:
        """Return the cached result for a key, computed if there is none."""
        found = self._kept.get(key)
        if not isinstance(found, kind):
            if len(self._kept) > 64:
                self._kept.clear()
            found = work()
            self._kept[key] = found
        return found


def within(d: FloatArray, low: float, high: float) -> BoolArray:
    """Return True where a length is in a range, with a micrometre for rounding."""
    return np.asarray((d >= low - 1e-3) & (d <= high + 1e-3))


def _pair_table(field: HoleField, every: Directions, base_from: float, base_to: float) -> PairTable:
    """For each direction, the longest multiple within the range that has a place, if any."""
    most = np.minimum(every.most, np.floor((base_to + 1e-3) / every.length)).astype(np.int64)
    least = np.maximum(1, np.ceil((base_from - 1e-3) / every.length).astype(np.int64))
    index = np.nonzero(most >= least)[0]
    times, least = most[index], least[index]
    open_ = np.arange(index.size)
    while open_.size:
        i, k = index[open_], times[open_]
        empty = field.count(every.across[i] * k, every.up[i] * k) == 0
        open_ = open_[empty]
        times[open_] -= 1
        open_ = open_[times[open_] >= least[open_]]
    good = times >= least
    index, times = index[good], times[good]
    return PairTable(
        angle=every.angle[index],
        across=every.across[index] * times,
        up=every.up[index] * times,
        base=every.length[index] * times,
        times=times,
        index=index,
    )


def field_of(table: Table, limits: AngleLimits) -> HoleField:
    """Return a table's field within limits.  Raise AngleFault if it has fewer than two holes."""
    found = holes_within(table, limits)
    if found.holes < 2:
        narrowed = bool(limits.region or limits.along)
        raise AngleFault(
            "region" if narrowed else "only_free",
            TooFewHoles(found.holes, on_table=not narrowed),
        )
    return found


def holes_within(table: Table, limits: AngleLimits) -> HoleField:
    """Return the field of a table within limits, even with few holes or none."""
    return _field(Same(table), limits.region, limits.along, limits.only_free, limits.taken)


@lru_cache(maxsize=16)
def _field(
    same: Same[Table],
    region: tuple[Point, ...],
    along: AlongFace | None,
    only_free: bool,
    taken: frozenset[Hole],
) -> HoleField:
    table = same.value
    grid = grid_of(table)
    usable = np.ones((grid.rows, grid.columns), dtype=np.bool_)
    if only_free:
        for hole in (*(m.hole for m in table.marks), *taken):
            if table.has(hole):
                usable[hole.row, hole.col] = False
    if region or along:
        x = table.first_x + np.arange(grid.columns) * grid.pitch_x
        y = table.first_y + np.arange(grid.rows) * grid.pitch_y
        px, py = (np.asarray(v) for v in np.meshgrid(x, y))
        if region:
            usable &= inside(region, px, py)
        if along:
            usable &= beside(along, px, py)
    return HoleField(grid, (table.first_x, table.first_y), usable, bool(usable.all()))


def inside(polygon: tuple[Point, ...], x: FloatArray, y: FloatArray) -> BoolArray:
    """Return True for points in a polygon or within a micrometre of its edge; mm."""
    odd = np.zeros(x.shape, dtype=np.bool_)
    near = np.zeros(x.shape, dtype=np.bool_)
    for (ax, ay), (bx, by) in zip(polygon, (*polygon[1:], polygon[0]), strict=True):
        dx, dy = bx - ax, by - ay
        size = dx * dx + dy * dy or 1.0
        t = np.clip(((x - ax) * dx + (y - ay) * dy) / size, 0.0, 1.0)
        near |= np.hypot(x - ax - t * dx, y - ay - t * dy) <= 1e-3
        if dy:
            crosses = (ay > y) != (by > y)
            odd ^= crosses & (x < ax + (y - ay) * dx / dy)
    return odd | near


def beside(along: AlongFace, x: FloatArray, y: FloatArray) -> BoolArray:
    """Return True for points on the given side of a face, within its distances and stretches."""
    (ax, ay), (bx, by) = along.a, along.b
    length = math.hypot(bx - ax, by - ay)
    on = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length
    off = beside_by(along, x, y)
    stands = np.zeros(x.shape, dtype=np.bool_)
    for low, high in along.stretches or ((0.0, length),):
        stands |= within(on, low, high)
    return within(off, along.least, along.most) & stands


def beside_by(along: AlongFace, x: FloatArray, y: FloatArray) -> FloatArray:
    """Return the distance of points from a face in mm, positive on the pins' side."""
    (ax, ay), (bx, by) = along.a, along.b
    off = ((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / math.hypot(bx - ax, by - ay)
    return np.asarray(off if along.side == "right" else -off)
