"""How exact a whole job is; after an edit only what it touches is reckoned again."""

import math
from collections.abc import Mapping, Sequence

import numpy as np
import shapely

from gridjig.contact.by_part import by_part
from gridjig.contact.shapes import placed_part
from gridjig.contact.values import Contact, JobContacts
from gridjig.geometry import Pose
from gridjig.model import Job, Part
from gridjig.model.accuracy import Accuracy
from gridjig.model.by_weldment import parts_by_weldment
from gridjig.rack import Point
from gridjig.rack.kept import KeptResults
from gridjig.rack.same import alike
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.tolerance import limit_arcmin

from .bodies import ErrorBody, Settled, held_by_pieces
from .in_line import InLine
from .measures import TapeEnd, TapeLine, apart, dimensions, squareness
from .sources import PieceErrors, hole_error, piece_errors
from .spread import ErrorMap, at_point, ellipse, farthest, spread, spread_2d
from .values import (
    Assumed,
    ExactReport,
    MemberError,
    PointError,
    Spread,
    Squareness,
    TapeReading,
)

SHOP_VALUE = "shop value; common practice, no source"


def exact(job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts) -> ExactReport:
    """How exact a job is."""
    return Exactness().of(job, placed_pieces, contacts)


def whole_errors(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
) -> tuple[MemberError, ...]:
    """How far each weldment can lie from where it is drawn once it is tacked, as one rigid body.

    With all its contacts it takes longer than an edit may, and no finding depends on it.
    """
    errors = {k: piece_errors(job, placed) for k, placed in placed_pieces.items()}
    own = by_part(contacts).own
    found = []
    for weldment, some in parts_by_weldment(job.parts).items():
        every = [
            (contact, error)
            for part in some
            for contact in own.get(part.id, ())
            if contact.locates and (error := errors[contact.piece]) is not None
        ]
        body = held_by_pieces(some, every)
        found.append(_error(weldment, some, body, job.accuracy))
    return tuple(found)


class Exactness:
    """Keeps the errors of the last job; what follows from the same objects is not reckoned again.

    Not thread-safe.
    """

    def __init__(self) -> None:
        self._pieces: dict[str, tuple[PlacedPiece, PieceErrors | None]] = {}
        self._basis: tuple[object, ...] = ()
        self._alone = KeptResults[ErrorBody]()
        self._errors = KeptResults[MemberError]()
        self._measured = KeptResults[_Measured]()
        self._bodies: Mapping[str, ErrorBody] = {}
        self._settled = Settled()
        self._in_line = InLine()

    def of(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts
    ) -> ExactReport:
        """The report of a job."""
        accuracy = job.accuracy
        basis = (job.table, job.rack, accuracy)
        if not alike(self._basis, basis):
            self._basis, self._pieces = basis, {}
        parts = {part.id: part for part in job.parts}
        own = by_part(contacts).own
        with self._alone.round(*basis):
            alone = {
                k: self._alone_of(job, part, own.get(k, ()), placed_pieces)
                for k, part in parts.items()
            }
        bodies = self._bodies = self._settled.of(alone, contacts.parts, accuracy)
        with self._errors.round(accuracy):
            members = tuple(self._error(part, bodies[part.id], accuracy) for part in job.parts)
        with self._measured.round(accuracy, job.critical, job.weldments):
            measured = [
                self._measures(job, weldment, some, bodies)
                for weldment, some in parts_by_weldment(job.parts).items()
            ]
        return ExactReport(
            accuracy.linear,
            accuracy.straight,
            members,
            tuple(_points(job, parts, bodies)),
            tuple(one for some in measured for one in some.dimensions),
            tuple(one.square for one in measured if one.square is not None),
            self._in_line.of(parts, contacts, accuracy),
            assumed(job),
        )

    def measure_at(self, part: str, p: Point) -> ErrorMap | None:
        """How far a point of a part of the last job moves along x and y; None if it is loose."""
        body = self._bodies.get(part)
        return None if body is None or body.loose else at_point(body.effects, p)

    def measure_between(self, parts: tuple[str, str], p: Point, q: Point) -> ErrorMap | None:
        """How far the distance from p on one part of the last job to q on another is out."""
        length = math.dist(p, q)
        if not length:
            return None
        axis = ((q[0] - p[0]) / length, (q[1] - p[1]) / length)
        ends = (TapeEnd(parts[0], p, p), TapeEnd(parts[1], q, q))
        return apart(self._bodies, TapeLine("overall", *ends, axis), p, q)

    def _alone_of(
        self,
        job: Job,
        part: Part,
        own: tuple[Contact, ...],
        placed_pieces: Mapping[str, PlacedPiece],
    ) -> ErrorBody:
        """A part as its pieces alone hold it; their contacts are others once they are moved."""

        def hold() -> ErrorBody:
            located = [
                (contact, errors)
                for contact in own
                if contact.locates
                and (errors := self._errors_of(job, placed_pieces[contact.piece])) is not None
            ]
            return held_by_pieces([part], located)

        return self._alone.of(part.id, (part, *own), hold)

    def _errors_of(self, job: Job, placed: PlacedPiece) -> PieceErrors | None:
        kept = self._pieces.get(placed.placement.id)
        if kept is None or kept[0] is not placed:
            kept = self._pieces[placed.placement.id] = (placed, piece_errors(job, placed))
        return kept[1]

    def _error(self, part: Part, body: ErrorBody, accuracy: Accuracy) -> MemberError:
        return self._errors.of(part.id, (part, body), _error, part.id, (part,), body, accuracy)

    def _measures(
        self, job: Job, weldment: str, parts: tuple[Part, ...], bodies: Mapping[str, ErrorBody]
    ) -> "_Measured":
        def measure() -> _Measured:
            return _Measured(
                tuple(dimensions(job, weldment, bodies, parts)),
                squareness(job, weldment, bodies, parts),
            )

        given = (*parts, *(bodies[part.id] for part in parts))
        return self._measured.of(weldment, given, measure)


