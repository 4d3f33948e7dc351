"""Linear programmes with few rows and many columns: the revised simplex method.

Planar statics has three equations (two forces and a moment), whatever the number of contacts, so
that a basis is a 3 x 3 matrix and a step costs microseconds.  A basis that is all but singular is
not followed: such a programme is solved in exact fractions instead (`exact_simplex`).
"""

import numpy as np

from .exact_simplex import SAME, SLIGHT, maximise_exactly
from .programme import NoSolution, Optimum, Solved, Unbounded
from .rows import Floats

_TINY = 1e-10
_PIVOT = 1e-6
"""The least pivot, for the largest number of its column: below, columns are as good as the same."""
_STEPS = 60
"""The most steps; 14 are the most that contacts of a set-up were seen to need."""
_SETTLED = 1e-9
"""The part of a push that the contacts may leave over and still count as taking all of it."""
_OFF = 1e-8
"""How far an answer may be from holding."""


class _UnsettledError(Exception):
    """Rounding decides what is found."""


def maximise(c: Floats, a: Floats, b: Floats) -> Solved:
    """Maximise c.x subject to a x = b and x >= 0.

    Shapes (n,), (m, n), (m,), with m small.  All of similar size: entries below 1e-10 count as 0.
    """
    sign = np.where(b < 0.0, -1.0, 1.0)
    rows, right = a * sign[:, None], np.abs(b)
    try:
        found = _quickly(c, rows, right)
    except (_UnsettledError, np.linalg.LinAlgError):
        found = maximise_exactly(c, rows, right)
    if isinstance(found, Unbounded):
        return found
    if isinstance(found, NoSolution):
        return NoSolution(found.proof * sign)
    return Optimum(found.value, found.x, found.dual * sign)


def _quickly(c: Floats, a: Floats, right: Floats) -> Solved:
    """The answer for right >= 0; _UnsettledError or LinAlgError where rounding decides it."""
    m, n = a.shape
    whole = np.hstack((a, np.eye(m)))
    basis = np.arange(n, n + m)
    first = np.concatenate((np.zeros(n), -np.ones(m)))
    done = _improve(first, whole, right, basis, n + m)
    assert not isinstance(done, Unbounded)
    held, dual = done
    size = max(1.0, float(right.max(initial=0.0)))
    lacking = -float(first[basis] @ held) / size
    if lacking > SAME:
        return NoSolution(dual)
    if lacking > _SETTLED:
        raise _UnsettledError
    _drive_out(whole, basis, n)
    objective = np.concatenate((c, np.zeros(m)))
    end = _improve(objective, whole, right, basis, n)
    if isinstance(end, Unbounded):
        return Unbounded(end.x[:n], end.ray[:n])
    held, dual = end
    x = np.zeros(n + m)
    x[basis] = np.maximum(held, 0.0)
    if float(np.abs(whole[:, :n] @ x[:n] - right).max(initial=0.0)) > _OFF * size:
        raise _UnsettledError
    return Optimum(float(objective @ x), x[:n], dual)


def _improve(
    c: Floats, a: Floats, b: Floats, basis: "np.ndarray", free: int
) -> tuple[Floats, Floats] | Unbounded:
    """Exchange columns of the basis, in place, until no column below `free` improves."""
    width = a.shape[1]
    for _ in range(_STEPS):
        inverse = np.linalg.inv(a[:, basis])
        held = inverse @ b
        dual = c[basis] @ inverse
        gain = c[:free] - dual @ a[:, :free]
        gain[basis[basis < free]] = 0.0
        enter = int(np.argmax(gain))
        if not gain[enter] > _TINY:
            return held, dual
        column = inverse @ a[:, enter]
        size = np.abs(column)
        # A column of the first phase that stayed, at 0, must not become positive.
        stuck = (basis >= free) & (size > _TINY) & (free < width)
        rising = (column > _TINY) | stuck
        if not rising.any():
            if gain[enter] <= SLIGHT * max(1.0, size.max()):  # along a ray of unit size
                raise _UnsettledError
            x, ray = np.zeros(width), np.zeros(width)
            x[basis], ray[basis] = np.maximum(held, 0.0), -column
            ray[enter] = 1.0
            return Unbounded(x, ray)
        ratio = np.full(len(basis), np.inf)
        ratio[rising] = np.maximum(held[rising], 0.0) / size[rising]
        least = ratio.min()
        ties = np.flatnonzero(ratio <= least + 1e-12 * (1.0 + least))
        leave = ties[np.argmax(size[ties])]
        if size[leave] < _PIVOT * size.max():
            raise _UnsettledError
        basis[leave] = enter
    raise _UnsettledError


def _drive_out(a: Floats, basis: "np.ndarray", free: int) -> None:
    """Replace columns of the first phase by others where the rows are independent."""
    for place in np.flatnonzero(basis >= free):
        inverse = np.linalg.inv(a[:, basis])
        row = inverse[place] @ a[:, :free]
        row[basis[basis < free]] = 0.0
        size = np.abs(row)
        if free and size[best := int(np.argmax(size))] > 1e-9:
            if size[best] < _PIVOT:
                raise _UnsettledError
            basis[place] = best
