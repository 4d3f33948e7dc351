"""Readings that prove a set-up before the first tube is loaded, each with its limits.

Face to face, diagonals between points that can be measured, and straight-edge checks.  Only what a
tape or a straight-edge can reach is asked for; nothing is measured to a drawn centre.
"""

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Literal

from msgspec import Struct

from gridjig.contact.values import JobContacts
from gridjig.model import Hole, Job
from gridjig.model.accuracy import LinearClass
from gridjig.rack import Point, Shank
from gridjig.solve.placed.placed_piece import PlacedFace, PlacedPiece
from gridjig.solve.tolerance import linear_limit

ReadingKind = Literal[
    "face to face", "over the pins", "over the rounds", "corner to corner", "line"
]

SHARE = 3.0
"""The set-up may use a third of the weldment's own tolerance: common practice, no source."""
_OPPOSED = -0.999_999
_SAME = 0.999_999
_LINE = 0.05  # mm; faces within this of one line are in line
_SLOPE = 0.02  # of the greater part; diagonals lean more than this from the sides


class Reading(Struct, frozen=True):
    """One reading: between which placements, how, what it should be, how far it may be off; mm.

    `points` are the ends of a diagonal on the table, `holes` where it is taken over pins.
    """

    kind: ReadingKind
    pieces: tuple[str, ...]
    nominal: float
    limit: float | None
    points: tuple[Point, ...] = ()
    holes: tuple[Hole, ...] = ()


class Readings(Struct, frozen=True):
    """All readings of a set-up."""

    across: tuple[Reading, ...]
    lines: tuple[Reading, ...]
    diagonals: tuple[Reading, ...]

    @property
    def every(self) -> tuple[Reading, ...]:
        """All readings, in the order in which they are taken."""
        return (*self.lines, *self.across, *self.diagonals)


class _Held(Struct, frozen=True):
    """A locating face of a placed piece, with its pose among the others."""

    piece: str
    face: PlacedFace


def readings(
    order: Sequence[str],
    placed_pieces: Mapping[str, PlacedPiece],
    contacts: JobContacts | None,
    job: Job,
    linear_class: LinearClass,
) -> Readings:
    """Return the readings of a set-up whose pieces are set in that order."""
    held = [_Held(k, face) for k in order for face in _faces(placed_pieces[k], contacts)]
    return Readings(
        across=_across(held, linear_class),
        lines=_lines(held),
        diagonals=_diagonals(order, placed_pieces, held, job, linear_class),
    )


def _faces(placed: PlacedPiece, contacts: JobContacts | None) -> list[PlacedFace]:
    """The faces of a piece that touch the work; if none does, its first."""
    if placed.fault is not None or not placed.faces:
        return []
    used = (
        {c.feature for c in contacts.pieces[placed.placement.id].touching}
        if contacts is not None and placed.placement.id in contacts.pieces
        else set()
    )
    return [face for face in placed.faces if face.id in used] or [placed.faces[0]]


def limit_of(nominal: float, linear_class: LinearClass) -> float | None:
    """Return how far a reading may be off, mm; None for one too short for the class."""
    whole = linear_limit(linear_class, nominal)
    return None if whole is None else round(whole / SHARE, 1)


def _across(held: Sequence[_Held], linear_class: LinearClass) -> tuple[Reading, ...]:
    """Face to face: for each face its best partner that looks back at it across the work.

    The best is the one with most of its length opposite, then the nearest.
    """
    best: dict[int, tuple[tuple[float, float], int, float]] = {}
    for i, j in combinations(range(len(held)), 2):
        found = _opposite(held[i].face, held[j].face)
        if found is None or held[i].piece == held[j].piece:
            continue
        apart, common = found
        for one, other in ((i, j), (j, i)):
            rank = (-round(common, 1), round(apart, 2))
            if one not in best or rank < best[one][0]:
                best[one] = (rank, other, apart)
    pairs: dict[tuple[int, int], float] = {}
    for one, (_, other, apart) in sorted(best.items()):
        pairs[min(one, other), max(one, other)] = apart
    return tuple(
        Reading(
            "face to face",
            (held[i].piece, held[j].piece),
            apart,
            limit_of(apart, linear_class),
        )
        for (i, j), apart in pairs.items()
    )


