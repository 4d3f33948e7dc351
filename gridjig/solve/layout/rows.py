"""Lines of faces turned and moved by whole pitches, and compared with the holes of a table."""

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from msgspec import Struct, structs

from gridjig.model import Hole, Table
from gridjig.rack import Point
from gridjig.solve.grid.directions import BoolArray, FloatArray, IntArray
from gridjig.solve.grid.open_holes import all_open, open_holes
from gridjig.solve.packing.stops import Stop, holes_of
from gridjig.solve.weldment.faces import Axis, Stretch

from .remainders import grid_along, indices


class FaceRow(Struct, frozen=True):
    """A line of faces after turning; `number` is its index among the lines."""

    axis: Axis
    sign: int
    at: float
    free: tuple[Stretch, ...]
    critical: bool
    allowed: float
    number: int


def turned(row: FaceRow, about: Point, turn: int, over: bool) -> FaceRow:
    """Return a line after turning the weldment over about a point, then by quarter turns."""
    cx, cy = about
    if over:
        if row.axis == "x":
            row = structs.replace(row, at=2.0 * cx - row.at, sign=-row.sign)
        else:
            row = structs.replace(
                row, free=tuple((2 * cx - high, 2 * cx - low) for low, high in row.free)
            )
    for _ in range(turn // 90 % 4):
        if row.axis == "x":
            free = tuple((cx + cy - high, cx + cy - low) for low, high in row.free)
            row = structs.replace(row, axis="y", at=row.at - cx + cy, free=free)
        else:
            free = tuple((low - cx + cy, high - cx + cy) for low, high in row.free)
            row = structs.replace(row, axis="x", at=cx + cy - row.at, sign=-row.sign, free=free)
    return row


def steps_of(
    low: float, high: float, size: float, pitch: float, stays: bool
) -> tuple[IntArray, FloatArray]:
    """Return the whole pitches by which something can move on a table, and its overhang.

    It extends from `low` to `high`, mm.  With `stays`, the only step is 0.
    """
    least = 0 if stays else math.ceil(-high / pitch)
    most = 0 if stays else max(math.floor((size - low) / pitch), least)
    steps = np.arange(least, most + 1, dtype=np.int64)
    moved = steps.astype(np.float64) * pitch
    return steps, np.maximum(0.0, np.maximum(-(low + moved), high + moved - size))


class StopFronts:
    """The holes that can take the front of a stop, for each direction it can face."""

    def __init__(self, table: Table, stop: Stop) -> None:
        self._table, self._stop = table, stop
        self._open = open_holes(table)
        self._counts = {
            looks: _counted(self._front_holes(looks) if looks[0] else self._front_holes(looks).T)
            for looks in ((1, 0), (-1, 0), (0, 1), (0, -1))
        }

    def _front_holes(self, looks: tuple[int, int]) -> BoolArray:
        """For each hole, whether a stop facing that way can have its front there."""
        return all_open(self._open, holes_of(self._table, self._stop, Hole(0, 0), looks))

    def blocked(
        self,
        rows: Sequence[FaceRow],
        left: Mapping[int, float],
        shift: Point,
        columns: IntArray,
        steps: IntArray,
    ) -> IntArray:
        """Return how many lines have no hole for a stop, per move by `columns` and `steps` pitches.

        `left` is the gap in front of each line after a shift of (x, y) mm.  Lines that face the
        same holes are looked up once.
        """
        alike = Counter(self._before(row, left[row.number], shift) for row in rows)
        found = np.zeros((len(columns), len(steps)), dtype=np.int64)
        for before, many in alike.items():
            found += many * ~self._found(before, columns, steps)
        return found

    def _before(self, row: FaceRow, left: float, shift: Point) -> "_Before":
        """The holes in front of a line: their column or row, and the spans along it."""
        along: Axis = "y" if row.axis == "x" else "x"
        own, other = (shift[0], shift[1]) if row.axis == "x" else (shift[1], shift[0])
        first, pitch = grid_along(self._table, row.axis)
        at = row.at + own + row.sign * (self._stop.face + left)
        looks = (-row.sign, 0) if row.axis == "x" else (0, -row.sign)
        line = round((at - first) / pitch)
        first, pitch = grid_along(self._table, along)
        spans = (indices(low + other, high + other, first, pitch) for low, high in row.free)
        return _Before(looks, line, _joined(spans))

    def _found(self, before: "_Before", columns: IntArray, rows: IntArray) -> BoolArray:
        """For each move by whole pitches, whether there is a hole for a stop in front of a line."""
        counts = self._counts[before.looks]
        lines, steps = (columns, rows) if before.looks[0] else (rows, columns)
        last, end = counts.shape[0] - 1, counts.shape[1] - 1
        wanted = lines + before.line
        here: IntArray = counts[np.clip(wanted, 0, last)]
        found: BoolArray = np.zeros((len(lines), len(steps)), dtype=np.bool_)
        for low, high in before.spans:
            found |= here[:, np.clip(steps + high, 0, end)] > here[:, np.clip(steps + low, 0, end)]
        found &= ((wanted >= 0) & (wanted <= last))[:, None]
        return found if before.looks[0] else found.T


class _Before(NamedTuple):
    """The holes in front of a line: the direction a stop faces, their column or row, the spans."""

    looks: tuple[int, int]
    line: int
    spans: tuple[tuple[int, int], ...]


def _joined(spans: Iterable[range]) -> tuple[tuple[int, int], ...]:
    """Spans of holes in ascending order, with adjoining ones merged."""
    made: list[tuple[int, int]] = []
    for span in sorted((s for s in spans if s), key=lambda s: s.start):
        if made and span.start <= made[-1][1]:
            made[-1] = (made[-1][0], max(made[-1][1], span.stop))
        else:
            made.append((span.start, span.stop))
    return tuple(made)


def _counted(fronts: BoolArray) -> IntArray:
    """The number of usable holes in each line before its first, second, ... hole."""
    before = np.zeros((fronts.shape[0], fronts.shape[1] + 1), dtype=np.int64)
    np.cumsum(fronts, axis=1, out=before[:, 1:])
    return before
