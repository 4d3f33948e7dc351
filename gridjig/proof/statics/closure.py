"""Form closure: whether contacts alone, however hard one pushes, let a body go nowhere.

To first order: the rows have rank 3 and some positive sum of all of them vanishes.  A rank below 3
comes first: a square held at its four middles has such a sum, and still turns.
"""

from itertools import combinations

import numpy as np

from .programme import NoSolution, Optimum
from .rank import rank_of
from .rows import Floats, cross
from .simplex import maximise

_ZERO = 1e-9
_MANY = 24
"""With more contacts than this the linear programme is faster than all pairs of them."""


def closed(rows: Floats) -> bool:
    """True if no small motion is free, from scaled rows (n, 3); exact but for rounding.

    If one were, one on the edge of all free motions would also be: it leaves two contacts at once
    untouched, so it is along the cross product of their rows.
    """
    if len(rows) < 4 or rank_of(rows).held < 3:
        return False
    if len(rows) == 4:
        return closed_by_minors(rows)
    if len(rows) > _MANY:
        return margin(rows) > _ZERO
    return not _opens(rows)


def _opens(rows: Floats) -> bool:
    """True if a motion that leaves two contacts closed opens or keeps all others, from rows of
    rank 3.
    """
    pairs = list(combinations(range(len(rows)), 2))
    first, second = np.array(pairs).T
    rays = cross(rows[first], rows[second])
    size = np.linalg.norm(rays, axis=1)
    rays = rays[size > _ZERO] / size[size > _ZERO, None]
    opening = rays @ rows.T
    free = (opening >= -_ZERO).all(axis=1) | (opening <= _ZERO).all(axis=1)
    return bool(free.any())


def closed_by_minors(rows: Floats) -> bool:
    """True if four contacts close a body, from rows (4, 3) of rank 3.

    The four 3 x 3 determinants, with alternating signs, must all have one sign.
    """
    minors = [
        (-1.0) ** k * float(np.linalg.det(np.delete(rows, k, axis=0))) for k in range(len(rows))
    ]
    return min(minors) > _ZERO or max(minors) < -_ZERO


def margin(rows: Floats) -> float:
    """The greatest d with k >= d, sum k = 1 and k.rows = 0: above 0 if closed, given rank 3.

    It depends on what lengths are measured in; the rows are scaled, so it can be compared.
    Minus infinity if no such k exists at all.
    """
    n = len(rows)
    if not n:
        return -np.inf
    # k = d + s with s >= 0; d = up - down.
    total = rows.sum(axis=0)
    a = np.vstack(
        (
            np.hstack((rows.T, total[:, None], -total[:, None])),
            np.hstack((np.ones(n), n, -n)),
        )
    )
    c = np.concatenate((np.zeros(n), (1.0, -1.0)))
    found = maximise(c, a, np.array((0.0, 0.0, 0.0, 1.0)))
    if isinstance(found, NoSolution):
        return -np.inf
    assert isinstance(found, Optimum)
    return found.value