def _opposite(one: PlacedFace, other: PlacedFace) -> tuple[float, float] | None:
    """How far apart two faces are that look at each other, and over what length; None if not."""
    (nx, ny), (mx, my) = one.normal, other.normal
    if nx * mx + ny * my > _OPPOSED:
        return None
    apart = (other.a[0] - one.a[0]) * nx + (other.a[1] - one.a[1]) * ny
    if apart <= 0.0:
        return None
    tx, ty = -ny, nx
    spans = [sorted(x * tx + y * ty for x, y in (face.a, face.b)) for face in (one, other)]
    common = min(spans[0][1], spans[1][1]) - max(spans[0][0], spans[1][0])
    return apart, max(common, 0.0)


def _lines(held: Sequence[_Held]) -> tuple[Reading, ...]:
    """Faces in one line, for a straight-edge."""
    lines: list[list[_Held]] = []
    for one in held:
        for line in lines:
            if _in_line(line[0].face, one.face):
                line.append(one)
                break
        else:
            lines.append([one])
    made = []
    for line in lines:
        pieces = tuple(dict.fromkeys(one.piece for one in line))
        if len(pieces) > 1:
            made.append(Reading("line", pieces, 0.0, None))
    return tuple(made)


def _in_line(one: PlacedFace, other: PlacedFace) -> bool:
    (nx, ny), (mx, my) = one.normal, other.normal
    off = (other.a[0] - one.a[0]) * nx + (other.a[1] - one.a[1]) * ny
    return nx * mx + ny * my >= _SAME and abs(off) <= _LINE


class _Mark(Struct, frozen=True):
    """A point that a tape can be held to: round things have a radius to measure over."""

    piece: str
    at: Point
    radius: float
    kind: ReadingKind
    hole: Hole | None = None


def _diagonals(
    order: Sequence[str],
    placed_pieces: Mapping[str, PlacedPiece],
    held: Sequence[_Held],
    job: Job,
    linear_class: LinearClass,
) -> tuple[Reading, ...]:
    """The two longest diagonals, one each way, over things of one kind.

    The ends of faces first, as they show what is set on the pieces too; then round bodies; then
    locking pins, which only show that the holes are the right ones.
    """
    stood = [placed_pieces[k] for k in order if placed_pieces[k].fault is None]
    for marks in (_ends(held), _rounds(stood), _pins(stood, job)):
        pairs = _longest(marks)
        if pairs:
            return tuple(
                Reading(
                    one.kind,
                    (one.piece, other.piece),
                    apart,
                    limit_of(apart, linear_class),
                    (one.at, other.at),
                    tuple(m.hole for m in (one, other) if m.hole is not None),
                )
                for one, other, apart in pairs
            )
    return ()


def _longest(marks: Sequence[_Mark]) -> list[tuple[_Mark, _Mark, float]]:
    """The longest way up to the right and the longest way up to the left, if there are both."""
    made: list[tuple[_Mark, _Mark, float]] = []
    for sign in (1.0, -1.0):
        keyed = [(round(m.at[0] + sign * m.at[1], 3), k) for k, m in enumerate(marks)]
        if not keyed:
            return []
        one, other = marks[min(keyed)[1]], marks[max(keyed)[1]]
        dx, dy = other.at[0] - one.at[0], sign * (other.at[1] - one.at[1])
        if one.piece == other.piece or min(dx, dy) <= _SLOPE * max(dx, dy):
            return []
        made.append((one, other, math.hypot(dx, dy) + one.radius + other.radius))
    return made


def _ends(held: Sequence[_Held]) -> list[_Mark]:
    return [
        _Mark(one.piece, point, 0.0, "corner to corner")
        for one in held
        for point in (one.face.a, one.face.b)
    ]


def _rounds(stood: Sequence[PlacedPiece]) -> list[_Mark]:
    return [
        _Mark(placed.placement.id, one.centre, one.radius, "over the rounds")
        for placed in stood
        for one in placed.rounds
    ]


def _pins(stood: Sequence[PlacedPiece], job: Job) -> list[_Mark]:
    made = []
    for placed in stood:
        piece = placed.piece
        radius = job.rack.pin_diameter(piece) / 2.0 if piece is not None else 0.0
        if piece is None or not radius:
            continue
        for seat in placed.placement.seats:
            if not isinstance(piece.mount(seat.feature), Shank):
                at = job.table.at(seat.hole)
                made.append(_Mark(placed.placement.id, at, radius, "over the pins", seat.hole))
    return made
