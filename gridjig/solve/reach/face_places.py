"""Where on the table an arm or stop can give a wanted face: pivot and lock holes.

The angles are solved once, at the middle of an endless table; each one that suits is then tried at
every hole of the real table.
"""

import math
from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from gridjig.model import Hole, Seat, Table
from gridjig.rack import Face, Piece, Point, Rack
from gridjig.solve.grid.directions import IntArray
from gridjig.solve.grid.open_holes import all_open, open_holes
from gridjig.solve.mounting.leaf import leaf_pose
from gridjig.solve.mounting.track import NEAR, apart, tidy, turned_to
from gridjig.solve.poses.attainable import TakenHoles

from .reach import HeldAngle, carrier, held_angles

MOST_KEPT = 20_000
"""Places that are told one by one: a million holes have millions, which nobody reads."""


class FacePlace(Struct, frozen=True):
    """One answer: the seats that hold the piece, its turn, slide and leaf there.

    `error` is the face's angle minus the wanted one, degrees; `off` is how far the face's line
    passes from the wanted point, mm, positive to the left of the face's direction; 0 if no point
    was given.
    """

    seats: tuple[Seat, ...]
    flipped: bool
    turn: float
    slide: float
    leaf: float
    error: float
    off: float
    play_deg: float
    scale: bool


class FacePlaces(Struct, frozen=True):
    """Answers: nearest angle first, then nearest line, then from the table's front left.

    All of them, or the nearest MOST_KEPT; `every` is how many there are in all.  `looked_at` is how
    many angles of the piece were compared with the wanted one; `pairs` is how many sets of holes
    with a suitable angle were tried on the table.
    """

    found: tuple[FacePlace, ...]
    every: int
    looked_at: int
    pairs: int


def face_places(
    table: Table,
    rack: Rack,
    piece: Piece,
    angle: float,
    tolerance: float = 0.5,
    *,
    point: Point | None = None,
    within: float = 0.5,
    face: str = "",
    taken: TakenHoles = frozenset(),
    flipped: bool | None = None,
) -> FacePlaces:
    """Every set of holes in which a face of the piece lies at `angle` (degrees, as a line).

    `tolerance` is in degrees.  With a `point` the face's line must pass it within `within` mm; a
    piece that slides is slid as near as it can go.  `face` is the id of the face to use, by default
    the piece's first; a piece without faces has no answer.
    """
    chosen = next((f for f in piece.faces if not face or f.id == face), None)
    if chosen is None:
        return FacePlaces((), 0, 0, 0)
    endless = table.doubled
    middle = Hole(table.columns, table.rows)
    held, _ = held_angles(endless, rack, piece, middle, (), flipped)
    free = open_holes(table, taken)
    found: list[FacePlace] = []
    pairs = every = 0
    for h in held:
        for fit in _fits(piece, chosen, h, angle, tolerance):
            steps = ((s.hole.col - middle.col, s.hole.row - middle.row) for s in h.angle.seats)
            at = np.argwhere(all_open(free, steps))
            pairs += len(at)
            face_at = _face_at_hole(endless, piece, chosen, h, fit, middle)
            some, many = _placed(table, h, fit, face_at, at, middle, point, within)
            found += some
            every += many
            if len(found) > 4 * MOST_KEPT:
                found = _best(found)
    return FacePlaces(tuple(_best(found)), every, len(held), pairs)


def _best(found: list[FacePlace]) -> list[FacePlace]:
    """The best MOST_KEPT answers, sorted."""
    found.sort(key=lambda p: (round(abs(p.error), 9), round(abs(p.off), 9), p.seats[0].hole))
    return found[:MOST_KEPT]


class FaceFit(NamedTuple):
    """A suitable turn of the body with the face, the leaf angle for it, and the angle error."""

    turn: float
    leaf: float
    error: float


