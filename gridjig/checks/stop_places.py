"""Stops that can really be set in front of a line of faces: touching it, with nothing in the way.

The remainder only gives a column or a row.  Here a stop is tried in its holes, with the slide or
the packing that brings it to the face, and checked with the conflict relation.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from msgspec import Struct

from gridjig.contact.features import features_of
from gridjig.contact.setting import Touching
from gridjig.contact.touching import to_touch
from gridjig.contact.values import TOUCH
from gridjig.model import FaceOf, Hole, Job, Placement, Seat
from gridjig.rack import Piece
from gridjig.solve.layout.remainders import (
    FaceLine,
    Remainder,
    front_holes,
    grid_along,
    left_before,
    stretches,
)
from gridjig.solve.packing.stops import Stop, holes_of, stops
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.weldment.datum import CLEAR
from gridjig.solve.weldment.faces import Stretch
from gridjig.words.touching_text import touching_text

from .conflicts import refusal
from .needs import needs

OPEN_MOST = 0.5
"""The gap that may stay in front of a face, mm, if its tolerance allows no more: a thin shim."""

StopPins = Literal["two pins", "one pin", "round pin"]


class StopSetting(Struct, frozen=True):
    """A stop that can be set: its placement, how it touches, and how it is pinned."""

    stop: Stop
    touching: Touching
    pinned: StopPins

    @property
    def placement(self) -> Placement:
        """The placement of the stop."""
        return self.touching.placement

    @property
    def front(self) -> Hole:
        """The stop's hole nearest to the face."""
        return self.placement.seats[0].hole


class StopSearch(Struct, frozen=True):
    """The stop that can be set in front of a line of faces, or the first reason why none can.

    `tried` is how many ways to stand were tried; `set_already` is how many pieces on the table
    touch the line.  `none_left`: the chosen stop was not tried, as the rack has none left.
    """

    setting: StopSetting | None
    tried: int
    set_already: int
    why: str
    none_left: bool = False


def stop_before(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], one: Remainder, name: str = "stop"
) -> StopSearch:
    """Find a stop that can be set in front of a line of faces now, and that the rack still has.

    The chosen stop is tried first, then others on two pins, then those on one pin, then round
    pins.  Each is tried in the column or row nearest to the face and in the next one,
    and there as far as can be from what touches the line already, else at its end.
    """
    used = {piece: need.count for piece, need in needs(job).items()}
    touching = list(_set_already(placed_pieces, one.line))
    none_left = job.rack.piece(one.stop.piece).owned <= used.get(one.stop.piece, 0)
    tried, why, short = 0, "", ""  # what blocks a stop that touches is reported first
    for stop in _in_turn(job, one.stop, used):
        if not any(stop.z_high > f.z_low and stop.z_low < f.z_high for f in one.line.faces):
            short = short or f"{stop.name} does not reach it: the face is higher or lower."
            continue
        for front, seats in _seatings(job, stop, one.line, touching):
            tried += 1
            found = _brought(job, stop, one.line, (front, seats), used, name)
            if not short and found.why is not None:
                short = touching_text(found.why, job)
            if _holds(found, one):
                reason = refusal(job, placed_pieces, found.placement) or ""
                if not reason:
                    return StopSearch(
                        StopSetting(stop, found, pinned(job, stop)),
                        tried,
                        len(touching),
                        "",
                        none_left,
                    )
                why = why or reason
    none = "There is no free hole in front of it."
    return StopSearch(None, tried, len(touching), why or short or none, none_left)


def not_looked_for(
    placed_pieces: Mapping[str, PlacedPiece], one: Remainder, why: str
) -> StopSearch:
    """Return the search of a line of faces where no stop was tried, and why not."""
    return StopSearch(None, 0, len(list(_set_already(placed_pieces, one.line))), why)


def settable_holes(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], one: Remainder
) -> tuple[Hole, ...]:
    """Return the front holes, of those of a remainder, in which its stop can really be set now."""
    used = {piece: need.count for piece, need in needs(job).items()}
    if not any(one.stop.z_high > f.z_low and one.stop.z_low < f.z_high for f in one.line.faces):
        return ()
    found: list[Hole] = []
    for front, seats in _seatings(job, one.stop, one.line, []):
        if front in one.holes:
            made = _brought(job, one.stop, one.line, (front, seats), used, "stop")
            if _holds(made, one) and refusal(job, placed_pieces, made.placement) is None:
                found.append(front)
    return tuple(sorted(found))


def _brought(
    job: Job,
    stop: Stop,
    line: FaceLine,
    seating: tuple[Hole, tuple[Seat, ...]],
    used: Mapping[str, int],
    name: str,
) -> Touching:
    """A stop in its holes, with the slide or packing that brings it to the face before it."""
    front, seats = seating
    turn = _turned(job.rack.piece(stop.piece), line)
    placement = Placement(id=name, piece=stop.piece, seats=seats, turn=turn)
    return to_touch(job, placement, _face_before(line, front, job), used)


