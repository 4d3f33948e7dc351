"""Which contacts of a rigid body touch when it is pushed home, and by how much they fight.

Each contact i keeps the body on its own side: rows_i.q >= off_i for the small motion q from where
the body is drawn, with off_i how far the contact reaches into it there (negative for a gap).
"""

from typing import NamedTuple

import numpy as np

from .programme import NoSolution, Optimum
from .rows import Floats
from .simplex import maximise


class Squeeze(NamedTuple):
    """The least `by` that every contact has to give way for the body to go in at all, mm.

    0 or less: it goes in, with that much room on every side.  Minus infinity: nothing is opposite
    anything.  `shares` is how much each contact takes part, adding up to 1.
    """

    by: float
    shares: Floats


def squeeze(rows: Floats, off: Floats) -> Squeeze:
    """How much too little room contacts leave a body, from scaled rows (n, 3) and (n,) mm.

    The dual of: least s with rows.q + s >= off.
    """
    n = len(rows)
    a = np.vstack((rows.T, np.ones(n)))
    found = maximise(off, a, np.array((0.0, 0.0, 0.0, 1.0)))
    if isinstance(found, NoSolution):
        return Squeeze(-np.inf, np.zeros(n))
    assert isinstance(found, Optimum)
    return Squeeze(found.value, found.x)


class Seated(NamedTuple):
    """Where a pushed body comes to rest: the motion in the columns of the rows, the force on each
    contact (of a unit push), and how far the body stands off each, mm.
    """

    motion: Floats
    forces: Floats
    slack: Floats


def seat(rows: Floats, off: Floats, push: Floats) -> Seated | None:
    """Push a body with a force and moment (3,) until the contacts hold it.

    None if they do not hold it, or if there is no room for it between them.
    """
    found = maximise(off, rows.T, -push)
    if not isinstance(found, Optimum):
        return None
    motion = found.dual
    return Seated(motion, found.x, rows @ motion - off)