def _fits(
    piece: Piece, face: Face, held: HeldAngle, wanted: float, tolerance: float
) -> Iterator[FaceFit]:
    """The turns of a reach angle at which the face lies along the wanted line, either direction."""
    if face.body != carrier(piece):
        return
    at = held.angle
    (ax, ay), (bx, by) = face.a, face.b
    own = math.degrees(math.atan2(by - ay, bx - ax)) * (-1.0 if at.flipped else 1.0)
    seen: list[float] = []
    for reverse in (0.0, 180.0):
        turn = tidy(turned_to(wanted - own + reverse, at.low, at.high))
        error = math.remainder(turn + own - wanted, 180.0)
        if abs(error) > tolerance or any(apart(turn, t) < NEAR for t in seen):
            continue
        seen.append(turn)
        leaf = 0.0
        if at.leaf is not None:
            along = (turn - at.low) % 360.0 if at.high > at.low else 0.0
            leaf = at.leaf[0] + math.copysign(along, at.leaf[1] - at.leaf[0])
        yield FaceFit(turn, leaf, error)


class FaceAtHole(NamedTuple):
    """The face relative to the first hole: a point of it, its direction, the effect of sliding.

    `per_mm` is how far to the left of its direction the face moves for each mm of slide.
    """

    x: float
    y: float
    ux: float
    uy: float
    turn: float
    slide: float
    per_mm: float


def _face_at_hole(
    endless: Table, piece: Piece, face: Face, held: HeldAngle, fit: FaceFit, middle: Hole
) -> FaceAtHole:
    way = held.way
    wanted = way.turn_low if held.angle.leaf is not None else fit.turn
    turn, slide = way.turn_to(wanted, (way.slide_low + way.slide_high) / 2.0)

    def face_at(t: float) -> tuple[Point, Point]:
        pose = way.pose(turn, t)
        if face.body:
            pose = leaf_pose(piece, pose, fit.leaf)
        ends = (pose.point(face.a), pose.point(face.b))
        return (ends[1], ends[0]) if pose.flipped else ends

    (ax, ay), (bx, by) = face_at(slide)
    length = math.hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / length, (by - ay) / length
    per_mm = 0.0
    if way.slides and way.link is None:
        low, high = face_at(way.slide_low)[0], face_at(way.slide_high)[0]
        moved = ux * (high[1] - low[1]) - uy * (high[0] - low[0])
        per_mm = moved / (way.slide_high - way.slide_low)
    mx, my = endless.at(middle)
    return FaceAtHole(ax - mx, ay - my, ux, uy, turn, slide, per_mm)


def _placed(
    table: Table,
    held: HeldAngle,
    fit: FaceFit,
    face: FaceAtHole,
    anchors: IntArray,
    middle: Hole,
    point: Point | None,
    within: float,
) -> tuple[list[FacePlace], int]:
    """One suitable angle at the nearest MOST_KEPT places on the table, and the number of places.

    A piece that slides is slid towards the wanted point.
    """
    way = held.way
    slides = np.full(len(anchors), face.slide)
    offs = np.zeros(len(anchors))
    if point is not None:
        x = table.first_x + anchors[:, 0] * table.pitch_x
        y = table.first_y + anchors[:, 1] * table.pitch_y
        offs = face.ux * (y + face.y - point[1]) - face.uy * (x + face.x - point[0])
        if abs(face.per_mm) > NEAR:
            slides = np.clip(slides - offs / face.per_mm, way.slide_low, way.slide_high)
            offs = offs + (slides - face.slide) * face.per_mm
    near = np.flatnonzero(np.abs(offs) <= within)
    order = np.argsort(np.round(np.abs(offs[near]), 9), kind="stable")[:MOST_KEPT]
    made = []
    for k in near[order].tolist():
        col, row = anchors[k].tolist()
        seats = tuple(
            Seat(
                feature=s.feature,
                hole=Hole(s.hole.col - middle.col + col, s.hole.row - middle.row + row),
            )
            for s in held.angle.seats
        )
        made.append(
            FacePlace(
                seats,
                held.angle.flipped,
                face.turn,
                float(slides[k]),
                fit.leaf,
                fit.error,
                float(offs[k]),
                held.angle.play_deg,
                held.angle.scale,
            )
        )
    return made, len(near)
