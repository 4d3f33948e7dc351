"""Small linear programmes in exact fractions, for the few that floating point does not settle.

Contacts on one face whose directions differ in the ninth figure make bases that are all but
singular.  Here columns that are the same but for such a difference are made the same, and then
every step is exact: with Bland's rule it always ends.  Takes milliseconds, not microseconds.
"""

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from .programme import NoSolution, Optimum, Solved, Unbounded
from .rows import Floats

SAME = 1e-6
"""Columns that differ by less are one: a contact that is a micrometre off on a metre."""

SLIGHT = 1e-8
"""Costs that grow by less than this along a ray do not grow: two stops leave exactly no room."""

LARGEST = 1e4
"""Dual values beyond this, for the largest cost, are nonsense: a motion of 10 m for 1 mm.  So are
forces beyond it, for the largest push.
"""

_GRID, _COARSE = 2.0**36, 2.0**26
"""Numbers are rounded to one part in this many, which keeps the fractions short; to the coarser
one, 1.5e-8, if forces beyond `LARGEST` show that rounding still decides the answer.
"""

Fractions = list[Fraction]


def maximise_exactly(c: Floats, a: Floats, b: Floats) -> Solved:
    """Maximise c.x subject to a x = b and x >= 0; b >= 0.  Shapes (n,), (m, n), (m,).

    Equations that only together say more than 1e-6 do not count as more than one: a x may be off
    where to keep to b would take dual values beyond `LARGEST`.
    """
    found = _solved(c, a, b, _GRID)
    return _solved(c, a, b, _COARSE) if _beyond(found, b) else found


def _beyond(found: Solved, b: Floats) -> bool:
    """True if an answer takes forces so large that only rounding can explain them."""
    if isinstance(found, NoSolution):
        return False
    forces, push = (found.ray, 1.0) if isinstance(found, Unbounded) else (found.x, float(b.max()))
    return float(forces.max(initial=0.0)) > LARGEST * max(1.0, push)


def _solved(c: Floats, a: Floats, b: Floats, grid: float) -> Solved:
    m, n = a.shape
    table = _Table(_alike(a, grid), b, grid)
    lacks = [Fraction(0)] * n + [Fraction(-1)] * (2 * m)
    table.improve(lacks)
    lacking = sum((table.right[k] for k, j in enumerate(table.basis) if j >= n), Fraction(0))
    if lacking > Fraction(SAME) * max([Fraction(1), *map(Fraction, b.tolist())]):
        return NoSolution(table.dual(lacks))
    most = Fraction(LARGEST) * max([Fraction(1), *(abs(Fraction(one)) for one in c.tolist())])
    costs = [*map(Fraction, c.tolist()), *[-most] * (2 * m)]
    ray = table.improve(costs)
    x = np.zeros(n + 2 * m)
    x[table.basis] = [float(one) for one in table.right]
    if ray is not None:
        return Unbounded(x[:n], ray[:n])
    return Optimum(float(c @ x[:n]), x[:n], table.dual(costs))


def _alike(a: Floats, grid: float) -> Floats:
    """The columns, rounded, and those that are all but the same as an earlier one made the same."""
    made: Floats = np.round(a * grid) / grid
    for k in range(1, made.shape[1]):
        off = np.abs(made[:, :k] - made[:, k : k + 1]).max(axis=0, initial=0.0)
        near = int(np.argmin(off))
        if off[near] < SAME:
            made[:, k] = made[:, near]
    return made


class _Table:
    """The simplex tableau: the columns, and what is lacking in each row, or too much."""

    def __init__(self, a: Floats, b: Floats, grid: float) -> None:
        m, self.n = a.shape
        lacks = [[Fraction(int(j == k)) for j in range(m)] for k in range(m)]
        self.rows: list[Fractions] = [
            [*map(Fraction, a[k].tolist()), *lacks[k], *(-one for one in lacks[k])]
            for k in range(m)
        ]
        self.right: Fractions = [Fraction(round(one * grid), int(grid)) for one in b.tolist()]
        self.basis = list(range(self.n, self.n + m))

    def improve(self, costs: Sequence[Fraction]) -> Floats | None:
        """Exchange columns until none improves; return a ray if there is no end.

        The first column that improves enters (Bland's rule), so that no basis comes twice.  One
        that could grow without end and gains next to nothing is left out.
        """
        barred = set(self.basis)
        while True:
            gains = ((j, self._gain(costs, j)) for j in range(len(costs)) if j not in barred)
            enter, gain = next(((j, gain) for j, gain in gains if gain > 0), (None, Fraction(0)))
            if enter is None:
                return None
            barred.add(enter)
            column = [row[enter] for row in self.rows]
            ratios = [(self.right[k] / v, self.basis[k], k) for k, v in enumerate(column) if v > 0]
            if ratios:
                _, leaving, place = min(ratios)
                self._exchange(place, enter)
                barred.discard(leaving)
            elif gain > SLIGHT:
                ray = np.zeros(len(costs))
                ray[enter] = 1.0
                ray[self.basis] = [-float(v) for v in column]
                return ray

    def dual(self, costs: Sequence[Fraction]) -> Floats:
        """The dual values of the rows in this basis."""
        rows = range(self.n, self.n + len(self.rows))
        return np.array([float(costs[j] - self._gain(costs, j)) for j in rows])

    def _gain(self, costs: Sequence[Fraction], j: int) -> Fraction:
        gain = costs[j]
        for i, row in zip(self.basis, self.rows, strict=True):
            if costs[i] and row[j]:
                gain -= costs[i] * row[j]
        return gain

    def _exchange(self, leave: int, enter: int) -> None:
        lead = self.rows[leave][enter]
        self.rows[leave] = [v / lead if v else v for v in self.rows[leave]]
        self.right[leave] /= lead
        for k, row in enumerate(self.rows):
            times = row[enter]
            if k != leave and times:
                self.rows[k] = [
                    v - times * w if w else v for v, w in zip(row, self.rows[leave], strict=True)
                ]
                self.right[k] -= times * self.right[leave]
        self.basis[leave] = enter
