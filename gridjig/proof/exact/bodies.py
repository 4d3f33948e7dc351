"""How the errors of the pieces move each part: the inverse of what its contacts hold.

A part with more contacts than it needs settles between them (least squares).  A motion that the
pieces leave free, or hold only on a short base, is held by the parts that it meets as well, each
contact counting by its own exactness; so their errors go on from part to part.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from gridjig.contact.values import Contact, PartContact
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Part
from gridjig.model.accuracy import Accuracy
from gridjig.proof.statics.rows import Floats
from gridjig.rack import Point

from .sources import PieceErrors, contact_effects, holds_at
from .spread import Effects, ErrorSource, row

FREE = 1e-3
"""Below this share of the greatest singular value, scaled by the radius of gyration, a motion is
not held at all."""

WEAK = 0.25
"""Below this share it is held on a base so short that what the part meets may hold it better."""

_LEAST_SIGMA = 1e-3

_SEEN = 1e-6
"""A motion of 1 mm that moves a measure by less does not move it."""


class HeldRow(NamedTuple):
    """One row of what holds a body: n.(motion of p) = the sum of what the sources push."""

    p: Point
    into: Point
    pushes: Sequence[tuple[ErrorSource, Floats]]


class Body(NamedTuple):
    """What the sources do to a part: 3 x size each.

    `firm` is what they do to it in the directions that its contacts hold well; `motions` (n x 3)
    are the others, and `free` (m x 3) those that nothing holds at all.  All are about the table's
    zero.
    """

    effects: Effects
    firm: Effects
    motions: Floats
    free: Floats
    rows: Sequence[HeldRow]
    ids: tuple[str, ...]
    spacing: float

    @property
    def loose(self) -> bool:
        """True if something is left free."""
        return len(self.free) > 0

    def settles(self, one: Floats) -> bool:
        """True if nothing that is left free changes the measure of a row."""
        return not len(self.free) or bool(np.abs(self.free @ one).max() < _SEEN)


STILL = Body({}, {}, np.zeros((0, 3)), np.zeros((0, 3)), (), (), 0.0)
"""A part that nothing moves."""


def held_by_pieces(
    parts: Sequence[Part],
    contacts: Sequence[tuple[Contact, PieceErrors]],
    accuracy: Accuracy,
) -> Body:
    """Parts that move as one body, with the contacts of the pieces that locate them."""
    rows = [
        HeldRow(
            p,
            (-contact.normal[0], -contact.normal[1]),
            contact_effects(errors, contact, p, accuracy),
        )
        for contact, errors in contacts
        for p in holds_at(errors, contact)
    ]
    ids = tuple(dict.fromkeys(contact.piece for contact, _ in contacts))
    x0, y0, x1, y1 = bounds(p for part in parts for p in part_ring(part))
    radius = max(math.hypot(x1 - x0, y1 - y0) / math.sqrt(12.0), 1.0)
    return _body(rows, ((x0 + x1) / 2.0, (y0 + y1) / 2.0), radius, ids)


def _body(rows: Sequence[HeldRow], centre: Point, radius: float, ids: tuple[str, ...]) -> Body:
    x0, y0 = centre
    matrix = np.array(
        [
            (r.into[0], r.into[1], ((r.p[0] - x0) * r.into[1] - (r.p[1] - y0) * r.into[0]) / radius)
            for r in rows
        ]
    ).reshape(-1, 3)
    u, s, v = np.linalg.svd(matrix, full_matrices=True)
    sizes = [*(s / s[0] if len(s) and s[0] > 0.0 else s), 0.0, 0.0, 0.0][:3]
    held = sum(size > FREE for size in sizes)
    firm = sum(size > WEAK for size in sizes)
    motions = v[::-1].copy()  # what is free comes first
    motions[:, 2] /= radius
    motions[:, 0] += motions[:, 2] * y0
    motions[:, 1] -= motions[:, 2] * x0
    back = motions[::-1][:held].T * (1.0 / s[:held]) @ u[:, :held].T
    effects = _carried_over(back, rows)
    strong = effects
    if firm < held:
        strong = _carried_over(motions[::-1][:firm].T * (1.0 / s[:firm]) @ u[:, :firm].T, rows)
    return Body(
        effects, strong, motions[: 3 - firm], motions[: 3 - held], rows, ids, _spacing(rows)
    )


def _carried_over(back: Floats, rows: Sequence[HeldRow]) -> Effects:
    found: dict[ErrorSource, Floats] = {}
    for k, held in enumerate(rows):
        column = back[:, k : k + 1]
        for source, push in held.pushes:
            more = column * push
            found[source] = found[source] + more if source in found else more
    return found


def _spacing(rows: Sequence[HeldRow]) -> float:
    """The greatest distance along a face between contacts that push the same way, mm."""
    best = 0.0
    for i, one in enumerate(rows):
        tx, ty = -one.into[1], one.into[0]
        for other in rows[:i]:
            if one.into[0] * other.into[0] + one.into[1] * other.into[1] > 0.999:
                apart = (one.p[0] - other.p[0]) * tx + (one.p[1] - other.p[1]) * ty
                best = max(best, abs(apart))
    return best


class _Equation(NamedTuple):
    """A row of a cluster: coefficients by part, what pushes it, and its weight."""

    of: tuple[tuple[str, Floats], ...]
    pushes: Mapping[ErrorSource, Floats]


def held_by_each_other(
    bodies: Mapping[str, Body], joined: Sequence[PartContact], accuracy: Accuracy
) -> Mapping[str, Body]:
    """The bodies, with what the pieces hold badly or not at all held by the parts they meet too."""
    meetings = [
        one
        for one in joined
        if one.kind == "face on face"
        and one.normal is not None
        and (len(bodies[one.a].motions) or len(bodies[one.b].motions))
    ]
    if not meetings:
        return bodies
    made = dict(bodies)
    for cluster, some in _clusters(bodies, meetings):
        made.update(_settled(bodies, cluster, some, accuracy))
    return made


def _clusters(
    bodies: Mapping[str, Body], meetings: Iterable[PartContact]
) -> Iterator[tuple[list[str], list[PartContact]]]:
    """The parts that can still move and hang together, each group with what it meets."""
    beside: dict[str, list[PartContact]] = {}
    for one in meetings:
        for k in (one.a, one.b):
            if len(bodies[k].motions):
                beside.setdefault(k, []).append(one)
    seen: set[str] = set()
    for start, first in beside.items():
        if start in seen:
            continue
        seen.add(start)
        cluster, met = [start], dict.fromkeys(first)
        for k in cluster:
            for one in beside[k]:
                met[one] = None
                other = one.b if one.a == k else one.a
                if other in beside and other not in seen:
                    seen.add(other)
                    cluster.append(other)
        yield cluster, list(met)


def _settled(
    bodies: Mapping[str, Body],
    cluster: Sequence[str],
    meetings: Sequence[PartContact],
    accuracy: Accuracy,
) -> Mapping[str, Body]:
    at: dict[str, slice] = {}
    count = 0
    for k in cluster:
        at[k] = slice(count, count + len(bodies[k].motions))
        count = at[k].stop
    equations = [
        *(one for k in cluster for one in _own(k, bodies[k])),
        *(one for meeting in meetings for one in _meeting(meeting, bodies, accuracy)),
    ]
    matrix = np.zeros((len(equations), count))
    for i, equation in enumerate(equations):
        for k, coefficients in equation.of:
            if k in at:
                matrix[i, at[k]] += bodies[k].motions @ coefficients
    weights = np.array([1.0 / max(_sigma(one.pushes), _LEAST_SIGMA) for one in equations])
    weights /= weights.max()
    sizes, v = np.linalg.eigh((matrix.T * weights**2) @ matrix)
    kept = sizes > (FREE**2) * max(float(sizes[-1]), 1e-12) * float(weights.min()) ** 2
    # Rank first without the weights: a coarse contact still holds.
    plain, plain_v = np.linalg.eigh(matrix.T @ matrix)
    left = plain_v[:, plain <= FREE**2 * max(float(plain[-1]), 1e-12)].T
    inverse = (v[:, kept] / sizes[kept]) @ v[:, kept].T
    back = inverse @ (matrix.T * weights**2)
    pushes = _together(equations)
    effects: dict[str, dict[ErrorSource, Floats]] = {k: dict(bodies[k].firm) for k in cluster}
    for source, push in pushes.items():
        moved = back @ push
        for k in cluster:
            more = bodies[k].motions.T @ moved[at[k]]
            if np.abs(more).max() > 1e-12:
                mine = effects[k]
                mine[source] = mine[source] + more if source in mine else more
    met: dict[str, dict[str, None]] = {}
    for one in meetings:
        met.setdefault(one.a, {})[one.b] = None
        met.setdefault(one.b, {})[one.a] = None
    made = {}
    for k in cluster:
        body = bodies[k]
        still = left[:, at[k]] @ body.motions
        still = still[np.abs(left[:, at[k]]).max(axis=1, initial=0.0) > _SEEN]
        ids = tuple(dict.fromkeys([*body.ids, *met.get(k, ())]))
        made[k] = body._replace(effects=effects[k], free=still, ids=ids)
    return made


def _own(k: str, body: Body) -> Iterator[_Equation]:
    """What the pieces push a part by, less what it has moved in the directions that are held."""
    if len(body.free) == len(body.motions):
        return
    for held in body.rows:
        coefficients = row(held.p, held.into)
        pushes = dict(held.pushes)
        for source, columns in body.firm.items():
            more = coefficients @ columns
            pushes[source] = pushes[source] - more if source in pushes else -more
        yield _Equation(((k, coefficients),), pushes)


def _meeting(
    one: PartContact, bodies: Mapping[str, Body], accuracy: Accuracy
) -> Iterator[_Equation]:
    """The rows n.(dp_a - dp_b) = fit of faces that meet, one at each end of what they share."""
    assert one.normal is not None
    normal = one.normal[:2]
    for end, p in enumerate(one.points):
        coefficients = row(p, normal)
        pushes: dict[ErrorSource, Floats] = {}
        for k, sign in ((one.a, -1.0), (one.b, 1.0)):
            for source, columns in bodies[k].firm.items():
                more = sign * (coefficients @ columns)
                pushes[source] = pushes[source] + more if source in pushes else more
        if accuracy.fit > 0.0:
            pushes[ErrorSource(f"{one.joint}/fit/{end}", 1, accuracy.fit)] = np.ones(1)
        yield _Equation(((one.a, coefficients), (one.b, -coefficients)), pushes)


def _sigma(pushes: Mapping[ErrorSource, Floats]) -> float:
    return math.sqrt(
        sum((float(np.hypot.reduce(push)) * source.sigma) ** 2 for source, push in pushes.items())
    )


def _together(equations: Sequence[_Equation]) -> Mapping[ErrorSource, Floats]:
    """What each source pushes the rows by: rows x size."""
    found: dict[ErrorSource, Floats] = {}
    for i, equation in enumerate(equations):
        for source, push in equation.pushes.items():
            if source not in found:
                found[source] = np.zeros((len(equations), source.size))
            found[source][i] = push
    return found
