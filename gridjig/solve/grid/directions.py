"""Every direction between two holes of a grid, sorted once and looked up by angle.

Directions are those of lines, so 0 <= angle < 180 degrees.  Steps are whole numbers of pitches,
`across` along x and `up` along y.  This module knows the size of a grid, not its condition.
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
    """The size of a hole grid: the number of columns and rows, and their pitches in mm."""

    columns: int
    rows: int
    pitch_x: float
    pitch_y: float

    @property
    def diagonal(self) -> float:
        """The longest distance between two holes, mm."""
        return math.hypot((self.columns - 1) * self.pitch_x, (self.rows - 1) * self.pitch_y)

    @property
    def pitch(self) -> float:
        """The smaller of the two pitches, mm."""
        return min(self.pitch_x, self.pitch_y)


class Directions(Struct, frozen=True, eq=False):
    """The distinct directions of a grid in ascending order, each with its shortest steps.

    `angle` is in degrees, 0 <= angle < 180; `length` is the length of one step (across, up) in mm;
    up to `most` such steps fit on the grid in a row.
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
    """Signed difference between line directions and the wanted one, degrees, in [-90, 90)."""
    return (angle - wanted + 90.0) % 180.0 - 90.0


def angle_of(across: npt.ArrayLike, up: npt.ArrayLike, grid: Grid) -> FloatArray:
    """The line direction of steps, degrees, 0 <= angle < 180."""
    x = np.asarray(across) * (grid.pitch_x / grid.pitch)
    y = np.asarray(up) * (grid.pitch_y / grid.pitch)
    return np.asarray(np.degrees(np.arctan2(y, x)) % 180.0)


@lru_cache(maxsize=16)
def directions(grid: Grid) -> Directions:
    """All directions of a grid: its primitive vectors, in Farey order.

    A pair of steps whose greatest common divisor is 1 is the shortest of its direction (Hardy and
    Wright, chapter III).  Sorting floating-point angles is safe: neighbours u, v differ by at least
    1/(u.v) radians, 5e-7 on the largest table, against a rounding error of 2e-16.
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
    free = grid.columns + grid.rows  # an axis without steps sets no limit
    most = np.minimum(
        np.where(across == 0, free, (grid.columns - 1) // np.maximum(np.abs(across), 1)),
        np.where(up == 0, free, (grid.rows - 1) // np.maximum(up, 1)),
    )
    length = np.hypot(across * grid.pitch_x, up * grid.pitch_y)
    return Directions(grid, across, up, angle[order], length, most)


def window(angle: FloatArray, wanted: float, count: int) -> IntArray:
    """Indices of the `count` values nearest to `wanted`, nearest first.

    `angle` is a sorted array of line directions in degrees, 0 to 180, which wraps round.
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
    """All steps between holes that stay within `half_width` mm of a line in the wanted direction.

    Returns one of each pair of opposite steps: the one that points in the wanted direction (0 to
    180 degrees).  A line through a hole in direction T passes a hole at (x, y) from it at distance
    abs(s), where s = y cos T - x sin T.  In each column (or row, whichever the line crosses more
    squarely) the holes with abs(s) <= half_width are one short run of whole numbers.
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
    sign = np.where(m * (grid.pitch_x * c) + n * (grid.pitch_y * s) < 0, -1, 1)
    return m * sign, n * sign


def all_steps(grid: Grid) -> tuple[IntArray, IntArray]:
    """All steps between two holes, one of each opposite pair (up >= 0)."""
    n, m = np.mgrid[0 : grid.rows, -(grid.columns - 1) : grid.columns]
    half = (n > 0) | (m > 0)
    return m[half], n[half]
