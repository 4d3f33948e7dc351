"""How exact a whole job is; after an edit only what it touches is reckoned again."""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from gridjig.contact.values import Contact, JobContacts, PieceContacts
from gridjig.geometry import Pose
from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job, Part
from gridjig.model.accuracy import Accuracy
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.rack import Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.tolerance import limit_arcmin

from .bodies import Body, held_by_each_other, held_by_pieces
from .in_line import out_of_line
from .measures import dimensions, squareness
from .sources import LOCATES, PieceErrors, hole_error, piece_errors
from .spread import ErrorMap, at_point, ellipse, spread, spread_2d
from .values import (
    Assumed,
    ExactReport,
    MemberError,
    PointError,
    Reading,
    Spread,
    Squareness,
)

SHOP_VALUE = "shop value; common practice, no source"

LocatedBy = Sequence[tuple[Contact, PieceErrors]]


def exact(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> ExactReport:
    """How exact a job is."""
    return Exactness().of(job, placed_pieces, contacts)


class Exactness:
    """Keeps the errors of the last job; what follows from the same objects is not reckoned again.

    Not thread-safe.
    """

    def __init__(self) -> None:
        self._basis: tuple[object, ...] = ()
        self._pieces: dict[str, tuple[PlacedPiece, PieceErrors | None]] = {}
        self._alone: dict[str, tuple[tuple[object, ...], Body]] = {}
        self._errors: dict[str, tuple[Part, Body, MemberError]] = {}
        self._measured: dict[str, tuple[tuple[object, ...], _Measured]] = {}
        self._bodies: Mapping[str, Body] = {}

    def of(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
    ) -> ExactReport:
        """The report of a job."""
        accuracy = job.accuracy
        basis = (job.table, job.rack, accuracy)
        if len(self._basis) != 3 or any(
            a is not b for a, b in zip(basis, self._basis, strict=True)
        ):
            self.__init__()  # type: ignore[misc]
            self._basis = basis
        errors = self._of_pieces(job, placed_pieces)
        parts = {part.id: part for part in job.parts}
        locating, known = _locating(contacts, errors)
        alone = {
            k: self._alone_of(k, [part], locating.get(k, ()), (part, *known.get(k, ())), accuracy)
            for k, part in parts.items()
        }
        bodies = held_by_each_other(alone, contacts.parts, accuracy)
        self._bodies = bodies
        members = tuple(self._member(part, bodies[part.id], accuracy) for part in job.parts)
        weldments: list[MemberError] = []
        measured: list[_Measured] = []
        for weldment, some in parts_by_weldment(job.parts).items():
            together = [one for part in some for one in locating.get(part.id, ())]
            key = (*some, *(one for part in some for one in known.get(part.id, ())))
            body = self._alone_of(f"/{weldment}", some, together, key, accuracy)
            weldments.append(_error(weldment, some, body, accuracy))
            measured.append(self._measures(job, weldment, some, bodies))
        return ExactReport(
            accuracy.linear,
            accuracy.straight,
            members,
            tuple(weldments),
            tuple(_points(job, parts, bodies)),
            tuple(one for some in measured for one in some.dimensions),
            tuple(one.square for one in measured if one.square is not None),
            out_of_line(parts, contacts.every(), accuracy),
            assumed(job),
        )

    def measure_at(self, part: str, p: Point) -> ErrorMap | None:
        """How far a point of a part of the last job moves along x and y; None if it is loose."""
        body = self._bodies.get(part)
        return None if body is None or body.loose else at_point(body.effects, p)

    def _of_pieces(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece]
    ) -> Mapping[str, PieceErrors | None]:
        kept = self._pieces
        made = {
            k: kept[k]
            if k in kept and kept[k][0] is placed
            else (placed, piece_errors(job, placed))
            for k, placed in placed_pieces.items()
        }
        self._pieces = made
        return {k: errors for k, (_, errors) in made.items()}

    def _alone_of(
        self,
        name: str,
        parts: Sequence[Part],
        located: LocatedBy,
        key: tuple[object, ...],
        accuracy: Accuracy,
    ) -> Body:
        kept = self._alone.get(name)
        if kept is not None and _same(kept[0], key):
            return kept[1]
        body = held_by_pieces(parts, located, accuracy)
        self._alone[name] = (key, body)
        return body

    def _member(self, part: Part, body: Body, accuracy: Accuracy) -> MemberError:
        kept = self._errors.get(part.id)
        if kept is not None and kept[0] is part and kept[1] is body:
            return kept[2]
        made = _error(part.id, [part], body, accuracy)
        self._errors[part.id] = (part, body, made)
        return made

    def _measures(
        self, job: Job, weldment: str, parts: tuple[Part, ...], bodies: Mapping[str, Body]
    ) -> "_Measured":
        key = (job.critical, job.weldments, *(one for p in parts for one in (p, bodies[p.id])))
        kept = self._measured.get(weldment)
        if kept is not None and _same(kept[0], key):
            return kept[1]
        made = _Measured(
            tuple(dimensions(job, weldment, bodies, parts)),
            squareness(job, weldment, bodies, parts),
        )
        self._measured[weldment] = (key, made)
        return made


