"""What a tape can read of a weldment: critical dimensions, overall sizes, diagonals; and their
errors.

Critical dimensions run from a datum face to each critical face that is parallel to it.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from gridjig.contact.shapes import placed_part
from gridjig.model import FaceOf, Job, Part
from gridjig.model.accuracy import Accuracy
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.tolerance import limit_arcmin, linear_limit
from gridjig.solve.weldment.datum import DatumFaces, datum_faces
from gridjig.solve.weldment.faces import WorkFace, faces

from .bodies import ErrorBody
from .spread import UNMOVED, ErrorMap, between, row, spread, total
from .values import DimensionKind, Spread, Squareness, TapeReading

_PARALLEL = 1e-3
_LEAST = 1.0
"""Measures shorter than this, mm, are none: two faces in one line."""

Bodies = Mapping[str, ErrorBody]


class TapeEnd(NamedTuple):
    """A straight bit of a part that a tape is held to; its two points may be one."""

    part: str
    a: Point
    b: Point


class TapeLine(NamedTuple):
    """A measure from one end to the other along a unit vector."""

    kind: DimensionKind
    start: TapeEnd
    end: TapeEnd
    axis: Point


class Tape(NamedTuple):
    """Where a tape is held to a weldment; `corners` are its four outer ones in order, or none."""

    lines: tuple[TapeLine, ...]
    corners: tuple[TapeEnd, ...]


def tape_of(job: Job, weldment: str, parts: tuple[Part, ...]) -> Tape:
    """Where a tape is held to a weldment; the same parts and choices give the same value."""
    return _tape(Same(datum_faces(job, weldment)), Same(job.critical), Same(parts))


@lru_cache(maxsize=64)
def _tape(
    of: Same[DatumFaces], critical: Same[tuple[FaceOf, ...]], those: Same[tuple[Part, ...]]
) -> Tape:
    datum, parts = of.value, those.value
    every = {face.of: face for face in faces(parts)}
    found: list[TapeLine] = []
    for face in (every[of] for of in critical.value if of in every):
        for start in (datum.long, datum.end):
            if start is None or face.of == start.of or not _parallel(face, start):
                continue
            (ax, ay), (bx, by) = start.a, face.a
            if abs(_dot((bx - ax, by - ay), start.normal)) > _LEAST:
                found.append(TapeLine("critical", _line(start), _line(face), start.normal))
    along = datum.long.normal if datum.long is not None else (0.0, -1.0)
    across = (-along[1], along[0])
    corners = [(part.id, p) for part in parts for p in placed_part(part).points]
    for axis in (across, along):
        low, high = (_outermost(corners, every, way) for way in (_back(axis), axis))
        found.append(TapeLine("overall", low, high, axis))
    return Tape(tuple(found), _outer(corners, across, along))


def _outer(
    corners: Sequence[tuple[str, Point]], across: Point, along: Point
) -> tuple[TapeEnd, ...]:
    """The four outer corners in order; none if two of them are one."""
    size = [max(_span(corners, way), 1e-9) for way in (across, along)]
    found = []
    for i, j in ((-1, 1), (1, 1), (1, -1), (-1, -1)):
        way = (
            i * across[0] / size[0] + j * along[0] / size[1],
            i * across[1] / size[0] + j * along[1] / size[1],
        )
        part, p = max(corners, key=lambda c: (round(_dot(c[1], way), 9), c[0]))
        found.append(TapeEnd(part, p, p))
    return tuple(found) if len({end.a for end in found}) == len(found) else ()


def dimensions(
    job: Job, weldment: str, bodies: Bodies, parts: tuple[Part, ...]
) -> list[TapeReading]:
    """The critical dimensions and overall sizes of one weldment."""
    return [
        _dimension(job.accuracy, weldment, line, bodies)
        for line in tape_of(job, weldment, parts).lines
    ]


def squareness(
    job: Job, weldment: str, bodies: Bodies, parts: tuple[Part, ...]
) -> Squareness | None:
    """Both diagonals of a weldment, between its outer corners; None if it has no four of them."""
    outer = tape_of(job, weldment, parts).corners
    if not outer:
        return None
    diagonals = []
    measures: list[ErrorMap | None] = []
    for start, end in ((outer[0], outer[2]), (outer[1], outer[3])):
        p, q = start.a, end.a
        length = math.dist(p, q)
        line = TapeLine("diagonal", start, end, ((q[0] - p[0]) / length, (q[1] - p[1]) / length))
        diagonals.append(_dimension(job.accuracy, weldment, line, bodies))
        measures.append(apart(bodies, line, p, q))
    first, second = diagonals
    sides = [math.dist(outer[k].a, outer[(k + 1) % 4].a) for k in range(4)]
    a, b = (sides[0] + sides[2]) / 2.0, (sides[1] + sides[3]) / 2.0
    limit = limit_arcmin(job.accuracy.linear, min(a, b)) / 60.0
    both = first.nominal + second.nominal
    difference = None
    if measures[0] is not None and measures[1] is not None:
        difference = spread(_less(measures[0], measures[1]))
    worst = difference.worst if difference is not None else 0.0
    return Squareness(
        weldment,
        first,
        second,
        first.nominal - second.nominal,
        difference,
        skew_of(a, b, worst, both),
        4.0 * a * b * math.sin(math.radians(limit)) / both,
        limit,
    )


def skew_of(a: float, b: float, difference: float, both: float) -> float:
    """How far a parallelogram with sides a, b is out of square, degrees.

    `difference` is that of its diagonals and `both` their sum, mm: d1^2 - d2^2 = 4 a b sin(skew).
    """
    return math.degrees(math.asin(min(max(difference * both / (4.0 * a * b), -1.0), 1.0)))


def _less(one: ErrorMap, other: ErrorMap) -> ErrorMap:
    return total((one, ErrorMap(other.sources, -other.values)))


def _dimension(accuracy: Accuracy, weldment: str, line: TapeLine, bodies: Bodies) -> TapeReading:
    """The distance along a line, where it is least exact."""
    start, end, axis = line.start, line.end, line.axis
    pairs = [(_foot(start, q), q) for q in (end.a, end.b)]
    pairs += [(p, _foot(end, p)) for p in (start.a, start.b)]
    best: tuple[float, Spread | None, tuple[Point, Point]] | None = None
    for p, q in dict.fromkeys(pairs):
        measure = apart(bodies, line, p, q)
        error = spread(measure) if measure is not None else None
        rank = error.worst if error is not None else math.inf
        if best is None or rank > best[0]:
            best = (rank, error, (p, q))
    assert best is not None
    _, error, (p, q) = best
    nominal = abs(_dot((q[0] - p[0], q[1] - p[1]), axis))
    limit = linear_limit(accuracy.linear, nominal) or 1.0
    ids = tuple(dict.fromkeys((start.part, end.part)))
    return TapeReading(weldment, line.kind, ids, p, q, nominal, error, limit)


def apart(bodies: Bodies, line: TapeLine, p: Point, q: Point) -> ErrorMap | None:
    """How far the distance along a line from p to q is out; None if a part is loose that way."""
    start, end = line.start.part, line.end.part
    if start == end:  # a rigid part keeps its own size
        return ErrorMap(UNMOVED.sources, np.zeros((1, 0)))
    one, other = row(p, line.axis), row(q, line.axis)
    a, b = bodies[start], bodies[end]
    if not (a.settles(one) and b.settles(other)):
        return None
    return between((b.effects, other), (a.effects, -one))


def _outermost(
    corners: Sequence[tuple[str, Point]], every: Mapping[FaceOf, WorkFace], way: Point
) -> TapeEnd:
    """The outermost face that looks that way, or the outermost corner where there is none."""
    far = max(_dot(p, way) for _, p in corners)
    flush = [
        face
        for face in every.values()
        if _dot(face.normal, way) > 1.0 - _PARALLEL**2 and far - _dot(face.a, way) < 0.05
    ]
    if flush:
        return _line(max(flush, key=lambda face: round(face.length, 3)))
    part, p = max(corners, key=lambda c: round(_dot(c[1], way), 6))
    return TapeEnd(part, p, p)


def _foot(line: TapeEnd, p: Point) -> Point:
    """The point of a line nearest to a point."""
    (ax, ay), (bx, by) = line.a, line.b
    dx, dy = bx - ax, by - ay
    square = dx * dx + dy * dy
    if not square:
        return line.a
    t = min(max(((p[0] - ax) * dx + (p[1] - ay) * dy) / square, 0.0), 1.0)
    return (ax + t * dx, ay + t * dy)


def _line(face: WorkFace) -> TapeEnd:
    return TapeEnd(face.of.part, face.a, face.b)


def _parallel(one: WorkFace, other: WorkFace) -> bool:
    (ax, ay), (bx, by) = one.normal, other.normal
    return abs(ax * by - ay * bx) < _PARALLEL


def _span(corners: Iterable[tuple[str, Point]], way: Point) -> float:
    places = [_dot(p, way) for _, p in corners]
    return max(places) - min(places)


def _back(way: Point) -> Point:
    return (-way[0], -way[1])


def _dot(p: Point, q: Point) -> float:
    return p[0] * q[0] + p[1] * q[1]
