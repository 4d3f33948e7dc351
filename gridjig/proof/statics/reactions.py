"""The forces of locators on a clamped body, without and with friction."""

import math
from typing import NamedTuple

import numpy as np

from .rows import Floats, Frame, Point, Push
from .simplex import NoSolution, maximise

_NONE = 1e-9


class Reactions(NamedTuple):
    """The forces on contacts without friction, and those that the load pushes the body off.

    `forces` is None if no forces balance the load: then the body leaves, and `leaves` is how fast
    the gap at each contact opens.
    """

    forces: Floats | None
    leaves: Floats


def reactions(rows: Floats, load: Floats) -> Reactions:
    """The forces that contacts, all equally stiff, put up against a load (3,), without friction.

    Rows and load scaled alike.  With three contacts the answer does not depend on stiffness.
    """
    n = len(rows)
    if not n:
        return Reactions(None if np.abs(load).max() > _NONE else np.zeros(0), np.zeros(0))
    size = float(np.abs(load).max())
    if size <= _NONE:
        return Reactions(np.zeros(n), np.zeros(n))
    found = maximise(np.zeros(n), rows.T, -load / size)
    if isinstance(found, NoSolution):
        leaves = rows @ found.proof
        return Reactions(None, np.where(leaves > _NONE, leaves, 0.0))
    assert not hasattr(found, "ray")
    forces = _springs(rows, load / size)
    return Reactions((found.x if forces is None else forces) * size, np.zeros(n))


def _springs(rows: Floats, load: Floats) -> Floats | None:
    """The forces of equal springs that only push; None if the iteration does not settle.

    They minimise the energy sum f^2 / 2, a convex function, over the forces that balance.
    """
    active = np.ones(len(rows), dtype=bool)
    for _ in range(4 * len(rows) + 8):
        some = rows[active]
        motion, *_ = np.linalg.lstsq(some.T @ some, load, rcond=1e-12)
        forces = np.where(active, -(rows @ motion), 0.0)
        if forces.min() < -1e-9:
            active = active & (forces > 0.0)
            continue
        pressed = ~active & (rows @ motion < -1e-9)
        if not pressed.any():
            off = rows.T @ forces + load
            return np.maximum(forces, 0.0) if float(np.abs(off).max()) < 1e-7 else None
        active = active | pressed
    return None


def held_with_friction(
    frame: Frame, pushes: tuple[Push, ...], load: Floats, friction: float
) -> bool:
    """True if some forces within the friction cones of the contacts balance a load.

    This is the kind answer: such forces can exist, but how a body was pushed in decides whether
    they do.  The reaction without friction is the safe one.
    """
    if float(np.abs(load).max()) <= _NONE:
        return True
    edges = []
    for at, (nx, ny) in pushes:
        for side in (friction, -friction):
            edges.append(Push(at, (nx - side * ny, ny + side * nx)))
    if not edges:
        return False
    rows = frame.rows(edges)
    size = float(np.abs(load).max())
    return not isinstance(maximise(np.zeros(len(rows)), rows.T, -load / size), NoSolution)


class Pressed(NamedTuple):
    """A spot that is pressed together, and the most that friction takes there, N."""

    at: Point
    most: float


def friction_takes(spots: tuple[Pressed, ...], at: Point, way: Point) -> float:
    """The push, N, at a point in a unit direction, at which spots that only rub give way.

    The least, over all slides and turns about any point, of the work that friction takes for a
    unit of the push's way: the work is convex, so that the least is found by iteration, and the
    forces found with it balance.
    """
    if not spots:
        return 0.0
    places = np.array([spot.at for spot in spots]) - np.array(at)
    most = np.array([spot.most for spot in spots])
    total = float(most.sum())
    if total <= 0.0:
        return 0.0
    size = max(float(np.abs(places).max()), 1.0)
    # About the point pushed: the way along the push is 1, across it is v, and the turn is w.
    along = places @ np.array(way) / size
    across = places @ np.array((-way[1], way[0])) / size
    motion = np.zeros(2)  # v, and w times the size
    least = math.inf
    smooth = 1.0
    for _ in range(200):
        # Velocity of a spot in the directions along and across the push.
        first = 1.0 - motion[1] * across
        second = motion[0] + motion[1] * along
        speed = np.sqrt(first * first + second * second)
        least = min(least, float(most @ speed))
        weight = most / np.sqrt(speed * speed + smooth * smooth)
        # The least of the weighted squares: weights fixed, a 2 x 2 system.
        k11 = weight.sum()
        k12 = float(weight @ along)
        k22 = float(weight @ (across * across + along * along))
        right = np.array((0.0, float(weight @ across)))
        det = k11 * k22 - k12 * k12
        if det <= 1e-18 * k11 * max(k22, 1e-30):  # all spots lie on the line of the push
            system = np.array(((k11, k12), (k12, k22)))
            step = np.linalg.lstsq(system, right, rcond=None)[0]
        else:
            step = np.array(((-k12 * right[1]) / det, (k11 * right[1]) / det))
        if smooth < 1e-9 and float(np.abs(step - motion).max()) < 1e-12:
            break
        motion = step
        smooth = max(smooth * 0.6, 1e-12)
    return least