def _holds(found: Touching, one: Remainder) -> bool:
    """True if it touches, or leaves no more open than the tolerance of the face allows."""
    return found.touches or (found.stands and found.gap <= max(one.allowed, OPEN_MOST))


def pinned(job: Job, stop: Stop) -> StopPins:
    """Return how a stop is pinned in the table."""
    if job.rack.piece(stop.piece).kind == "pin":
        return "round pin"
    return "two pins" if stop.other or stop.slot else "one pin"


def _in_turn(job: Job, chosen: Stop, used: Mapping[str, int]) -> Iterator[Stop]:
    """Yield the stops of which the rack has one left, the chosen one first."""
    order: tuple[StopPins, ...] = ("two pins", "one pin", "round pin")
    every = sorted(stops(job.rack), key=lambda stop: order.index(pinned(job, stop)))
    for stop in (chosen, *(stop for stop in every if stop.piece != chosen.piece)):
        if job.rack.piece(stop.piece).owned > used.get(stop.piece, 0):
            yield stop


def _seatings(
    job: Job, stop: Stop, line: FaceLine, touching: list[float]
) -> Iterator[tuple[Hole, tuple[Seat, ...]]]:
    """The holes that a stop can stand in, in front of a line, best first."""
    first, pitch = grid_along(job.table, line.axis)
    left = left_before(line.at, line.sign, stop.face, first, pitch)
    nearest = round((line.at + line.sign * (stop.face + left) - first) / pitch)
    features = [mount.id for mount in job.rack.piece(stop.piece).mounts]
    looks = (-line.sign, 0) if line.axis == "x" else (0, -line.sign)
    clear = stretches(line, CLEAR)
    for hole_line in (nearest, nearest + line.sign):
        fronts = front_holes(job.table, stop, line, hole_line)
        for front in sorted(fronts, key=lambda hole: _wished(job, line, hole, touching, clear)):
            holes = holes_of(job.table, stop, front, looks)
            names = features if stop.other else [features[0]] * len(holes)
            yield (
                front,
                tuple(Seat(f, hole) for f, hole in zip(names, holes, strict=True)),
            )


def _along(job: Job, line: FaceLine, hole: Hole) -> float:
    """The position of a hole along a line of faces, mm."""
    x, y = job.table.at(hole)
    return y if line.axis == "x" else x


def _wished(
    job: Job, line: FaceLine, hole: Hole, touching: list[float], clear: Sequence[Stretch]
) -> tuple[bool, float]:
    """Sort key for holes, best first: clear of the joints, where no bead can weld the stop to the
    work; then far from what already touches, else at the low end.
    """
    at = _along(job, line, hole)
    near = not any(low <= at <= high for low, high in clear)
    return near, -min(abs(at - other) for other in touching) if touching else at


def _face_before(line: FaceLine, hole: Hole, job: Job) -> FaceOf:
    """The face of a line that a hole is in front of, or else the nearest one."""
    at, k = _along(job, line, hole), 1 if line.axis == "x" else 0

    def away(index: int) -> float:
        face = line.faces[index]
        low, high = sorted((face.a[k], face.b[k]))
        return max(low - at, at - high, 0.0)

    return line.faces[min(range(len(line.faces)), key=away)].of


def _turned(piece: Piece, line: FaceLine) -> float:
    """The turn at which the piece's first face looks at the line, degrees."""
    towards = {("x", 1): 180.0, ("x", -1): 0.0, ("y", 1): -90.0, ("y", -1): 90.0}
    wanted = towards[line.axis, line.sign]
    if not piece.faces:
        return wanted
    (ax, ay), (bx, by) = piece.faces[0].a, piece.faces[0].b
    own = math.degrees(math.atan2(ax - bx, by - ay))
    return -math.remainder(own - wanted, 360.0) + 0.0


def _set_already(placed_pieces: Mapping[str, PlacedPiece], line: FaceLine) -> Iterator[float]:
    """The positions along a line of faces where pieces already touch it, mm."""
    k = 0 if line.axis == "x" else 1
    spans = stretches(line)

    def before(at: float) -> bool:
        return any(low - TOUCH <= at <= high + TOUCH for low, high in spans)

    for here in placed_pieces.values():
        if here.fault is not None:
            continue
        features = features_of(here)
        for face in features.faces:
            middle = (face.a[1 - k] + face.b[1 - k]) / 2.0
            square = face.normal[k] * line.sign < -1.0 + 1e-6
            if square and abs(face.a[k] - line.at) <= TOUCH and before(middle):
                yield middle
        for body in features.rounds:
            off = (body.centre[k] - line.at) * line.sign - body.radius
            if abs(off) <= TOUCH and before(body.centre[1 - k]):
                yield body.centre[1 - k]
