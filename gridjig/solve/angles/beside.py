"""The pins beside a face: where each can stand, how far it is from the face, and its packing.

Of very many the nearest are taken, so that pairs of them can be compared.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from gridjig.model import Hole
from gridjig.solve.grid.directions import BoolArray, FloatArray, IntArray
from gridjig.solve.packing.pack import ROUNDING
from gridjig.solve.packing.stacks import Stacks, stacks
from gridjig.units.progress import look

from .answers import GRAIN, AlongFace
from .hole_field import beside_by
from .pins import Pin, pins_of
from .strip import shims_of
from .task import AngleTask

OPEN_MOST = 2.0
"""A larger gap than this in front of the face, mm, does not hold it."""
IN_TOUCH = 0.05
"""A pin up to this deep in the face, mm, touches it, as in the contact model."""
PAIRED = 1500
"""The most stacks for which it is computed what the remaining shims can make."""
MOST_BESIDE = 1000
"""The most pins in holes beside one face that are paired with each other, about 1 s and 200 MB: the
nearest are; the answer says how many others are not."""


class Packs(Struct, frozen=True, eq=False):
    """The stacks of shims, and which of them the rack can give to two pins at once.

    `rest[i, j]` is the thickest stack up to j that is left when one pin has stack i.  If there
    are too many stacks for such a table, `rest` is None and each pin may use half of the shims.
    """

    ids: tuple[str, ...]
    every: Stacks
    rest: IntArray | None

    def pieces(self, at: int) -> tuple[str, ...]:
        """Return the shims of a stack one by one, thickest first."""
        named = zip(self.ids, self.every.counts[at].tolist(), strict=True)
        return tuple(name for name, many in named for _ in range(many))


def packs_of(task: AngleTask) -> Packs:
    """Return the stacks that the rack's shims can make for the pins, within the limits."""
    ids, kinds = shims_of(task)
    pairs = sorted(zip(kinds, ids, strict=True), key=lambda pair: -pair[0][0])
    limits = task.limits
    return _packs(
        tuple(name for _, name in pairs),
        tuple(kind for kind, _ in pairs),
        limits.most_shims,
        limits.packing_to or 1.5 * task.field.grid.pitch,
    )


@lru_cache(maxsize=16)
def _packs(
    ids: tuple[str, ...],
    kinds: tuple[tuple[float, int], ...],
    at_most: int,
    thickest: float,
) -> Packs:
    every = stacks(kinds, at_most, thickest)
    if every.total.size > PAIRED:
        halves = [(thick, owned // 2) for thick, owned in kinds]
        return Packs(ids, stacks(halves, at_most, thickest), None)
    owned = np.array([many for _, many in kinds], dtype=np.int64)
    both = np.ones((every.total.size, every.total.size), dtype=np.bool_)
    for k in range(len(kinds)):
        look()
        of_kind = every.counts[:, k]
        both &= of_kind[:, None] + of_kind[None, :] <= owned[k]
    best = np.where(both, np.arange(every.total.size), 0)
    return Packs(ids, every, np.maximum.accumulate(best, axis=1))


class Beside(NamedTuple):
    """Pins that can stand beside a face, as columns: one row per pin and hole.

    `pin` is the index among the pins, `gap` the distance of the pin from the face, mm, and `stack`
    the thickest stack that fits in between.  `left_out` counts those beyond MOST_BESIDE.
    """

    pin: IntArray
    col: IntArray
    row: IntArray
    x: FloatArray
    y: FloatArray
    radius: FloatArray
    gap: FloatArray
    stack: IntArray
    left_out: int = 0

    def hole(self, at: int) -> Hole:
        """Return the hole of one row."""
        return Hole(int(self.col[at]), int(self.row[at]))


def beside_face(
    task: AngleTask, along: AlongFace, usable: BoolArray, pins: tuple[Pin, ...], packs: Packs
) -> Beside:
    """Return every pin in a usable hole beside a face that touches it, bare or packed."""
    g, (first_x, first_y) = task.field.grid, task.field.first
    rows, cols = np.nonzero(usable)
    x = np.asarray(first_x + cols * g.pitch_x, dtype=np.float64)
    y = np.asarray(first_y + rows * g.pitch_y, dtype=np.float64)
    far = beside_by(along, x, y)
    total = packs.every.total
    found: list[Beside] = []
    for index, pin in enumerate(pins):
        look()
        gap = far - pin.radius
        stack = np.maximum(np.searchsorted(total, gap + ROUNDING, side="right") - 1, 0)
        if not task.pieces[pin.piece].takes_packing:
            stack[:] = 0
        touches = (gap >= -IN_TOUCH) & (gap - total[stack] <= OPEN_MOST)
        k = np.flatnonzero(touches & along.meets(pin.z_low, pin.z_high))
        same, radius = np.full(k.size, index), np.full(k.size, pin.radius)
        found.append(Beside(same, cols[k], rows[k], x[k], y[k], radius, gap[k], stack[k]))
    whole, real = np.zeros(0, dtype=np.int64), np.zeros(0)
    found = found or [Beside(whole, whole, whole, real, real, real, real, whole)]
    columns = [np.concatenate(column) for column in list(zip(*found, strict=True))[:-1]]
    gaps, stacked = columns[-2], columns[-1]
    near = nearest_few(gaps - total[stacked], gaps)
    which, col, row, x, y, radius, gap, stack = (column[near] for column in columns)
    return Beside(which, col, row, x, y, radius, gap, stack, gaps.size - near.size)


def nearest_few(open_: FloatArray, gap: FloatArray) -> IntArray:
    """Return the rows of the MOST_BESIDE that leave the least open, then have the least gap (mm),
    in their own order.
    """
    if gap.size <= MOST_BESIDE:
        return np.arange(gap.size)
    best = np.lexsort((gap, np.rint(np.maximum(open_, 0.0) / GRAIN)))
    return np.sort(best[:MOST_BESIDE])


def left_beside(task: AngleTask, along: AlongFace) -> int:
    """Return how many pins in holes beside a face are not paired, as others are nearer to it."""
    pins = pins_of(task)
    if len(pins) * task.field.holes <= MOST_BESIDE:
        return 0
    return beside_face(task, along, task.field.usable, pins, packs_of(task)).left_out