class _Measured:
    """What was measured of a weldment."""

    __slots__ = ("dimensions", "square")

    def __init__(self, of: tuple[Reading, ...], square: Squareness | None) -> None:
        self.dimensions, self.square = of, square


def _same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    return len(one) == len(other) and all(a is b for a, b in zip(one, other, strict=True))


def _locating(
    contacts: JobContacts, errors: Mapping[str, PieceErrors | None]
) -> tuple[dict[str, list[tuple[Contact, PieceErrors]]], dict[str, list[object]]]:
    """The contacts that locate each part, and what they follow from."""
    found: dict[str, list[tuple[Contact, PieceErrors]]] = {}
    known: dict[str, list[object]] = {}
    for piece, own in contacts.pieces.items():
        error = errors.get(piece)
        if error is None:
            continue
        for contact in _touching(own):
            found.setdefault(contact.part, []).append((contact, error))
            known.setdefault(contact.part, []).extend((contact, error))
    return found, known


def _touching(own: PieceContacts) -> list[Contact]:
    """The contacts that touch and locate; those that touch come first."""
    found = []
    for contact in own.contacts:
        if contact.means != "touches":
            break
        if contact.kind in LOCATES and contact.feature != "tip":
            found.append(contact)
    return found


def _error(name: str, parts: Sequence[Part], body: Body, accuracy: Accuracy) -> MemberError:
    corners = [p for part in parts for p in part_ring(part)]
    limit = limit_arcmin(accuracy.linear, _across(corners)) / 60.0
    angle = None
    if body.settles(np.array([0.0, 0.0, 1.0])):
        turned = ErrorMap([(source, columns[2:3]) for source, columns in body.effects.items()])
        angle = Spread(*(math.degrees(math.atan(value)) for value in spread(turned)))
    best: tuple[Spread | None, Point] = (None, corners[0])
    if not body.loose:
        for p in corners:
            there = spread_2d(at_point(body.effects, p))
            if best[0] is None or there.worst > best[0].worst + 1e-9:
                best = (there, p)
    shape = (0.0, 0.0, 0.0) if body.loose else _axes(body, best[1])
    return MemberError(name, best[0], angle, best[1], body.ids, body.spacing, limit, shape)


def _axes(body: Body, at: Point) -> tuple[float, float, float]:
    """The semi-axes of the ellipse of errors of a point, mm, and the turn of the long one."""
    values, ways = np.linalg.eigh(ellipse(at_point(body.effects, at)))
    short, long = np.sqrt(np.maximum(values, 0.0)).tolist()
    return long, short, math.degrees(math.atan2(ways[1, 1], ways[0, 1]))


def _across(points: Sequence[Point]) -> float:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return math.hypot(max(xs) - min(xs), max(ys) - min(ys))


def _points(job: Job, parts: Mapping[str, Part], bodies: Mapping[str, Body]) -> list[PointError]:
    found = []
    for chosen in job.accuracy.points:
        part = parts.get(chosen.part)
        if part is None:
            continue
        at = Pose(part.x, part.y, part.turn).point((chosen.x, chosen.y))
        body = bodies[part.id]
        error = None if body.loose else spread_2d(at_point(body.effects, at))
        found.append(PointError(part.id, chosen.name, at, error))
    return found


def assumed(job: Job) -> tuple[Assumed, ...]:
    """The shop values that the errors of a job are reckoned with."""
    accuracy = job.accuracy
    measured = "of the table" if job.table.hole_tolerance else SHOP_VALUE
    return (
        Assumed("hole position", hole_error(job), measured),
        Assumed("locating face", accuracy.face, SHOP_VALUE),
        Assumed("each shim", accuracy.shim, SHOP_VALUE),
        Assumed("length set by tape", accuracy.setting, SHOP_VALUE),
        Assumed("fit of two parts", accuracy.fit, SHOP_VALUE),
    )
