"""The measures of a job as drawn, as set in the jig, and as expected after welding.

The drawing is the nominal state, and so are the stops on the plan.  A joint set open and a member
cut longer move the parts in the jig; closing joints move them back.  Both leave the datum faces
where they are.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence

from gridjig.contact.values import TOUCH, Contact, JobContacts
from gridjig.model import Job, Member, Part
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.proof.exact.bodies import STILL
from gridjig.proof.exact.measures import dimensions
from gridjig.proof.exact.values import TapeReading
from gridjig.proof.out.closing import closings
from gridjig.proof.out.drawing_in import Drift, all_drawn_in, moved, stretched
from gridjig.proof.out.values import JointClosing
from gridjig.rack import Point
from gridjig.solve.tolerance import linear_limit
from gridjig.solve.weldment.datum import DatumFaces, datum_faces
from gridjig.solve.weldment.faces import WorkFace

from .values import AllowanceReport, Layer, StopMove

REACH = 25.0
"""A stop this near to a face, mm, is meant for it."""

Motions = Mapping[str, Drift]


def allowance(job: Job, contacts: JobContacts) -> AllowanceReport:
    """All measures of a job with what is allowed for."""
    return Allowing().of(job, contacts)


class Allowing:
    """Keeps the layers of the last job; the pieces change only which stops follow them.

    Not thread-safe.
    """

    def __init__(self) -> None:
        self._key: tuple[object, ...] = ()
        self._layers: tuple[Layer, ...] = ()
        self._set: dict[str, Drift] = {}
        self._longer: dict[str, float] = {}

    def of(self, job: Job, contacts: JobContacts) -> AllowanceReport:
        """All measures of a job with what is allowed for."""
        closed = closings(job)
        key = (
            job.parts,
            job.critical,
            job.weldments,
            job.allowances,
            job.accuracy,
            closed,
            contacts.parts,
        )
        if len(self._key) != len(key) or any(
            a is not b for a, b in zip(self._key, key, strict=True)
        ):
            self._key = key
            self._reckon(job, contacts, closed)
        any_ = any(one.opened for one in job.allowances.joints) or any(self._longer.values())
        stops = tuple(self._stops(job, contacts)) if any_ else ()
        return AllowanceReport(any_, self._layers, stops)

    def _reckon(self, job: Job, contacts: JobContacts, closed: Sequence[JointClosing]) -> None:
        opened = {(frozenset((one.a, one.b)), one.nth): one.opened for one in job.allowances.joints}
        wider = {one.id: opened.get((frozenset((one.a, one.b)), one.nth), 0.0) for one in closed}
        known = {part.id for part in job.parts if isinstance(part, Member)}
        self._longer = {one.part: one.longer for one in job.allowances.parts if one.part in known}
        self._set = {}
        layers = list(_joints(closed, wider))
        layers += _parts(job, self._longer)
        for weldment, parts in parts_by_weldment(job.parts).items():
            mine = {part.id for part in parts}
            joined = [one for one in contacts.parts if one.a in mine]
            drawn = all_drawn_in(
                parts,
                joined,
                [{one.id: by(one) - wider[one.id] for one in closed} for by in _STATES],
                self._longer,
            )
            datum = datum_faces(job, weldment)
            states = [_held(datum, motions) for motions in drawn]
            self._set.update(states[0])
            rigid = {part.id: STILL for part in parts}
            for dimension in dimensions(job, weldment, rigid, parts):
                layers.append(_measured(dimension, parts, states, self._longer))
        self._layers = tuple(layers)

    def _stops(self, job: Job, contacts: JobContacts) -> Iterator[StopMove]:
        """The stops whose faces are not where the parts lie as they are set."""
        parts = {part.id: part for part in job.parts}
        seen: set[tuple[str, str]] = set()
        for contact in contacts.every():
            if not _meant(contact) or (contact.piece, contact.part) in seen:
                continue
            seen.add((contact.piece, contact.part))
            part = parts[contact.part]
            longer = self._longer.get(part.id, 0.0)
            ux, uy = _moved(self._set[part.id], part, longer, contact.middle)
            wanted = ux * contact.normal[0] + uy * contact.normal[1]
            if abs(wanted - contact.gap) > TOUCH:
                yield StopMove(contact.piece, part.id, contact.middle, wanted, contact.gap)


_STATES: tuple[Callable[[JointClosing], float], ...] = (
    lambda one: 0.0,
    lambda one: one.low,
    lambda one: one.high,
)
"""As set in the jig; after the least closing, and after the most."""


def _meant(contact: Contact) -> bool:
    return (
        contact.locates
        and contact.means in ("touches", "gap", "overlap")
        and abs(contact.gap) <= REACH
    )


def _moved(motion: Drift, part: Part, longer: float, p: Point) -> Point:
    ux, uy = moved(motion, p)
    sx, sy = stretched(part, longer, p)
    return (ux + sx, uy + sy)


def _joints(closed: Sequence[JointClosing], wider: Mapping[str, float]) -> Iterator[Layer]:
    for one in closed:
        opened = wider[one.id]
        if one.high or opened:
            yield Layer(
                "joint",
                one.id,
                (one.a, one.b),
                0.0,
                opened,
                opened - one.high,
                opened - one.low,
                0.0,
                (0.0, 0.0),
                (0.0, 0.0),
            )


def _parts(job: Job, longer: Mapping[str, float]) -> Iterator[Layer]:
    for part in job.parts:
        by = longer.get(part.id, 0.0)
        if isinstance(part, Member) and by:
            length = part.long_point
            yield Layer(
                "part",
                part.id,
                (part.id,),
                length,
                length + by,
                length + by,
                length + by,
                linear_limit(job.accuracy.linear, length) or 1.0,
                (part.x, part.y),
                (part.x, part.y),
            )


def _measured(
    dimension: TapeReading,
    parts: Sequence[Part],
    states: Sequence[Motions],
    longer: Mapping[str, float],
) -> Layer:
    """One measure in the jig, and after welding with the most and the least closing."""
    known = {part.id: part for part in parts}
    start, end = known[dimension.ids[0]], known[dimension.ids[-1]]
    (ax, ay), (bx, by) = dimension.a, dimension.b
    length = math.hypot(bx - ax, by - ay) or 1.0
    ux, uy = (bx - ax) / length, (by - ay) / length
    values = []
    for motions in states:
        sx, sy = _moved(motions[start.id], start, longer.get(start.id, 0.0), dimension.a)
        ex, ey = _moved(motions[end.id], end, longer.get(end.id, 0.0), dimension.b)
        values.append(dimension.nominal + (ex - sx) * ux + (ey - sy) * uy)
    jig, one, other = values
    return Layer(
        "critical" if dimension.kind == "critical" else "overall",
        dimension.weldment,
        dimension.ids,
        dimension.nominal,
        jig,
        min(one, other),
        max(one, other),
        dimension.limit,
        dimension.a,
        dimension.b,
    )


def _held(datum: DatumFaces, motions: Mapping[str, Drift]) -> Motions:
    """The same motions seen from the datum: its faces stay where they are."""
    long, end = datum.long, datum.end
    if long is None:
        return motions
    turn = motions[long.of.part][2]
    back = _turned(motions, turn)
    dx, dy = _off(back, long)
    if end is not None:
        nx, ny = long.normal
        ex, ey = _off(back, end)
        # Along the long face only what the end face asks for.
        tx, ty = -ny, nx
        along = ex * tx + ey * ty
        dx, dy = dx + along * tx, dy + along * ty
    return {k: (x - dx, y - dy, t) for k, (x, y, t) in back.items()}


def _turned(motions: Mapping[str, Drift], turn: float) -> dict[str, Drift]:
    return {k: (x, y, t - turn) for k, (x, y, t) in motions.items()}


def _off(motions: Mapping[str, Drift], face: WorkFace) -> Point:
    """How far the middle of a face moves out of its line."""
    x, y = (face.a[0] + face.b[0]) / 2.0, (face.a[1] + face.b[1]) / 2.0
    ux, uy = moved(motions[face.of.part], (x, y))
    by = ux * face.normal[0] + uy * face.normal[1]
    return (by * face.normal[0], by * face.normal[1])
