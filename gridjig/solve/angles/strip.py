"""Steps along the wanted line, and the lines they make with pins of different size or packing.

Only a narrow strip of the grid along the line can give an answer: a hole further off the line than
the packing reaches leaves an error that is known in advance.  That makes the search fast and proves
it complete.
"""

import math
from functools import lru_cache

import numpy as np
from msgspec import Struct

from gridjig.solve.grid.directions import FloatArray, IntArray, strip
from gridjig.solve.packing.stacks import Stacks, nearest, stacks
from gridjig.units.progress import look

from .answers import AngleAnswer
from .hole_field import within
from .pins import TOUCH, Pin, PinPair, alike, pins_of, sign, two_pins
from .task import AngleTask, Batch, best_few, order, rank

MARGIN = 0.25
"""How much wider than the packing the first strip is, in pitches; it grows if needed."""


class Strip(Struct, frozen=True, eq=False):
    """Steps that run within `half_width` mm of the wanted line and have a place.

    `aside` is how far (mm) the second hole is to the left of the line through the first.
    """

    half_width: float
    across: IntArray
    up: IntArray
    aside: FloatArray
    base: FloatArray


def strip_of(task: AngleTask, half_width: float) -> Strip:
    """Return the steps within the limits that run along the wanted line."""
    g = task.field.grid
    m, n = strip(g, task.angle, half_width)
    x, y = m * g.pitch_x, n * g.pitch_y
    base = np.hypot(x, y)
    keep = within(base, task.limits.base_from, task.limits.base_to)
    keep &= task.field.count(m, n) > 0
    m, n, x, y, base = m[keep], n[keep], x[keep], y[keep], base[keep]
    t = math.radians(task.angle)
    return Strip(half_width, m, n, y * math.cos(t) - x * math.sin(t), base)


def complete(task: AngleTask, half_width: float, difference: float, last: float) -> bool:
    """True if no steps outside a strip can rank equal to or before the rank `last`.

    Outside it the hole is more than w off the line, and pins or packing make up at most
    `difference`, so the error is above asin(w/d) - asin(difference/d) >= (w - difference)/d for
    every base d.
    """
    if half_width >= task.field.grid.diagonal:
        return True
    least = math.degrees((half_width - difference) / task.longest)
    return rank(least, task.limits.leg) > last


# -- two pins of different size ------------------------------------------------------------------


class PinSizes(Struct, frozen=True, eq=False):
    """Pairs of different pins, one for each difference: r2 - r1 and r1 + r2, mm."""

    pairs: tuple[PinPair, ...]
    difference: FloatArray
    apart: FloatArray


@lru_cache(maxsize=16)
def _sizes(
    pins: tuple[Pin, ...],
    left: tuple[int, ...],
    only_left: bool,
) -> PinSizes:
    """Each difference once, with the first pair that the rack has, or else the first pair."""
    radius, low, high = (
        np.array([getattr(pin, name) for pin in pins]) for name in ("radius", "z_low", "z_high")
    )
    names: dict[str, int] = {}
    piece = np.array([names.setdefault(pin.piece, len(names)) for pin in pins])
    stock = np.array(left)
    found: dict[float, tuple[bool, int, int]] = {}
    for i in range(len(pins)):
        look()
        apart = np.round(radius - radius[i], 6)
        ok = (apart != 0.0) & (np.minimum(high, high[i]) > np.maximum(low, low[i]))
        has = (np.minimum(stock, stock[i]) >= 1) & ((piece != piece[i]) | (stock[i] >= 2))
        for able in (True, False) if not only_left else (True,):
            these = np.flatnonzero(ok & (has == able))
            values, first = np.unique(apart[these], return_index=True)
            for difference, j in zip(values.tolist(), these[first].tolist(), strict=True):
                if difference not in found or (able and not found[difference][0]):
                    found[difference] = (able, i, j)
    pairs = tuple(PinPair(pins[i], pins[j]) for _, i, j in found.values())
    return PinSizes(
        pairs,
        np.array([p.second.radius - p.first.radius for p in pairs]),
        np.array([p.second.radius + p.first.radius for p in pairs]) + TOUCH,
    )


def sizes_of(task: AngleTask) -> PinSizes:
    """Return the pairs of different pins that may be used."""
    pins = pins_of(task)
    left = tuple(
        min(
            task.left(task.pieces[p.piece]),
            task.left(task.pieces[p.locking]) // 2 if p.locking else 2,
        )
        for p in pins
    )
    return _sizes(pins, left, task.limits.only_left)


