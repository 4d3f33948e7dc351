"""The reverse: the angle that two chosen holes make, and all angles that a table can make.

It knows no rack.
"""

import math

from msgspec import Struct

from gridjig.model import Hole, Table
from gridjig.solve.grid.directions import off, window

from .answers import AngleLimits
from .faults import AngleFault, AskedWrong, SameHole
from .hole_field import field_of
from .pins import crossing, same_side
from .task import end_error


class TwoHoleLines(Struct, frozen=True):
    """The lines that two pins make, as directions on the table in degrees, 0 <= d < 180.

    `angle_deg` runs through the hole centres; `pins_right` and `pins_left` touch both pins on one
    side, looking from the first hole to the second; `between` passes between the pins, from the
    right of the first to the left of the second and the other way, None where they overlap.
    """

    steps: tuple[int, int]
    base_mm: float
    angle_deg: float
    pins_right: float
    pins_left: float
    between: tuple[float, float] | None


def two_hole_lines(
    table: Table, first: Hole, second: Hole, diameter_1: float = 0.0, diameter_2: float = 0.0
) -> TwoHoleLines:
    """Return the lines that pins of these diameters (mm) make in two holes.  Raise AngleFault."""
    for hole in (first, second):
        if not table.has(hole):
            raise AngleFault("holes", AskedWrong("hole off the table"))
    if first == second:
        raise AngleFault("holes", SameHole(first))
    if not (diameter_1 >= 0 and diameter_2 >= 0):
        raise AngleFault("diameters", AskedWrong("pin below 0"))
    m, n = second.col - first.col, second.row - first.row
    x, y = m * table.pitch_x, n * table.pitch_y
    base = math.hypot(x, y)
    r1, r2 = diameter_1 / 2.0, diameter_2 / 2.0
    if base < r1 + r2:
        raise AngleFault("diameters", AskedWrong("pins overlap"))
    centre = math.degrees(math.atan2(y, x))
    turn, cross = same_side(r1, r2, base), crossing(r1, r2, base)
    return TwoHoleLines(
        steps=(m, n),
        base_mm=base,
        angle_deg=centre % 180.0,
        pins_right=(centre - turn) % 180.0,
        pins_left=(centre + turn) % 180.0,
        between=((centre + cross) % 180.0, (centre - cross) % 180.0),
    )


class ChartRow(Struct, frozen=True):
    """The best pair of holes for one angle; lengths in mm.

    `steps` is the longest pair of that direction within the limits, `shortest` the same direction
    in its smallest steps; `mm_per_m` is the error at the end of a leg of one metre.
    """

    wanted_deg: float
    steps: tuple[int, int]
    shortest: tuple[int, int]
    angle_deg: float
    error_arcmin: float
    mm_per_m: float
    base_mm: float


class AngleChart(Struct, frozen=True):
    """For every angle from 0 to 90 degrees, `step` apart, the best pair of holes of a table."""

    table: Table
    base_from: float
    base_to: float
    step: float
    rows: tuple[ChartRow, ...]

    @property
    def worst(self) -> ChartRow:
        """Return the row with the greatest error."""
        return max(self.rows, key=lambda row: abs(row.error_arcmin))


def angle_chart(
    table: Table,
    base_from: float = 0.0,
    base_to: float = math.inf,
    step: float = 0.5,
) -> AngleChart:
    """Return the best pair of free holes for every angle; of equally near ones, the longest base.

    Bases are in mm, the step in degrees.  Raise AngleFault.
    """
    if not 0.05 <= step <= 45.0:
        raise AngleFault("step", AskedWrong("chart step"))
    limits = AngleLimits(base_from=base_from, base_to=base_to)
    pairs = field_of(table, limits).pairs(base_from, base_to)
    if not pairs.angle.size:
        raise AngleFault("base_to", AskedWrong("no base within"))
    rows = []
    for k in range(math.floor(90.0 / step + 1e-9) + 1):
        wanted = k * step
        near = window(pairs.angle, wanted, 4)
        error = off(pairs.angle[near], wanted)
        key = [
            (round(abs(float(e)), 9), -float(b))
            for e, b in zip(error, pairs.base[near], strict=True)
        ]
        best = min(range(len(key)), key=key.__getitem__)
        at = int(near[best])
        m, n, times = int(pairs.across[at]), int(pairs.up[at]), int(pairs.times[at])
        e = float(error[best])
        e = 0.0 if abs(e) < 1e-9 else e
        rows.append(
            ChartRow(
                wanted_deg=wanted,
                steps=(m, n),
                shortest=(m // times, n // times),
                angle_deg=float(pairs.angle[at]),
                error_arcmin=e * 60.0,
                mm_per_m=end_error(e, 1000.0),
                base_mm=float(pairs.base[at]),
            )
        )
    return AngleChart(table, base_from, base_to, step, tuple(rows))
