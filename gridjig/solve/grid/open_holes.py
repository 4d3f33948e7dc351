"""Holes of a table that can be used, as arrays: all at once, and for several pins together."""

from collections.abc import Iterable

import numpy as np

from gridjig.model import Hole, Table
from gridjig.model.marks import mark_index

from .directions import BoolArray


def open_holes(table: Table, taken: Iterable[Hole] = ()) -> BoolArray:
    """True for every hole that can be used, by column and row: open, whole and not `taken`."""
    free = np.ones((table.columns, table.rows), dtype=np.bool_)
    for hole, mark in mark_index(table).items():
        if mark.closed:
            free[hole] = False
    for hole in taken:
        if table.has(hole):
            free[hole] = False
    return free


def all_open(free: BoolArray, steps: Iterable[tuple[int, int]]) -> BoolArray:
    """True where the holes at all these steps from here are true in `free`.

    Steps count along the axes of `free`; beyond its edges nothing is true.
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
