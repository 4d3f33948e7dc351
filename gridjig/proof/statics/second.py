"""What contacts hold whose lines meet in one point: to first order the body can turn about it.

Whether it really can depends on curvature.  A triangle between three round pins cannot leave
although the three lines meet; but it turns a little in the least gap, so its angle is not located.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from gridjig.rack import Point

from .programme import Optimum
from .simplex import maximise


class Bent(NamedTuple):
    """A contact: its point, the unit normal into the body, and the radii of curvature, mm.

    `pin` is that of the locator and `part` that of the body, positive where they bulge; infinite
    for straight edges, 0 for corners.
    """

    at: Point
    way: Point
    pin: float
    part: float = math.inf


def stiffness(contact: Bent, centre: Point) -> float:
    """What one contact adds to kappa, mm, about a point on its line.

    (a + r)(rho - a) / (rho + r), with a the distance from the contact to the centre along the
    normal, r the radius of the pin and rho that of the body.
    """
    a = (centre[0] - contact.at[0]) * contact.way[0] + (centre[1] - contact.at[1]) * contact.way[1]
    r, rho = contact.pin, contact.part
    if math.isinf(rho) and math.isinf(r):
        return math.inf  # two straight edges: they hold the angle to first order
    if math.isinf(rho):
        return a + r
    if math.isinf(r):
        return rho - a
    if rho + r == 0.0:  # a pin that fills a hole, or two corners: it turns about the contact
        return 0.0
    return (a + r) * (rho - a) / (rho + r)


def kappa(contacts: Sequence[Bent], centre: Point) -> float | None:
    """How firmly contacts whose lines meet in a centre hold a body against turning about it, mm.

    The greatest sum of l_i times the `stiffness` over l >= 0 that balance, sum l_i = 1.  Above 0:
    the body cannot leave; below 0: it turns away; 0 is undecided (a disc turns for ever).  None if
    no l balances: it can simply be pushed off.  Derived for pins on straight edges and exact there
    at any angle.
    """
    if len(contacts) < 2:
        return None
    add = np.array([stiffness(one, centre) for one in contacts])
    if np.isinf(add).any():
        return math.inf
    a = np.array([[one.way[0] for one in contacts], [one.way[1] for one in contacts],
                  [1.0] * len(contacts)])  # fmt: skip
    found = maximise(add, a, np.array((0.0, 0.0, 1.0)))
    return found.value if isinstance(found, Optimum) else None


def play_angle(gap: float, kappa_mm: float) -> float:
    """How far a body held only to second order turns if every locator stands off by a gap, degrees.

    acos(1 - gap / kappa), exact for pins on straight edges: 0.1 mm gives several degrees.
    """
    return math.degrees(math.acos(max(1.0 - gap / kappa_mm, -1.0)))
