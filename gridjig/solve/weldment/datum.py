"""Datum faces, chosen or proposed, and how accurately two datum stops set the angle.

A is the long face, B the end, C the table top.  The order of preference is common practice: the
longest straight mill face away from the welds; a sawn end only if there is nothing better.
"""

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

from msgspec import Struct

from gridjig.model import Datum, FaceOf, Job, Part
from gridjig.model.by_weldment import parts_of, weldment_of
from gridjig.rack import Point
from gridjig.rack.same import Same

from .faces import WorkFace, faces

CLEAR = 25.0
"""Clearance between a datum stop and corners or welds, mm.  Common practice."""


class DatumFaces(Struct, frozen=True):
    """The datum faces of a job; None if the weldment offers none.

    `proposed` names those that were not chosen: "long", "end".
    """

    long: WorkFace | None
    end: WorkFace | None
    proposed: frozenset[str]


def datum_faces(job: Job, weldment: str | None = None) -> DatumFaces:
    """The datum faces of a weldment, by default the first, as chosen.

    As proposed if none was chosen, or the chosen one is not a face of this weldment.  Raises
    KeyError if there is no such weldment.
    """
    one = weldment_of(job, weldment)
    return _datum_of(Same(one.datum), Same(parts_of(job, one.id)))


@lru_cache(maxsize=64)
def _datum_of(datum: Same[Datum], of: Same[tuple[Part, ...]]) -> DatumFaces:
    parts = of.value
    every = {face.of: face for face in faces(parts)}
    long = _chosen(every, datum.value.long)
    end = _chosen(every, datum.value.end)
    proposed = propose(parts, long)
    missing = frozenset(name for name, face in (("long", long), ("end", end)) if face is None)
    return DatumFaces(
        long or _chosen(every, proposed.long), end or _chosen(every, proposed.end), missing
    )


def _chosen(every: dict[FaceOf, WorkFace], face: FaceOf | None) -> WorkFace | None:
    return every.get(face) if face is not None else None


def propose(parts: Sequence[Part], long: WorkFace | None = None) -> Datum:
    """The datum faces that suit the weldment; if `long` is given, the end that goes with it."""
    every = faces(parts)
    if not every:
        return Datum()
    best = long or min(every, key=_long_rank)
    across = [face for face in every if _along(face, best) < 0.5]
    end = min(across, key=_end_rank(best)) if across else None
    return Datum(long=best.of, end=end.of if end is not None else None)


def _long_rank(face: WorkFace) -> tuple[object, ...]:
    """Nothing in front of it, a mill face, no weld on it, long; then towards the front left."""
    return (not face.outer, not face.mill, not face.clear, *_last(face))


def _end_rank(long: WorkFace) -> Callable[[WorkFace], tuple[object, ...]]:
    """Nothing in front of it, then square to the long face, then as for the long face."""

    def rank(face: WorkFace) -> tuple[object, ...]:
        square = round(_along(face, long), 3)
        return (not face.outer, square, not face.mill, not face.clear, *_last(face))

    return rank


def _last(face: WorkFace) -> tuple[float, ...]:
    """The longer one first, then the one nearer the front, then the one further left."""
    x, y = (face.a[0] + face.b[0]) / 2.0, (face.a[1] + face.b[1]) / 2.0
    return (-round(face.length, 2), round(y, 2), round(x, 2))


def _along(face: WorkFace, other: WorkFace) -> float:
    """0 for faces square to each other, 1 for parallel ones."""
    return abs(face.normal[0] * other.normal[0] + face.normal[1] * other.normal[1])


class StopSpan(Struct, frozen=True):
    """Two places on a face for its stops, as far apart as corners and welds allow; mm."""

    one: Point
    other: Point
    spacing: float


def span(face: WorkFace, clear: float = CLEAR) -> StopSpan | None:
    """The places of the two stops on a datum face; None if there is no room for two."""
    room = face.room(clear, corners=clear)
    if not room:
        return None
    low, high = room[0][0], room[-1][1]
    return StopSpan(_place(face, low), _place(face, high), high - low)


def _place(face: WorkFace, along: float) -> Point:
    part = along / face.length
    return (
        face.a[0] + (face.b[0] - face.a[0]) * part,
        face.a[1] + (face.b[1] - face.a[1]) * part,
    )


def angle_error(stop_error: float, spacing: float) -> float:
    """How far an error of one of two stops tilts the work, in arc-minutes.

    `stop_error` and `spacing` are in mm.  atan(error / spacing), plain geometry.  Raises ValueError
    if the spacing is not greater than 0.
    """
    if not spacing > 0:
        raise ValueError("spacing not positive")
    return 60.0 * math.degrees(math.atan2(stop_error, spacing))
