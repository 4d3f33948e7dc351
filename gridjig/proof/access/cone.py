"""How much room there is for a cone with its tip in a weld, among prisms on a table.

A cone is tried as spheres that it encloses, at several distances along its axis: the widest free
cone is the one whose spheres all just miss.  Everything is done for many axes at once.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

import numpy as np
from msgspec import Struct

from gridjig.contact.shapes import Room
from gridjig.rack.same import Same
from gridjig.solve.grid.directions import FloatArray

_STATIONS = (0.1, 0.25, 0.5, 0.75, 1.0)
"""Where along the axis a sphere is tried, in lengths of the torch."""
_AROUND = 8
"""Into how many directions the torch leans."""
_WIDEST = math.sin(math.radians(60.0))


_MANY = 12
"""A ring of at least this many corners, all at one distance from their middle, counts as round."""
_ROUND = 0.05


class Obstacles(Struct, frozen=True, eq=False):
    """The prisms that may be in the way: every edge of every ring, and where each ring begins.

    A round one has a single edge of no length, at its centre, and its radius in `radii`.
    """

    edges: FloatArray
    begin: np.ndarray[Any, np.dtype[np.intp]]
    heights: FloatArray
    radii: FloatArray


@lru_cache(maxsize=4096)
def _circle(key: Same[Room]) -> tuple[float, float, float] | None:
    """The centre and radius of a prism over a circle; None if it is not one."""
    ring = key.value.points
    if len(ring) < _MANY or key.value.openings:
        return None
    x, y = sum(p[0] for p in ring) / len(ring), sum(p[1] for p in ring) / len(ring)
    far = [math.dist((x, y), p) for p in ring]
    return (x, y, max(far)) if max(far) - min(far) <= _ROUND else None


def obstacles(rooms: Sequence[Room]) -> Obstacles:
    """Prepare prisms; edges are rows of x, y, dx, dy, 1 / length squared."""
    radii = []
    edges: list[tuple[float, float, float, float, float]] = []
    begin, heights = [], []
    for room in rooms:
        begin.append(len(edges))
        heights.append((room.z_low, room.z_high))
        circle = _circle(Same(room))
        radii.append(circle[2] if circle else 0.0)
        if circle:
            edges.append((circle[0], circle[1], 0.0, 0.0, 0.0))
            continue
        ring = room.points
        for (x, y), (u, v) in zip(ring, (*ring[1:], ring[0]), strict=True):
            square = (u - x) ** 2 + (v - y) ** 2
            edges.append((x, y, u - x, v - y, 1.0 / square if square else 0.0))
    return Obstacles(
        np.array(edges, dtype=np.float64).reshape(-1, 5),
        np.array(begin, dtype=np.intp),
        np.array(heights, dtype=np.float64).reshape(-1, 2),
        np.array(radii),
    )


def distances(points: FloatArray, among: Obstacles) -> FloatArray:
    """The distance of points (n x 3) from each prism and, in the last column, from the table."""
    table = np.maximum(points[:, 2:], 0.0)
    if not len(among.begin):
        return table
    x, y, dx, dy, inverse = among.edges.T
    px, py = points[:, 0:1] - x, points[:, 1:2] - y
    along = np.clip((px * dx + py * dy) * inverse, 0.0, 1.0)
    square = (px - along * dx) ** 2 + (py - along * dy) ** 2
    near = np.minimum.reduceat(square, among.begin, axis=1)
    up = (py >= 0.0) != (py - dy >= 0.0)
    left = (px * dy - py * dx) * np.sign(dy) < 0.0
    inside = np.add.reduceat(up & left, among.begin, axis=1) % 2 == 1
    near[inside] = 0.0
    near = np.maximum(np.sqrt(near) - among.radii, 0.0)
    low, high = among.heights.T
    z = points[:, 2:]
    off = np.maximum(np.maximum(low - z, z - high), 0.0)
    return np.hstack([np.hypot(near, off), table])


@lru_cache(maxsize=1024)
def axes(towards: tuple[float, float, float], lean: float) -> FloatArray:
    """The middle of a corner, and eight directions that lean from it by some degrees.

    The same input gives the same array, which cannot be written to.
    """
    middle = np.array(towards)
    aside = _cross(towards, (0.0, 0.0, 1.0) if abs(towards[2]) < 0.9 else (1.0, 0.0, 0.0))
    aside /= np.linalg.norm(aside)
    other = _cross(towards, aside.tolist())
    turn = math.radians(lean)
    made = [middle]
    for k in range(_AROUND):
        t = 2.0 * math.pi * k / _AROUND
        out = math.cos(t) * aside + math.sin(t) * other
        made.append(math.cos(turn) * middle + math.sin(turn) * out)
    found = np.array(made)
    found.flags.writeable = False
    return found


def _cross(one: Sequence[float], other: Sequence[float]) -> FloatArray:
    """The cross product of two vectors; numpy's own spends far longer on finding the axes."""
    (ax, ay, az), (bx, by, bz) = one, other
    return np.array((ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx))


class FreeCone(Struct, frozen=True):
    """The widest free cone: its radius at the length of the torch, its axis, what stops it.

    `blocker` is the number of the prism, or the count of prisms for the table.
    """

    room: float
    towards: tuple[float, float, float]
    blocker: int


def widest(
    tips: Sequence[Sequence[float]], every: Sequence[FloatArray], length: float, among: Obstacles
) -> list[FreeCone]:
    """For each tip of a torch, the widest free cone of the axes that it may have there."""
    stations = np.array(_STATIONS) * length
    points = np.concatenate(
        [
            (np.array(tip) + axis[:, None, :] * stations[None, :, None]).reshape(-1, 3)
            for tip, axis in zip(tips, every, strict=True)
        ]
    )
    far = distances(points, among)
    far[points[:, 2] < 0.0, -1] = 0.0  # beneath the table there is no room at all
    ratio = far.reshape(-1, len(stations), far.shape[1]) / stations[None, :, None]
    least = ratio.min(axis=1)
    found, at = [], 0
    for axis in every:
        mine = least[at : at + len(axis)]
        at += len(axis)
        share = mine.min(axis=1)
        best = int(np.argmax(share))
        sine = min(float(share[best]), _WIDEST)
        x, y, z = (float(v) for v in axis[best])
        found.append(
            FreeCone(length * math.tan(math.asin(sine)), (x, y, z), int(np.argmin(mine[best])))
        )
    return found
