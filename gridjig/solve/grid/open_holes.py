"""The usable holes of a table as arrays, for one pin and for several pins together."""

from collections.abc import Iterable

import numpy as np

from gridjig.model import Hole, Table
from gridjig.model.marks import mark_index

from .directions import BoolArray


def open_holes(table: Table, taken: Iterable[Hole] = ()) -> BoolArray:
    """An array by column and row, True where a hole is open, whole and not in `taken`."""
    free = np.ones((table.columns, table.rows), dtype=np.bool_)
    for hole, mark in mark_index(table).items():
        if mark.closed:
            free[hole] = False
    for hole in taken:
        if table.has(hole):
            free[hole] = False
    return free


def all_open(free: BoolArray, steps: Iterable[tuple[int, int]]) -> BoolArray:
    """An array that is True where `free` is True at every one of these steps away.

    Steps run along the axes of `free`; everything beyond its edges counts as False.
    """
    wide, deep = free.shape
    good = np.ones_like(free)
    for i, j in steps:
        moved = np.zeros_like(free)
        a0, a1 = max(0, -i), min(wide, wide - i)
        b0, b1 = max(0, -j), min(deep, deep - j)
        if a0 < a1 and b0 < b1:
            moved[a0:a1, b0:b1] = free[a0 + i : a1 + i, b0 + j : b1 + j]
        good &= moved
    return good
