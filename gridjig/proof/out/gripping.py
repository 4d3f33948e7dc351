"""What a weldment closes on as it shrinks: locators that push it apart, as stops inside a frame.

Each contact moves with its part by u as the joints close.  The weldment may still shift, and turn
by up to half a degree: the least s with n.(shift) + n.u + gap >= -s at every contact is how far it
is too tight.  Outside stops always loosen; stops inside a frame grip.
"""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from gridjig.contact.values import TOUCH, Contact
from gridjig.proof.statics.programme import Optimum
from gridjig.proof.statics.rows import BodyFrame, Floats, Push
from gridjig.proof.statics.simplex import maximise
from gridjig.rack import Point

from .drawing_in import Drift
from .values import Trap, Verdict

TURN = math.radians(0.5)
"""The most that a weldment may turn to come free: beyond it the answer would be absurd."""

_SHARE = 1e-6


class Tight(NamedTuple):
    """By how much too tight: `by` mm at each contact, with the share of each; they add up to 1.

    0 or less: free, with that much room.  Minus infinity: nothing is opposite anything.
    """

    by: float
    shares: Floats


def tightness(
    frame: BodyFrame, pushes: Sequence[Push], shift: Sequence[float] | Floats, turn: float = TURN
) -> Tight:
    """How much too tight contacts are that shrinkage moves.

    `shift` is n.u + gap of each: how far it opens, mm; below 0 it closes.
    """
    count = len(pushes)
    if not count:
        return Tight(-math.inf, np.zeros(0))
    rows = frame.rows(pushes)
    # The dual: shares of the contacts that balance, but for a moment that the limit of the turn
    # takes, at the price of that turn.
    a = np.zeros((4, count + 2))
    a[:3, :count] = rows.T
    a[3, :count] = 1.0
    a[2, count], a[2, count + 1] = 1.0, -1.0
    cost = np.concatenate((-np.asarray(shift, dtype=float), [-turn * frame.radius] * 2))
    found = maximise(cost, a, np.array((0.0, 0.0, 0.0, 1.0)))
    if not isinstance(found, Optimum):
        return Tight(-math.inf, np.zeros(count))
    return Tight(found.value, found.x[:count])


def gripped(
    contacts: Sequence[Contact],
    frame: BodyFrame,
    low: Mapping[str, Drift],
    high: Mapping[str, Drift],
) -> tuple[Trap | None, Verdict]:
    """What the contacts of a weldment grip, as its parts move by the least and the most."""
    if len({(round(c.normal[0], 6), round(c.normal[1], 6)) for c in contacts}) < 2:
        return None, "free"
    held = [(contact, p) for contact in contacts for p in contact.points]
    pushes = [Push(p, (-c.normal[0], -c.normal[1])) for c, p in held]
    gaps = np.array([max(contact.gap, 0.0) for contact, _ in held])
    most = _closed_by(held, high)
    tight = tightness(frame, pushes, gaps - most)
    if tight.by <= _SHARE:
        return None, "free"
    least = _closed_by(held, low)
    slack = tightness(frame, pushes, gaps - least)
    shares = tight.shares
    # Of two opposite contacts each has half of what there is between them.
    whole = 1.0 / float(shares.max())
    locking = [k for k in range(len(held)) if shares[k] > _SHARE]
    pieces = tuple(dict.fromkeys(held[k][0].piece for k in locking))
    met = {held[k][0].part for k in locking}
    parts = tuple(part for part in high if part in met)
    by_high, by_low = tight.by * whole, max(slack.by, -1e9) * whole
    grip = Trap(
        pieces,
        parts,
        _middle([held[k][1] for k in locking]),
        float(shares @ gaps) * whole,
        (float(shares @ least) * whole, float(shares @ most) * whole),
        by_low,
        by_high,
        captured=len(pieces) == 1 and len(parts) > 1,
    )
    if by_low > TOUCH:
        return grip, "trapped"
    return grip, "tight" if by_high > TOUCH else "free"


def _closed_by(held: Sequence[tuple[Contact, Point]], motions: Mapping[str, Drift]) -> Floats:
    """By how much the part comes towards the piece at each contact, mm."""
    dx, dy, turn = np.array([motions[contact.part] for contact, _ in held]).T
    nx, ny = np.array([contact.normal[:2] for contact, _ in held]).T
    x, y = np.array([p for _, p in held]).T
    closed: Floats = (dx - turn * y) * nx + (dy + turn * x) * ny  # as `drawing_in.moved` has it
    return closed


def _middle(points: Sequence[Point]) -> Point:
    count = len(points)
    return (sum(p[0] for p in points) / count, sum(p[1] for p in points) / count)