class _Measured:
    """What was measured of a weldment."""

    __slots__ = ("dimensions", "square")

    def __init__(self, of: tuple[TapeReading, ...], square: Squareness | None) -> None:
        self.dimensions, self.square = of, square


def _error(name: str, parts: Sequence[Part], body: ErrorBody, accuracy: Accuracy) -> MemberError:
    corners = _outer_corners(parts)
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    longest = math.hypot(max(xs) - min(xs), max(ys) - min(ys))
    limit = limit_arcmin(accuracy.linear, longest) / 60.0
    angle = None
    if body.settles(np.array([0.0, 0.0, 1.0])):
        turned = spread(ErrorMap(body.effects.sources, body.effects.columns[2:3]))
        angle = Spread(*(math.degrees(math.atan(value)) for value in turned))
    at, error = corners[0], None
    if not body.loose:
        which, error = farthest(body.effects, corners)
        at = corners[which]
    axes = (0.0, 0.0, 0.0) if body.loose else _axes(body, at)
    return MemberError(name, error, angle, at, body.ids, body.spacing, limit, axes)


def _axes(body: ErrorBody, at: Point) -> tuple[float, float, float]:
    """The semi-axes of the ellipse of errors of a point, mm, and the turn of the long one."""
    values, ways = np.linalg.eigh(ellipse(body.effects, at))
    short, long = np.sqrt(np.maximum(values, 0.0)).tolist()
    return long, short, math.degrees(math.atan2(ways[1, 1], ways[0, 1]))


def _outer_corners(parts: Sequence[Part]) -> list[Point]:
    """The corners of the hull of some parts: nothing of them moves further."""
    corners = [p for part in parts for p in placed_part(part).points]
    if len(corners) <= _FEW:
        return corners
    hull = shapely.convex_hull(shapely.multipoints(np.array(corners)))
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(hull)]


_FEW = 8


def _points(
    job: Job, parts: Mapping[str, Part], bodies: Mapping[str, ErrorBody]
) -> list[PointError]:
    found = []
    for chosen in job.accuracy.points:
        part = parts.get(chosen.part)
        if part is None:
            continue
        at = Pose(part.x, part.y, part.turn).point((chosen.x, chosen.y))
        body = bodies[part.id]
        if body.loose:
            found.append(PointError(part.id, chosen.name, at, None))
            continue
        error = spread_2d(body.effects, at)
        found.append(PointError(part.id, chosen.name, at, error, _axes(body, at)))
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