def two_sizes(task: AngleTask) -> Batch | None:
    """Return the answers of two pins of different size, in either order; None without two sizes."""
    sizes = sizes_of(task)
    if not sizes.pairs:
        return None
    largest = float(np.abs(sizes.difference).max())
    half_width = largest + MARGIN * task.field.grid.pitch
    while True:
        s = strip_of(task, half_width)
        error = _tangents(task, s, sizes)
        few, last = best_few(error, task.limits.top, task.limits.leg)
        if complete(task, half_width, largest, last):
            break
        half_width *= 2
    row, column = np.divmod(few, len(sizes.pairs))
    picked, base = error.ravel()[few], s.base[row]
    zero = np.zeros(few.size)
    pieces = np.array([len(p.pieces) for p in sizes.pairs])[column]
    chosen = order(picked, zero, base, pieces, task.limits.leg)[: task.limits.top]

    def build(i: int) -> AngleAnswer:
        k = chosen[i]
        at = int(row[k])
        steps = (int(s.across[at]), int(s.up[at]))
        return two_pins(task, "two sizes", sizes.pairs[column[k]], float(picked[k]), steps)

    looked_at = task.field.reach(task.limits.base_from, task.limits.base_to).steps
    return Batch(
        "two sizes",
        picked[chosen],
        zero[chosen],
        base[chosen],
        pieces[chosen],
        build,
        looked_at * len(sizes.pairs),
    )


def _tangents(task: AngleTask, s: Strip, sizes: PinSizes) -> FloatArray:
    """Errors in degrees for all steps (rows) and pairs of pins (columns); inf if bodies touch."""
    turn = np.arcsin(np.clip(s.aside / s.base, -1.0, 1.0))
    ratio = np.outer(sign(task) / s.base, sizes.difference)
    error = np.degrees(turn[:, None] + np.arcsin(np.clip(ratio, -1.0, 1.0)))
    error[error > 90.0] -= 180.0
    error[error <= -90.0] += 180.0
    error[s.base[:, None] <= sizes.apart] = np.inf
    return np.asarray(error)


# -- equal pins with packing ---------------------------------------------------------------------


@lru_cache(maxsize=16)
def _stacks(
    kinds: tuple[tuple[float, int], ...],
    at_most: int,
    thickest: float,
) -> Stacks:
    return stacks(kinds, at_most, thickest)


def shims_of(task: AngleTask) -> tuple[tuple[str, ...], tuple[tuple[float, int], ...]]:
    """Return the shims that may be used: their ids, and the thickness (mm) and count of each."""
    kinds = [(p, task.left(p) if task.limits.only_left else p.owned) for p in task.rack.shims]
    kinds = [(p, n) for p, n in kinds if n]
    return tuple(p.id for p, _ in kinds), tuple((p.thickness, n) for p, n in kinds)


def shimmed(task: AngleTask) -> Batch | None:
    """Return the answers of equal pins, one packed: for each number of shims the nearest stack.

    The stack makes up p (m sin T - n cos T), the distance by which the second hole misses the
    line.  None without equal pins or without shims.
    """
    pair = alike(task)
    ids, kinds = shims_of(task)
    limits = task.limits
    thick = limits.packing_to or task.field.grid.pitch / 2
    every = _stacks(kinds, limits.most_shims, thick)
    if pair is None or every.total.size < 2:
        return None
    thickest = float(every.total[-1])
    layers = [every.at_most(k) for k in range(1, int(every.pieces.max()) + 1)]
    half_width = thickest + MARGIN * task.field.grid.pitch
    while True:
        s = strip_of(task, half_width)
        stack = np.stack([rows[nearest(every.total[rows], np.abs(s.aside))] for rows in layers], 1)
        error = _packed(s, every, stack, 2 * pair.first.radius)
        few, last = best_few(error, task.limits.top, task.limits.leg)
        if complete(task, half_width, thickest, last):
            break
        half_width *= 2
    row, picked = few // len(layers), error.ravel()[few]
    which, base, zero = stack.ravel()[few], s.base[row], np.zeros(few.size)
    pieces = every.pieces[which] + len(pair.pieces)
    chosen = order(picked, zero, base, pieces, task.limits.leg)[: task.limits.top]

    def build(i: int) -> AngleAnswer:
        k = chosen[i]
        at = int(row[k])
        pack = tuple(
            piece for piece, n in zip(ids, every.counts[which[k]], strict=True) for _ in range(n)
        )
        total = float(every.total[which[k]])
        first = s.aside[at] * sign(task) > 0
        return two_pins(
            task,
            "shims",
            pair,
            float(picked[k]),
            (int(s.across[at]), int(s.up[at])),
            shims=(total, 0.0) if first else (0.0, total),
            packs=(pack, ()) if first else ((), pack),
        )

    looked_at = task.field.reach(task.limits.base_from, task.limits.base_to).steps
    return Batch(
        "shims",
        picked[chosen],
        zero[chosen],
        base[chosen],
        pieces[chosen],
        build,
        looked_at * (every.total.size - 1),
    )


def _packed(s: Strip, every: Stacks, stack: IntArray, apart: float) -> FloatArray:
    """Errors in degrees for all steps (rows) and the stack of each number of shims (columns).

    The stack goes on the pin that is too far from the line, so it turns the line towards the wanted
    direction.  inf: no shim at all, the same stack as with fewer pieces, or bodies touch.
    """
    turn = np.arcsin(np.clip(s.aside / s.base, -1.0, 1.0))
    by = np.arcsin(np.clip(every.total[stack] / s.base[:, None], -1.0, 1.0))
    error = np.degrees(turn[:, None] - np.where(s.aside < 0, -1.0, 1.0)[:, None] * by)
    error[every.pieces[stack] != np.arange(1, stack.shape[1] + 1)] = np.inf
    error[s.base <= apart + TOUCH] = np.inf
    return np.asarray(error)
