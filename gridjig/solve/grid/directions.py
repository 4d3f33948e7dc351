"""Every direction that two holes of a grid can make, sorted once and looked up by a window.

Directions are lines, so they lie from 0 to less than 180 degrees.  Steps are whole numbers of
pitches, `across` along x and `up` along y.  Knows the size of a grid, not its condition.
"""

import math
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from msgspec import Struct

IntArray = npt.NDArray[np.int64]
FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]


class Grid(Struct, frozen=True):
    """The size of a hole grid: numbers of columns and rows, and their pitches in mm."""

    columns: int
    rows: int
    pitch_x: float
    pitch_y: float

    @property
    def diagonal(self) -> float:
        """Longest distance between two holes, mm."""
        return math.hypot((self.columns - 1) * self.pitch_x, (self.rows - 1) * self.pitch_y)

    @property
    def pitch(self) -> float:
        """The smaller of the two pitches, mm."""
        return min(self.pitch_x, self.pitch_y)


class Directions(Struct, frozen=True, eq=False):
    """The different directions of a grid in rising order: the shortest steps of each.

    `angle` in degrees, 0 <= angle < 180; `length` in mm is one step of (across, up) long, and the
    grid takes up to `most` of them in a row.
    """

    grid: Grid
    across: IntArray
    up: IntArray
    angle: FloatArray
    length: FloatArray
    most: IntArray

    def __len__(self) -> int:
        return int(self.angle.size)


def off(angle: FloatArray, wanted: float) -> FloatArray:
    """How far line directions lie from the wanted one, degrees, from -90 to less than 90."""
    return (angle - wanted + 90.0) % 180.0 - 90.0


def angle_of(across: npt.ArrayLike, up: npt.ArrayLike, grid: Grid) -> FloatArray:
    """Line direction of steps, degrees, 0 <= angle < 180."""
    x = np.asarray(across) * (grid.pitch_x / grid.pitch)
    y = np.asarray(up) * (grid.pitch_y / grid.pitch)
    return np.asarray(np.degrees(np.arctan2(y, x)) % 180.0)


@lru_cache(maxsize=16)
def directions(grid: Grid) -> Directions:
    """All directions of a grid: the primitive vectors, in the order of the Farey sequence.

    A pair of steps whose greatest common divisor is 1 is the shortest of its direction (Hardy and
    Wright, chapter III).  Sorting by floating point is safe: neighbours u, v differ by
    1/(u.v) radians at least, 5e-7 on the largest table against 2e-16 of rounding.
    """
    a = np.arange(grid.columns)
    b = np.arange(grid.rows)
    shortest = np.gcd.outer(a, b) == 1
    m, n = (np.asarray(i, dtype=np.int64) for i in np.nonzero(shortest))
    leaning = (m > 0) & (n > 0)
    across = np.concatenate([m, -m[leaning]])
    up = np.concatenate([n, n[leaning]])
    angle = angle_of(across, up, grid)
    order = np.argsort(angle)
    across, up = across[order], up[order]
    free = grid.columns + grid.rows  # an axis that is not stepped along sets no limit
    most = np.minimum(
        np.where(across == 0, free, (grid.columns - 1) // np.maximum(np.abs(across), 1)),
        np.where(up == 0, free, (grid.rows - 1) // np.maximum(up, 1)),
    )
    length = np.hypot(across * grid.pitch_x, up * grid.pitch_y)
    return Directions(grid, across, up, angle[order], length, most)


def window(angle: FloatArray, wanted: float, count: int) -> IntArray:
    """Indices of the `count` values nearest to `wanted`, nearest first, in a sorted array of line
    directions (degrees, 0 to 180, closed on itself).
    """
    size = angle.size
    if size <= 2 * count:
        near = np.arange(size)
    else:
        start = int(np.searchsorted(angle, wanted % 180.0)) - count
        near = np.arange(start, start + 2 * count) % size
    order = np.argsort(np.abs(off(angle[near], wanted)), kind="stable")
    return np.asarray(near[order[:count]])


def strip(grid: Grid, wanted: float, half_width: float) -> tuple[IntArray, IntArray]:
    """All steps that run along the wanted direction within `half_width` mm of its line.

    One of each pair of opposite steps, pointing the way of the wanted direction (0 to 180
    degrees).  A line of that direction through a hole passes every other hole of the grid at the
    distance abs(s), s = y cos T - x sin T; for each column (or row, whichever the line crosses more
    squarely) the whole numbers with abs(s) <= half_width form one short run.
    """
    t = math.radians(wanted)
    c, s = math.cos(t), math.sin(t)
    by_column = abs(c) * grid.pitch_y >= abs(s) * grid.pitch_x
    if by_column:
        count, limit = grid.columns, grid.rows - 1
        slope, spread = s * grid.pitch_x / (c * grid.pitch_y), half_width / abs(c * grid.pitch_y)
    else:
        count, limit = grid.rows, grid.columns - 1
        slope, spread = c * grid.pitch_y / (s * grid.pitch_x), half_width / abs(s * grid.pitch_x)
    main = np.arange(count)
    middle = slope * main
    low = np.maximum(np.ceil(middle - spread - 1e-9).astype(np.int64), -limit)
    high = np.minimum(np.floor(middle + spread + 1e-9).astype(np.int64), limit)
    low[0] = 1
    run = np.maximum(high - low + 1, 0)
    first = np.repeat(main, run)
    start = np.repeat(low - (np.cumsum(run) - run), run)
    second = start + np.arange(first.size)
    m, n = (first, second) if by_column else (second, first)
    way = np.where(m * (grid.pitch_x * c) + n * (grid.pitch_y * s) < 0, -1, 1)
    return m * way, n * way


def all_steps(grid: Grid) -> tuple[IntArray, IntArray]:
    """Every difference between two holes, one of each pair of opposite steps (up >= 0)."""
    n, m = np.mgrid[0 : grid.rows, -(grid.columns - 1) : grid.columns]
    half = (n > 0) | (m > 0)
    return m[half], n[half]
