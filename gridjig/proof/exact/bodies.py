"""How the errors of the pieces move each part: the inverse of what its contacts hold.

A part with more contacts than it needs settles between them (least squares).  A motion that the
pieces leave free, or hold only on a short base, is held by the parts that it meets as well, each
contact counting by its own exactness; so their errors go on from part to part.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np

from gridjig.contact.shapes import placed_part
from gridjig.contact.sides import Whole
from gridjig.contact.values import Contact, PartContact
from gridjig.geometry.shapes import bounds
from gridjig.model import Part
from gridjig.model.accuracy import Accuracy
from gridjig.proof.statics.rows import Floats
from gridjig.rack import Point
from gridjig.rack.kept import KeptResults

from .sources import PieceErrors, pushes_of, room
from .spread import UNMOVED, Effects, ErrorSource, Sources, together

FREE = 1e-3
"""Below this share of the greatest singular value, scaled by the radius of gyration, a motion is
not held at all."""

WEAK = 0.25
"""Below this share it is held on a base so short that what the part meets may hold it better."""

_LEAST_SIGMA = 1e-3

_SEEN = 1e-6
"""A motion of 1 mm that moves a measure by less does not move it."""


class ErrorBody(NamedTuple):
    """What the errors do to a part, or to several as one, about the table's zero.

    `firm` is what they do to it in the directions that its contacts hold well; `motions` (n x 3)
    are the others, and `free` (m x 3) those that nothing holds at all.  `rows` (k x 3) is what its
    pieces hold, and `pushes` (k x width) what they are off by there.
    """

    effects: Effects
    firm: Floats
    motions: Floats
    free: Floats
    rows: Floats
    pushes: Floats
    ids: tuple[str, ...]
    spacing: float

    @property
    def loose(self) -> bool:
        """True if something is left free."""
        return len(self.free) > 0

    def settles(self, one: Floats) -> bool:
        """True if nothing that is left free changes the measure of a row."""
        return not len(self.free) or bool(np.abs(self.free @ one).max() < _SEEN)


STILL = ErrorBody(
    UNMOVED,
    UNMOVED.columns,
    np.zeros((0, 3)),
    np.zeros((0, 3)),
    np.zeros((0, 3)),
    UNMOVED.columns[:0],
    (),
    0.0,
)
"""A part that nothing moves."""


def held_by_pieces(
    parts: Sequence[Part], contacts: Sequence[tuple[Contact, PieceErrors]]
) -> ErrorBody:
    """Parts that move as one body, with the contacts of the pieces that locate them."""
    rooms = [room(contact) for contact, _ in contacts]
    extra = Sources(dict.fromkeys(one for one in rooms if one is not None))
    sources = together([*(errors.sources for _, errors in contacts), extra])
    held: list[tuple[Point, Point]] = []
    places: dict[int, Whole] = {}
    those = [pushes_of(errors, contact) for contact, errors in contacts]
    every = np.zeros((sum(len(points) for points, _ in those), sources.width))
    for (contact, errors), own, (points, there) in zip(contacts, rooms, those, strict=True):
        at = places.get(id(errors))
        if at is None:
            at = places[id(errors)] = errors.sources.places(sources)
        block = every[len(held) : len(held) + len(points)]
        block[:, at] = there
        if own is not None:
            block[:, sources.at[own]] = 1.0
        way = (-contact.normal[0], -contact.normal[1])
        held += [(p, way) for p in points]
    rows = np.array([(nx, ny, x * ny - y * nx) for (x, y), (nx, ny) in held]).reshape(-1, 3)
    ids = tuple(dict.fromkeys(contact.piece for contact, _ in contacts))
    x0, y0, x1, y1 = bounds(p for part in parts for p in placed_part(part).points)
    radius = max(math.hypot(x1 - x0, y1 - y0) / math.sqrt(12.0), 1.0)
    centre = ((x0 + x1) / 2.0, (y0 + y1) / 2.0)
    return _body(rows, every, sources, centre, radius, ids, _spacing(held))


def _body(
    rows: Floats,
    pushes: Floats,
    sources: Sources,
    centre: Point,
    radius: float,
    ids: tuple[str, ...],
    spacing: float,
) -> ErrorBody:
    x0, y0 = centre
    scaled = rows.copy()
    scaled[:, 2] = (rows[:, 2] - x0 * rows[:, 1] + y0 * rows[:, 0]) / radius
    u, s, v = np.linalg.svd(scaled, full_matrices=len(scaled) < 3)
    sizes = [*(s / s[0] if len(s) and s[0] > 0.0 else s), 0.0, 0.0, 0.0][:3]
    held = sum(size > FREE for size in sizes)
    firm = sum(size > WEAK for size in sizes)
    v[:, 2] /= radius
    v[:, 0] += v[:, 2] * y0
    v[:, 1] -= v[:, 2] * x0
    moved = u[:, :held].T @ pushes / s[:held, None]
    return ErrorBody(
        Effects(sources, v[:held].T @ moved),
        v[:firm].T @ moved[:firm],
        v[firm:],
        v[held:],
        rows,
        pushes,
        ids,
        spacing,
    )


def _spacing(held: Sequence[tuple[Point, Point]]) -> float:
    """The greatest distance along a face between contacts that push the same way, mm."""
    groups: dict[Point, list[Point]] = {}
    for p, way in held:
        groups.setdefault(way, []).append(p)
    apart = 0.0
    for (ax, ay), mine in groups.items():
        places = [y * ax - x * ay for x, y in mine]
        low, high = min(places), max(places)
        for (bx, by), others in groups.items():
            if ax * bx + ay * by > _SAME_WAY:
                far = [y * ax - x * ay for x, y in others]
                apart = max(apart, max(far) - low, high - min(far))
    return apart


_SAME_WAY = 0.999


class Settled:
    """Keeps groups of parts that hold each other, by the identity of what they follow from."""

    def __init__(self) -> None:
        self._kept = KeptResults[Mapping[str, ErrorBody]]()

    def of(
        self, bodies: Mapping[str, ErrorBody], joined: Sequence[PartContact], accuracy: Accuracy
    ) -> Mapping[str, ErrorBody]:
        """The bodies, with what the pieces hold badly or not at all held by what they meet too."""
        meetings = [
            one
            for one in joined
            if one.kind == "face on face"
            and (len(bodies[one.a].motions) or len(bodies[one.b].motions))
        ]
        if not meetings:
            return bodies
        made = dict(bodies)
        with self._kept.round(accuracy):
            for cluster, some in _clusters(bodies, meetings):
                around = dict.fromkeys(k for one in some for k in (one.a, one.b))
                key: tuple[object, ...] = (*(bodies[k] for k in around), *some)
                made.update(
                    self._kept.of(cluster[0], key, _settled, bodies, cluster, some, accuracy)
                )
        return made


def _clusters(
    bodies: Mapping[str, ErrorBody], meetings: Iterable[PartContact]
) -> Iterator[tuple[list[str], list[PartContact]]]:
    """The parts that can still move and hang together, each group with what it meets."""
    beside: dict[str, list[PartContact]] = {}
    for one in meetings:
        for k in (one.a, one.b):
            if len(bodies[k].motions):
                beside.setdefault(k, []).append(one)
    seen: set[str] = set()
    for start in beside:
        if start in seen:
            continue
        seen.add(start)
        cluster, met = [start], {}
        for k in cluster:
            for one in beside[k]:
                met[id(one)] = one
                other = one.b if one.a == k else one.a
                if other in beside and other not in seen:
                    seen.add(other)
                    cluster.append(other)
        yield cluster, list(met.values())


def _settled(
    bodies: Mapping[str, ErrorBody],
    cluster: Sequence[str],
    meetings: Sequence[PartContact],
    accuracy: Accuracy,
) -> Mapping[str, ErrorBody]:
    at: dict[str, slice] = {}
    count = 0
    for k in cluster:
        at[k] = slice(count, count + len(bodies[k].motions))
        count = at[k].stop
    around = list(dict.fromkeys((*cluster, *(k for one in meetings for k in (one.a, one.b)))))
    fits = Sources(
        ErrorSource(f"{one.joint}/fit/{index}/{end}", 1, accuracy.fit)
        for index, one in enumerate(meetings)
        for end in range(len(one.points))
        if accuracy.fit > 0.0
    )
    sources = together([*(bodies[k].effects.sources for k in around), fits])
    places = {k: bodies[k].effects.sources.places(sources) for k in around}
    own = [k for k in cluster if len(bodies[k].free) < len(bodies[k].motions)]
    height = sum(len(bodies[k].rows) for k in own) + sum(len(one.points) for one in meetings)
    matrix = np.zeros((height, count))
    pushes = np.zeros((height, sources.width))
    top = 0
    for k in own:
        body = bodies[k]
        block = slice(top, top + len(body.rows))
        top = block.stop
        matrix[block, at[k]] = body.rows @ body.motions.T
        pushes[block, places[k]] = body.pushes - body.rows @ body.firm
    for index, one in enumerate(meetings):
        assert one.normal is not None
        nx, ny, _ = one.normal
        rows = np.array([(nx, ny, x * ny - y * nx) for x, y in one.points])
        block = slice(top, top + len(rows))
        top = block.stop
        for k, sign in ((one.a, 1.0), (one.b, -1.0)):
            pushes[block, places[k]] -= sign * (rows @ bodies[k].firm)
            if k in at:
                matrix[block, at[k]] += sign * (rows @ bodies[k].motions.T)
        for end in range(len(rows)):
            if accuracy.fit > 0.0:
                fit = ErrorSource(f"{one.joint}/fit/{index}/{end}", 1, accuracy.fit)
                pushes[block.start + end, sources.at[fit]] = 1.0
    back, left = _solved(matrix, _weights(pushes, sources))
    moved = back @ pushes
    met: dict[str, dict[str, None]] = {}
    for one in meetings:
        met.setdefault(one.a, {})[one.b] = None
        met.setdefault(one.b, {})[one.a] = None
    made = {}
    for k in cluster:
        body = bodies[k]
        columns = body.motions.T @ moved[at[k]]
        columns[:, places[k]] += body.firm
        moves = np.abs(left[:, at[k]]).max(axis=1, initial=0.0) > _SEEN
        made[k] = body._replace(
            effects=Effects(sources, columns),
            free=left[moves][:, at[k]] @ body.motions,
            ids=tuple(dict.fromkeys([*body.ids, *met.get(k, ())])),
        )
    return made


def _weights(pushes: Floats, sources: Sources) -> Floats:
    """Each row counts by its own exactness."""
    if not sources.items:
        return np.ones(len(pushes))
    times = np.hypot.reduce(sources.by_source(pushes), axis=2)
    sigma = np.linalg.norm(times * sources.sigmas, axis=1)
    weights: Floats = 1.0 / np.maximum(sigma, _LEAST_SIGMA)
    return weights / float(weights.max())


def _solved(matrix: Floats, weights: Floats) -> tuple[Floats, Floats]:
    """The weighted least squares of a set of rows, and the motions that no row holds (n x m)."""
    # What is held does not depend on the weights: a coarse contact holds too.
    plain, directions = np.linalg.eigh(matrix.T @ matrix)
    held = plain > FREE**2 * max(float(plain[-1]), 1e-12)
    inside = matrix @ directions[:, held]
    weighted = inside.T * weights**2
    back = directions[:, held] @ np.linalg.solve(weighted @ inside, weighted)
    return back, directions[:, ~held].T
