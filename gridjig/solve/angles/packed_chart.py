"""For every angle of the chart, the nearest that two equal pins and a stack of shims make.

A stack of thickness t under one pin, bases L apart, turns the line by asin(t / L): plain geometry,
the same as packing p (m sin T - n cos T) of a pair (m, n) on a pitch p.  The line lies on the same
side of both pins, to the right of the way from the near one to the far one.
"""

import math

import numpy as np
from msgspec import Struct

from gridjig.rack import Rack
from gridjig.solve.grid.directions import IntArray
from gridjig.solve.packing.stacks import Stacks, nearest, stacks

from .answers import AngleLimits
from .chart import AngleChart
from .hole_field import PairTable, field_of

MOST_SHIMS = 3
"""The most shims in a stack: a stack of more is a third of a millimetre thick by its grease."""
_WITHIN = 6.0
"""Pairs further than this from the angle are packed up to it only if there is none nearer."""
_LEAST_BASE = 3.0
"""A base is at least this many pitches: on a shorter one a shim turns the line too much."""


class PackedRow(Struct, frozen=True):
    """The nearest answer with packing for one angle.

    `steps` across and up; `far` and `near` are the stacks under either pin, as piece ids, one of
    them empty; `thickness` is that of the stack in mm, `error_arcmin` what is left.
    """

    wanted_deg: float
    steps: tuple[int, int]
    far: tuple[str, ...]
    near: tuple[str, ...]
    thickness: float
    error_arcmin: float
    base_mm: float


def packed_chart(chart: AngleChart, rack: Rack) -> tuple[PackedRow, ...]:
    """Return a row for each row of a chart; empty if the rack has no shim.

    Of answers that are equally near to an arc-minute, the one with the fewest shims, then the
    thinnest stack, then the longest base.
    """
    shims = [piece for piece in rack.pieces if piece.kind == "shim" and piece.owned > 0]
    if not shims:
        return ()
    kinds = [(piece.thickness, piece.owned) for piece in shims]
    ids = [piece.id for piece in shims]
    made = stacks(kinds, MOST_SHIMS, max(thickness for thickness, _ in kinds) * MOST_SHIMS)
    table = chart.table
    least = _LEAST_BASE * min(table.pitch_x, table.pitch_y)
    low = max(chart.base_from, least if least < chart.base_to else 0.0)
    limits = AngleLimits(base_from=low, base_to=chart.base_to)
    pairs = field_of(table, limits).pairs(low, chart.base_to)
    if not pairs.angle.size:
        return ()
    rows = []
    for row in chart.rows:
        near = np.flatnonzero(np.abs(pairs.angle - row.wanted_deg) <= _WITHIN)
        if not near.size:
            near = np.arange(pairs.angle.size)
        rows.append(_best(row.wanted_deg, near, pairs, made, ids))
    return tuple(rows)


def _best(
    wanted: float,
    near: IntArray,
    pairs: PairTable,
    made: Stacks,
    ids: list[str],
) -> PackedRow:
    angle, base = pairs.angle[near], pairs.base[near]
    need = base * np.sin(np.radians(wanted - angle))
    stack = nearest(made.total, np.abs(need))
    thick = np.sign(need) * made.total[stack]
    error = (angle + np.degrees(np.arcsin(np.clip(thick / base, -1.0, 1.0))) - wanted) * 60.0
    whole = np.round(np.abs(error))
    order = np.lexsort((-base, np.abs(thick), made.pieces[stack], whole))
    at = int(order[0])
    pieces = tuple(
        piece
        for piece, count in zip(ids, made.counts[stack[at]].tolist(), strict=True)
        for _ in range(count)
    )
    up = float(thick[at]) >= 0.0
    k = int(near[at])
    steps = (int(pairs.across[k]), int(pairs.up[k]))
    left = float(error[at])
    return PackedRow(
        wanted,
        steps,
        pieces if up else (),
        () if up else pieces,
        abs(float(thick[at])),
        0.0 if math.isclose(left, 0.0, abs_tol=1e-7) else left,
        float(base[at]),
    )
