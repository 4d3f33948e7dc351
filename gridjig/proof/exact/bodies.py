"""How the errors of the pieces move each part: the inverse of what its contacts hold.

A part with more contacts than it needs settles between them (least squares).  What the pieces leave
free, the parts that it meets hold: their errors go on to it.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from gridjig.contact.values import Contact, PartContact
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Part
from gridjig.model.accuracy import Accuracy
from gridjig.rack import Point

from .sources import PieceErrors, contact_effects, holds_at
from .spread import Effects, Reals, Source

LEAST = 1e-3
"""Below this share of the greatest singular value, scaled by the radius of gyration, a motion is
not held at all."""


class Body(NamedTuple):
    """What the sources do to a part: 3 x size each.  `free` are the motions left (n x 3)."""

    effects: Effects
    free: Reals
    ids: tuple[str, ...]
    spacing: float

    @property
    def loose(self) -> bool:
        """True if something is left free."""
        return len(self.free) > 0


class _Held(NamedTuple):
    """One row of what holds a body: where, which way, and what pushes it, by source."""

    p: Point
    into: Point
    effects: Sequence[tuple[Source, Reals]]


def gyration(rings: Sequence[Sequence[Point]]) -> float:
    """The radius of gyration of the rectangle about some outlines, mm."""
    x0, y0, x1, y1 = bounds(p for ring in rings for p in ring)
    return max(math.hypot(x1 - x0, y1 - y0) / math.sqrt(12.0), 1.0)


def held_by_pieces(
    parts: Sequence[Part],
    contacts: Sequence[tuple[Contact, PieceErrors]],
    accuracy: Accuracy,
) -> Body:
    """Parts that move as one body, with the contacts of the pieces that locate them."""
    rows = [
        _Held(
            p,
            (-contact.normal[0], -contact.normal[1]),
            contact_effects(errors, contact, p, accuracy),
        )
        for contact, errors in contacts
        for p in holds_at(errors, contact)
    ]
    ids = tuple(dict.fromkeys(contact.piece for contact, _ in contacts))
    return _body(rows, gyration([part_ring(part) for part in parts]), ids)


def _body(rows: Sequence[_Held], radius: float, ids: tuple[str, ...]) -> Body:
    if not rows:
        return Body({}, np.eye(3), ids, 0.0)
    x0, y0 = rows[0].p
    matrix = np.array(
        [
            (r.into[0], r.into[1], ((r.p[0] - x0) * r.into[1] - (r.p[1] - y0) * r.into[0]) / radius)
            for r in rows
        ]
    )
    u, s, v = np.linalg.svd(matrix, full_matrices=True)
    rank = int((s > LEAST * max(s[0], 1e-12)).sum())
    back = v[:rank].T @ (u[:, :rank].T / s[:rank, None])
    free = v[rank:].copy()
    for motions in (back.T, free):
        motions[:, 2] /= radius
        motions[:, 0] += motions[:, 2] * y0
        motions[:, 1] -= motions[:, 2] * x0
    return Body(_carried_over(back, rows), free, ids, _spacing(rows))


def _carried_over(back: Reals, rows: Sequence[_Held]) -> Effects:
    found: dict[Source, Reals] = {}
    for k, held in enumerate(rows):
        column = back[:, k : k + 1]
        for source, push in held.effects:
            more = column * push
            found[source] = found[source] + more if source in found else more
    return found


def _spacing(rows: Sequence[_Held]) -> float:
    """The greatest distance along a face between contacts that push the same way, mm."""
    best = 0.0
    for i, one in enumerate(rows):
        tx, ty = -one.into[1], one.into[0]
        for other in rows[:i]:
            if one.into[0] * other.into[0] + one.into[1] * other.into[1] > 0.999:
                apart = (one.p[0] - other.p[0]) * tx + (one.p[1] - other.p[1]) * ty
                best = max(best, abs(apart))
    return best


def held_by_each_other(
    parts: Mapping[str, Part],
    bodies: Mapping[str, Body],
    joined: Sequence[PartContact],
    accuracy: Accuracy,
) -> Mapping[str, Body]:
    """The bodies, with what the pieces leave free held by the parts that they meet."""
    open_ = [k for k, body in bodies.items() if body.loose]
    if not open_ or not joined:
        return bodies
    at: dict[str, int] = {}
    count = 0
    for k in open_:
        at[k] = count
        count += len(bodies[k].free)
    rows = [one for one in _meetings(joined, bodies) if one[0].a in at or one[0].b in at]
    if not rows:
        return bodies
    scale = {k: gyration([part_ring(parts[k])]) for k in open_}
    matrix = np.zeros((len(rows), count))
    for i, (one, row) in enumerate(rows):
        for k, sign in ((one.a, 1.0), (one.b, -1.0)):
            if k in at:
                free = _sized(bodies[k].free, scale[k])
                matrix[i, at[k] : at[k] + len(free)] += sign * (free @ row)
    u, s, v = np.linalg.svd(matrix, full_matrices=True)
    rank = int((s > LEAST * max(float(s[0]), 1e-12)).sum()) if len(s) else 0
    back = v[:rank].T @ (u[:, :rank].T / s[:rank, None])
    left = v[rank:]
    pushes = _pushes(rows, bodies, accuracy)
    made = dict(bodies)
    for k in open_:
        body, free = bodies[k], _sized(bodies[k].free, scale[k])
        mine = slice(at[k], at[k] + len(free))
        effects = dict(body.effects)
        for source, push in pushes.items():
            more = free.T @ (back[mine] @ push)
            if np.abs(more).max() > 1e-12:
                effects[source] = effects[source] + more if source in effects else more
        still = left[:, mine] @ free
        kept = still[np.abs(left[:, mine]).max(axis=1, initial=0.0) > 1e-6] if len(left) else still
        beside = [two for one, _ in rows if k in (one.a, one.b) for two in (one.a, one.b)]
        ids = tuple(dict.fromkeys([*body.ids, *(two for two in beside if two != k)]))
        made[k] = Body(effects, kept, ids, body.spacing)
    return made


def _sized(free: Reals, radius: float) -> Reals:
    """Motions that are each of the size of a millimetre at the edge of the part."""
    size = np.maximum(np.abs(free[:, 2:]) * radius, 1e-12)
    turning = np.abs(free[:, 2:]) > 1e-12
    return free / np.where(turning, size, 1.0)


def _meetings(
    joined: Sequence[PartContact], bodies: Mapping[str, Body]
) -> Iterator[tuple[PartContact, Reals]]:
    """The rows n.(dp_a - dp_b) of faces that meet, two for each, where one can still move."""
    for one in joined:
        if one.kind != "face on face" or one.normal is None:
            continue
        if not (bodies[one.a].loose or bodies[one.b].loose):
            continue
        nx, ny, _ = one.normal
        for x, y in one.points:
            yield one, np.array([nx, ny, x * ny - y * nx])


def _pushes(
    rows: Sequence[tuple[PartContact, Reals]], bodies: Mapping[str, Body], accuracy: Accuracy
) -> Mapping[Source, Reals]:
    """What each row is off by, by source: rows x size."""
    found: dict[Source, Reals] = {}

    def add(source: Source, i: int, value: Reals) -> None:
        if source not in found:
            found[source] = np.zeros((len(rows), source.size))
        found[source][i] += value

    for i, (one, row) in enumerate(rows):
        for k, sign in ((one.a, -1.0), (one.b, 1.0)):
            for source, columns in bodies[k].effects.items():
                add(source, i, sign * (row @ columns))
        if accuracy.face > 0.0:
            add(Source(f"{one.joint}/fit", 1, accuracy.face), i, np.ones(1))
    return found
