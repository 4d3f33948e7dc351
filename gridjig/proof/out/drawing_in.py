"""How the parts of a weldment move when its joints close or are set open: each one rigid.

At a joint the two parts approach one another across the seam by what it closes, and do not slide or
turn against each other.  Round a closed frame that cannot always be had, so that the least squares
are taken.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from gridjig.contact.shapes import placed_part
from gridjig.contact.values import PartContact
from gridjig.geometry import unit
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
    return all_drawn_in(parts, joined, [closing], longer)[0]


class _Rows(NamedTuple):
    """u.(dp_b - dp_a) = right, for the parts `first` and `second`; one column for each closing."""

    first: list[int]
    second: list[int]
    coefficients: list[tuple[float, float, float]]
    right: list[list[float]]

    def add(self, ab: tuple[int, int], row: tuple[float, float, float], by: list[float]) -> None:
        self.first.append(ab[0])
        self.second.append(ab[1])
        self.coefficients.append(row)
        self.right.append(by)


def all_drawn_in(
    parts: Sequence[Part],
    joined: Sequence[PartContact],
    closings: Sequence[Mapping[str, float]],
    longer: Mapping[str, float] | None = None,
) -> list[dict[str, Drift]]:
    """As `drawn_in`, for several closings of the same joints at once."""
    longer = longer or {}
    found: list[dict[str, Drift]] = [{part.id: STILL for part in parts} for _ in closings]
    if any(any(one.values()) for one in closings) or any(longer.values()):
        for some, meeting in _joined(parts, joined):
            for state, made in zip(found, _drawn(some, meeting, closings, longer), strict=True):
                state.update(made)
    return found


def _joined(
    parts: Sequence[Part], joined: Sequence[PartContact]
) -> Iterator[tuple[list[Part], list[PartContact]]]:
    """The parts that hang together, each group with what joins it; none that stands alone."""
    root = {part.id: part.id for part in parts}

    def top(k: str) -> str:
        while root[k] != k:
            root[k] = root[root[k]]
            k = root[k]
        return k

    own = [one for one in joined if one.a in root and one.b in root]
    for one in own:
        root[top(one.b)] = top(one.a)
    meetings: dict[str, list[PartContact]] = {}
    for one in own:
        meetings.setdefault(top(one.a), []).append(one)
    groups: dict[str, list[Part]] = {}
    for part in parts:
        groups.setdefault(top(part.id), []).append(part)
    for k, some in meetings.items():
        yield groups[k], some


def _drawn(
    parts: Sequence[Part],
    joined: Sequence[PartContact],
    closings: Sequence[Mapping[str, float]],
    longer: Mapping[str, float],
) -> list[dict[str, Drift]]:
    """The motions of parts that hang together, for each closing."""
    index = {part.id: k for k, part in enumerate(parts)}
    known = {part.id: part for part in parts}
    x0, y0, x1, y1 = bounds(p for part in parts for p in placed_part(part).points)
    radius = max(math.hypot(x1 - x0, y1 - y0) / math.sqrt(12.0), 1.0)
    cx, cy = (x0 + x1) / 2.0, (y0 + y1) / 2.0
    rows = _Rows([], [], [], [])
    for one in joined:
        ab = (index[one.a], index[one.b])
        x, y = _middle(one.points)
        across = one.kind == "face on face" and one.normal is not None
        nx, ny = one.normal[:2] if across and one.normal is not None else (1.0, 0.0)
        mms = [closing.get(one.joint, 0.0) if across else 0.0 for closing in closings]
        ax, ay = stretched(known[one.a], longer.get(one.a, 0.0), (x, y))
        bx, by = stretched(known[one.b], longer.get(one.b, 0.0), (x, y))
        for ux, uy, closes in ((nx, ny, True), (-ny, nx, False)):
            more = (ax - bx) * ux + (ay - by) * uy
            turn = ((x - cx) * uy - (y - cy) * ux) / radius
            rows.add(ab, (ux, uy, turn), [more - mm if closes else more for mm in mms])
        rows.add(ab, (0.0, 0.0, 1.0), [0.0] * len(closings))
    found = _solved(len(parts), rows)
    return [
        {
            part.id: (
                float(one[k, 0] + one[k, 2] / radius * cy),
                float(one[k, 1] - one[k, 2] / radius * cx),
                float(one[k, 2] / radius),
            )
            for k, part in enumerate(parts)
        }
        for one in found
    ]


def _solved(count: int, rows: _Rows) -> Floats:
    """The motions (closings x parts x 3) of the least squares, of which the smallest."""
    first, second = np.array(rows.first), np.array(rows.second)
    coefficients = np.array(rows.coefficients)
    matrix = np.zeros((len(first), count, 3))
    at = np.arange(len(first))
    matrix[at, second] += coefficients
    matrix[at, first] -= coefficients
    flat = matrix.reshape(len(first), 3 * count)
    normal = flat.T @ flat
    normal[np.diag_indices_from(normal)] += _SOFT * float(np.trace(normal)) / len(normal)
    solved: Floats = np.linalg.solve(normal, flat.T @ np.array(rows.right))
    return solved.T.reshape(-1, count, 3)


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
