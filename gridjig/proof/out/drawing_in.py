"""How the parts of a weldment move when its joints close or are set open: each one rigid.

At a joint the two parts approach one another across the seam by what it closes, and do not slide or
turn against each other.  Round a closed frame that cannot always be had, so that the least squares
are taken.
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from gridjig.contact.values import PartContact
from gridjig.geometry import unit
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Member, Part
from gridjig.proof.statics.rows import Floats
from gridjig.rack import Point

Drift = tuple[float, float, float]
"""dx, dy in mm of the table's zero, and a turn in radians: what moves a part."""

STILL: Drift = (0.0, 0.0, 0.0)

_SOFT = 1e-9


def moved(motion: Drift, p: Point) -> Point:
    """How far a point of a part moves, mm."""
    return (motion[0] - motion[2] * p[1], motion[1] + motion[2] * p[0])


def drawn_in(
    parts: Sequence[Part],
    joined: Sequence[PartContact],
    closing: Mapping[str, float],
    longer: Mapping[str, float] | None = None,
) -> dict[str, Drift]:
    """The motion of each part, by its id; as a whole the weldment stays where it is.

    `closing` is by how much each joint closes, by its id, mm; below 0 it opens.  `longer` is by how
    much members are longer than drawn: their ends move apart, about the middle.
    """
    longer = longer or {}
    if not any(closing.values()) and not any(longer.values()):
        return {part.id: STILL for part in parts}
    index = {part.id: k for k, part in enumerate(parts)}
    known = {part.id: part for part in parts}
    x0, y0, x1, y1 = bounds(p for part in parts for p in part_ring(part))
    radius = max(math.hypot(x1 - x0, y1 - y0) / math.sqrt(12.0), 1.0)
    cx, cy = (x0 + x1) / 2.0, (y0 + y1) / 2.0
    rows: list[tuple[int, int, tuple[float, float, float], float]] = []
    for one in joined:
        if one.a not in index or one.b not in index:
            continue
        i, j = index[one.a], index[one.b]
        x, y = _middle(one.points)
        nx, ny = one.normal[:2] if one.normal is not None else (0.0, 0.0)
        across = one.kind == "face on face"
        if not across:
            nx, ny = 1.0, 0.0
        for ux, uy, by in (
            (nx, ny, closing.get(one.joint, 0.0) if across else 0.0),
            (-ny, nx, 0.0),
        ):
            # u.(dp_b - dp_a) = -closing, each end moved by what its member is longer.
            more = 0.0
            for k, sign in ((one.a, 1.0), (one.b, -1.0)):
                sx, sy = stretched(known[k], longer.get(k, 0.0), (x, y))
                more += sign * (sx * ux + sy * uy)
            turn = ((x - cx) * uy - (y - cy) * ux) / radius
            rows.append((i, j, (ux, uy, turn), more - by))
        rows.append((i, j, (0.0, 0.0, 1.0), 0.0))
    if not rows:
        return {part.id: STILL for part in parts}
    found = _solved(len(parts), rows)
    made: dict[str, Drift] = {}
    for part in parts:
        dx, dy, turn = (float(v) for v in found[index[part.id]])
        turn /= radius
        made[part.id] = (dx + turn * cy, dy - turn * cx, turn)
    return made


def _solved(
    count: int, rows: Sequence[tuple[int, int, tuple[float, float, float], float]]
) -> Floats:
    """The motions (count x 3) of the least squares, of which the smallest."""
    first = np.array([i for i, *_ in rows])
    second = np.array([j for _, j, *_ in rows])
    coefficients = np.array([c for *_, c, _ in rows])
    right = np.array([b for *_, b in rows])
    matrix = np.zeros((len(rows), count, 3))
    at = np.arange(len(rows))
    matrix[at, second] += coefficients
    matrix[at, first] -= coefficients
    flat = matrix.reshape(len(rows), 3 * count)
    normal = flat.T @ flat
    normal[np.diag_indices_from(normal)] += _SOFT * float(np.trace(normal)) / len(normal)
    solved: Floats = np.linalg.solve(normal, flat.T @ right).reshape(count, 3)
    return solved


def stretched(part: Part, longer: float, p: Point) -> Point:
    """How far a point of a member moves if it is longer, evenly, about its middle."""
    if not isinstance(part, Member) or not longer:
        return (0.0, 0.0)
    c, s = unit(part.turn)
    along = (p[0] - part.x) * c + (p[1] - part.y) * s
    by = longer * (along / part.length - 0.5)
    return (by * c, by * s)


def _middle(points: Sequence[Point]) -> Point:
    count = len(points)
    return (sum(p[0] for p in points) / count, sum(p[1] for p in points) / count)
