"""Linear programmes with few rows and many columns: the revised simplex method.

Planar statics has three equations (two forces and a moment), whatever the number of contacts, so
that a basis is a 3 x 3 matrix and a step costs microseconds.
"""

from typing import NamedTuple

import numpy as np

from .rows import Floats

_TINY = 1e-10
_STEPS = 400
"""Steps after which the smallest index enters (Bland's rule), which cannot cycle."""
_MOST = 20_000
"""The most steps; with so few rows none came near in tests."""


class Optimum(NamedTuple):
    """The answer: x >= 0 of the greatest c.x with A x = b, and the dual values of the rows."""

    value: float
    x: Floats
    dual: Floats


class NoSolution(NamedTuple):
    """There is no x >= 0 with A x = b: `proof` is a y with A^T y >= 0 and b.y < 0."""

    proof: Floats


class Unbounded(NamedTuple):
    """c.x grows without limit along x + t `ray`."""

    x: Floats
    ray: Floats


def maximise(c: Floats, a: Floats, b: Floats) -> Optimum | NoSolution | Unbounded:
    """Maximise c.x subject to a x = b and x >= 0.

    Shapes (n,), (m, n), (m,), with m small.  All of similar size: entries below 1e-10 count as 0.
    """
    m, n = a.shape
    sign = np.where(b < 0.0, -1.0, 1.0)
    whole = np.hstack((a * sign[:, None], np.eye(m)))
    right = np.abs(b)
    basis = np.arange(n, n + m)
    first = np.concatenate((np.zeros(n), -np.ones(m)))
    done = _improve(first, whole, right, basis, n + m)
    assert not isinstance(done, Unbounded)
    held, dual = done
    size = max(1.0, float(right.max(initial=0.0)))
    if float(first[basis] @ held) < -1e-9 * size:
        return NoSolution(dual * sign)
    _drive_out(whole, basis, n)
    objective = np.concatenate((c, np.zeros(m)))
    end = _improve(objective, whole, right, basis, n)
    if isinstance(end, Unbounded):
        return Unbounded(end.x[:n], end.ray[:n])
    held, dual = end
    x = np.zeros(n + m)
    x[basis] = np.maximum(held, 0.0)
    return Optimum(float(objective @ x), x[:n], dual * sign)


def _improve(
    c: Floats, a: Floats, b: Floats, basis: "np.ndarray", free: int
) -> tuple[Floats, Floats] | Unbounded:
    """Exchange columns of the basis, in place, until no column below `free` improves."""
    width = a.shape[1]
    for step in range(_MOST):
        inverse = np.linalg.inv(a[:, basis])
        held = inverse @ b
        dual = c[basis] @ inverse
        gain = c[:free] - dual @ a[:, :free]
        gain[basis[basis < free]] = 0.0
        better = np.flatnonzero(gain > _TINY)
        if not better.size:
            return held, dual
        enter = better[0] if step >= _STEPS else better[np.argmax(gain[better])]
        column = inverse @ a[:, enter]
        # A column of the first phase that stayed, at 0, must not become positive.
        stuck = (basis >= free) & (np.abs(column) > _TINY) & (free < width)
        rising = (column > _TINY) | stuck
        if not rising.any():
            x, ray = np.zeros(width), np.zeros(width)
            x[basis], ray[basis] = np.maximum(held, 0.0), -column
            ray[enter] = 1.0
            return Unbounded(x, ray)
        ratio = np.full(len(basis), np.inf)
        ratio[rising] = np.maximum(held[rising], 0.0) / np.abs(column[rising])
        least = ratio.min()
        ties = np.flatnonzero(ratio <= least + 1e-12 * (1.0 + least))
        leave = (
            ties[np.argmin(basis[ties])]
            if step >= _STEPS
            else ties[np.argmax(np.abs(column[ties]))]
        )
        basis[leave] = enter
    raise ArithmeticError("the simplex method did not end")


def _drive_out(a: Floats, basis: "np.ndarray", free: int) -> None:
    """Replace columns of the first phase by others where the rows are independent."""
    for place in np.flatnonzero(basis >= free):
        inverse = np.linalg.inv(a[:, basis])
        row = inverse[place] @ a[:, :free]
        row[basis[basis < free]] = 0.0
        if free and abs(row[best := int(np.argmax(np.abs(row)))]) > 1e-9:
            basis[place] = best
