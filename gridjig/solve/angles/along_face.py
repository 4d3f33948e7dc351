"""Pins along a member's face as it lies: each is packed out to the face with the rack's shims.

The face has a fixed position here, so each hole beside it has its own gap to fill, and an answer is
only for its two holes.
"""

import math

import numpy as np

from gridjig.model import Hole
from gridjig.solve.grid.directions import FloatArray, IntArray
from gridjig.solve.packing.stacks import Stacks, nearest, stacks

from .answers import AlongFace, AngleAnswer
from .hole_field import beside_by, within
from .pins import TOUCH, alike, sign, two_pins
from .strip import shims_of
from .task import AngleTask, Batch, best_few, order

NEAR_ENOUGH = 0.5
"""A stack this close to the face, mm, counts as reaching it; a thin shim makes up the rest."""


def _pairs(
    task: AngleTask, fits: IntArray, x: FloatArray, y: FloatArray, apart: float
) -> tuple[IntArray, IntArray, FloatArray, FloatArray]:
    """All pairs of the holes `fits` that are more than `apart` mm apart, within the limits.

    Returns the first and second holes, in the direction of the line; the bases; and how far the
    second lies to the left of the wanted direction from the first, mm.
    """
    one, two = (fits[k] for k in np.triu_indices(fits.size, 1))
    t = math.radians(task.angle)
    c, s = math.cos(t), math.sin(t)
    back = (x[two] - x[one]) * c + (y[two] - y[one]) * s < 0
    one, two = np.where(back, two, one), np.where(back, one, two)
    dx, dy = x[two] - x[one], y[two] - y[one]
    base = np.hypot(dx, dy)
    keep = within(base, task.limits.base_from, task.limits.base_to) & (base > apart)
    return one[keep], two[keep], base[keep], (dy * c - dx * s)[keep]


def _stacks_of_each(task: AngleTask) -> tuple[tuple[str, ...], Stacks]:
    """The ids of the shims, and the stacks that both pins can have at once: from half of them."""
    ids, kinds = shims_of(task)
    limits = task.limits
    halves = [(thickness, n // 2) for thickness, n in kinds]
    return ids, stacks(halves, limits.shims_at_most, limits.packing_to or task.field.grid.pitch)


def packed_along(task: AngleTask, along: AlongFace) -> Batch | None:
    """Every pair of usable holes whose pins can be packed out to the face, by the angle error.

    Each pin gets the stack nearest to its gap, within half a millimetre, from half of the rack's
    shims, so that both can be packed at once.  The line then runs at dir(v) + asin((e2 - e1)/d).
    None without equal pins.
    """
    pair = alike(task)
    if pair is None:
        return None
    limits, g = task.limits, task.field.grid
    ids, every = _stacks_of_each(task)
    rows, cols = np.nonzero(task.field.usable)
    x = np.asarray(task.field.first[0] + cols * g.pitch_x, dtype=np.float64)
    y = np.asarray(task.field.first[1] + rows * g.pitch_y, dtype=np.float64)
    gap = beside_by(along, x, y) - pair.first.radius
    stack = nearest(every.total, gap)
    total = every.total[stack]
    fits = np.flatnonzero(np.abs(total - gap) <= NEAR_ENOUGH)
    one, two, base, aside = _pairs(task, fits, x, y, 2 * pair.first.radius + TOUCH)
    looked_at = int(one.size)
    packed = sign(task) * (total[two] - total[one])
    error = np.degrees(
        np.arcsin(np.clip(aside / base, -1, 1)) + np.arcsin(np.clip(packed / base, -1, 1))
    )
    few, _ = best_few(error, limits.top, limits.leg)
    one, two, error, base = one[few], two[few], error[few], base[few]
    zero = np.zeros(few.size)
    pieces = every.pieces[stack[one]] + every.pieces[stack[two]] + len(pair.pieces)
    chosen = order(error, zero, base, pieces, limits.leg)[: limits.top]

    def pack(at: int) -> tuple[str, ...]:
        counts = every.counts[stack[at]]
        return tuple(piece for piece, n in zip(ids, counts, strict=True) for _ in range(n))

    def build(i: int) -> AngleAnswer:
        a, b = int(one[chosen[i]]), int(two[chosen[i]])
        holes = (Hole(int(cols[a]), int(rows[a])), Hole(int(cols[b]), int(rows[b])))
        return two_pins(
            task,
            "shims",
            pair,
            float(error[chosen[i]]),
            (holes[1].col - holes[0].col, holes[1].row - holes[0].row),
            holes=holes,
            shims=(float(total[a]), float(total[b])),
            packs=(pack(a), pack(b)),
        )

    return Batch(
        "shims",
        error[chosen],
        zero[chosen],
        base[chosen],
        pieces[chosen],
        build,
        looked_at,
    )
