"""Moving the work so that its faces touch, and holding a member between two round pins."""

import math
from collections.abc import Sequence

import numpy as np

from gridjig.geometry import wrap
from gridjig.rack import Point


def shift_to_touch(normals: Sequence[Point], gaps: Sequence[float]) -> Point | None:
    """The shift of the work, in mm, that closes the gaps at several faces at once.

    `normals` point out of the work; a shift s changes each gap by -normal.s.  If the shift is not
    unique (one face, or parallel faces with the same gap), the shortest is taken.  None if no shift
    closes all gaps.
    """
    if not normals:
        return (0.0, 0.0)
    rows, wanted = np.array(normals), np.array(gaps)
    shift, *_ = np.linalg.lstsq(rows, wanted, rcond=1e-9)
    if np.abs(rows @ shift - wanted).max() > 1e-6:
        return None
    return (float(shift[0]), float(shift[1]))


def astride(
    a: Point, b: Point, radius_a: float, radius_b: float, width: float
) -> tuple[float, float] | None:
    """The directions, in degrees, of a member held between two round pins, one at each long face.

    The first has pin `a` on its right, the second on its left.  None if the pins are too close
    together for its width.
    """
    far = math.dist(a, b)
    needed = radius_a + radius_b + width
    if far <= 0.0 or needed > far:
        return None
    base = math.degrees(math.atan2(b[1] - a[1], b[0] - a[0]))
    off = math.degrees(math.asin(needed / far))
    return (wrap(base - off), wrap(base + off))
