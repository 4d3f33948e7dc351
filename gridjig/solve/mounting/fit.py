"""Whether each pin goes into its hole and its feature, and with how much play.  No poses here."""

import math
from typing import NamedTuple

from gridjig.model import Hole, HoleMark, Seat, Table
from gridjig.model.marks import mark_index
from gridjig.rack import ArcSlot, MountFeature, Piece, RoundHole, Shank, StraightSlot
from gridjig.solve.grid.hole_faults import off_table

from .faults import (
    FeatureFault,
    HoleFromPivot,
    HolesApart,
    HoleUsedTwice,
    MountFault,
    PieceFault,
    TooThickForFeature,
    TooThickForHole,
)
from .track import EPS, Track, track_of


class Seating(NamedTuple):
    """A seat as the solver needs it: the pin's track, the hole's position and the radial play."""

    seat: Seat
    track: Track
    x: float
    y: float
    play: float


def radial_play(
    table: Table, mark: HoleMark | None, feature: MountFeature, pin_diameter: float
) -> float:
    """Radial play in mm between hole, pin and feature; negative if the pin does not fit.

    s = (D_table - d_pin)/2 + (D_feature - d_pin)/2; a shank has only the first term.  An oversize
    hole counts with its marked diameter.  The table's hole position tolerance is left out: it is an
    error of the table, not room for a pin.  Also negative if there is no pin.
    """
    hole = bore(table, mark)
    if isinstance(feature, Shank):
        play = (hole - feature.diameter) / 2.0
        return play if play < -EPS else max(0.0, play)
    room = _room(feature)
    least = pin_diameter - EPS
    if pin_diameter <= 0.0 or room < least or hole < least:
        return -1.0
    return max(0.0, (hole - pin_diameter) / 2.0) + max(0.0, (room - pin_diameter) / 2.0)


def _room(feature: RoundHole | StraightSlot | ArcSlot) -> float:
    """The width that a feature leaves for a pin, mm."""
    return feature.diameter if isinstance(feature, RoundHole) else feature.width


def bore(table: Table, mark: HoleMark | None) -> float:
    """The diameter of a hole in mm: the table's, or the one it is marked with."""
    return mark.size if mark is not None and mark.state == "oversize" else table.hole_diameter


def prepare(
    table: Table,
    piece: Piece,
    seats: tuple[Seat, ...],
    pin_diameter: float,
    flipped: bool,
) -> list[Seating] | MountFault:
    """The seats as the solver needs them, or why the first is not possible that is not."""
    ready: list[Seating] = []
    marks = mark_index(table)
    holes: set[Hole] = set()
    rounds: set[str] = set()
    for seat in seats:
        feature = feature_of(piece, seat.feature)
        if feature is None:
            return FeatureFault(piece.name, seat.feature, "unknown")
        hole = seat.hole
        if not table.has(hole):
            return off_table(table, hole)
        if hole in holes:
            return HoleUsedTwice(hole)
        holes.add(hole)
        track = track_of(feature, flipped)
        if track.kind == "point":
            if seat.feature in rounds:
                return FeatureFault(piece.name, seat.feature, "used twice")
            rounds.add(seat.feature)
        mark = marks.get(hole)
        play = radial_play(table, mark, feature, pin_diameter)
        if play < 0.0:
            return too_thick(table, mark, piece, seat, pin_diameter)
        x, y = table.at(hole)
        ready.append(Seating(seat, track, x, y, play))
    return ready


def feature_of(piece: Piece, feature: str) -> MountFeature | None:
    """The mount feature with that id; None if there is none."""
    for m in piece.mounts:
        if m.id == feature:
            return m
    return None


def too_thick(
    table: Table, mark: HoleMark | None, piece: Piece, seat: Seat, pin_diameter: float
) -> MountFault:
    """Why a pin does not go in, with the sizes.  For seats whose play is negative."""
    feature = piece.mount(seat.feature)
    hole = bore(table, mark)
    if isinstance(feature, Shank):
        return TooThickForHole("shank", feature.diameter, seat.hole, hole)
    if pin_diameter <= 0.0:
        return PieceFault(piece.name, "no locking pin")
    if pin_diameter > hole + EPS:
        return TooThickForHole("pin", pin_diameter, seat.hole, hole)
    return TooThickForFeature(pin_diameter, piece.name, feature.id, _room(feature))


def too_far(a: Seating, b: Seating) -> HolesApart:
    """Why two holes do not suit two features: how far apart they are and how far they should be."""
    if a.track.kind == "point":
        low, high = b.track.span(a.track.x, a.track.y)
    else:
        low, high = _between(a.track, b.track)
    distance = math.hypot(b.x - a.x, b.y - a.y)
    return HolesApart((a.seat.hole, b.seat.hole), distance, low, high)


def out_of_reach(pin: Seating, x: float, y: float) -> HoleFromPivot:
    """Why a hole does not suit a feature of a body that pivots about (x, y)."""
    low, high = pin.track.span(0.0, 0.0)
    return HoleFromPivot(pin.seat.hole, math.hypot(pin.x - x, pin.y - y), low, high)


def _between(a: Track, b: Track) -> tuple[float, float]:
    """Least and greatest distance in mm between two slots, accurate enough to be read."""
    steps = 48
    spans = [b.span(*a.at(a.length * k / steps)) for k in range(steps + 1)]
    return (min(s[0] for s in spans), max(s[1] for s in spans))
