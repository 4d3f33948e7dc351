"""Whether each pin goes into its hole and its feature, and with how much play.  No poses here."""

import math
from typing import NamedTuple

from gridjig.model import Hole, HoleMark, Seat, Table
from gridjig.model.labels import address
from gridjig.model.marks import mark_index
from gridjig.rack import ArcSlot, MountFeature, Piece, Shank, StraightSlot
from gridjig.solve.grid.hole_faults import off_table
from gridjig.units import Display, format_length, unmarked

from .track import EPS, Track, track_of

MILLIMETRES = Display(unit="millimetres")


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
    room = feature.width if isinstance(feature, StraightSlot | ArcSlot) else feature.diameter
    if pin_diameter <= 0.0 or min(room, hole) < pin_diameter - EPS:
        return -1.0
    return max(0.0, (hole - pin_diameter) / 2.0) + max(0.0, (room - pin_diameter) / 2.0)


def bore(table: Table, mark: HoleMark | None) -> float:
    """The diameter of a hole in mm: the table's, or the one it is marked with."""
    return mark.size if mark is not None and mark.state == "oversize" else table.hole_diameter


def prepare(
    table: Table,
    piece: Piece,
    seats: tuple[Seat, ...],
    pin_diameter: float,
    flipped: bool,
    display: Display,
) -> list[Seating] | str:
    """The seats as the solver needs them, or one sentence about the first that is not possible."""
    ready: list[Seating] = []
    marks = mark_index(table)
    holes: set[Hole] = set()
    rounds: set[str] = set()
    for seat in seats:
        feature = feature_of(piece, seat.feature)
        if feature is None:
            return f"{piece.name} has no hole or slot called {seat.feature}."
        hole = seat.hole
        if not table.has(hole):
            return off_table(table, hole)
        if hole in holes:
            return used_twice(table, hole)
        holes.add(hole)
        track = track_of(feature, flipped)
        if track.kind == "point":
            if seat.feature in rounds:
                return f"{seat.feature} of {piece.name} is used twice; it takes one pin."
            rounds.add(seat.feature)
        play = radial_play(table, marks.get(hole), feature, pin_diameter)
        if play < 0.0:
            return too_thick(table, marks.get(hole), piece, seat, pin_diameter, display)
        x, y = table.at(hole)
        ready.append(Seating(seat, track, x, y, play))
    return ready


def used_twice(table: Table, hole: Hole) -> str:
    """The sentence for two pins of one piece in the same hole."""
    return f"Hole {address(table, hole)} is used twice; give each pin a hole of its own."


def feature_of(piece: Piece, feature: str) -> MountFeature | None:
    """The mount feature with that id; None if there is none."""
    for m in piece.mounts:
        if m.id == feature:
            return m
    return None


def too_thick(
    table: Table,
    mark: HoleMark | None,
    piece: Piece,
    seat: Seat,
    pin_diameter: float,
    display: Display,
) -> str:
    """Why a pin does not go in, with the numbers.  For seats whose play is negative."""
    feature = piece.mount(seat.feature)
    hole = bore(table, mark)
    pin = feature.diameter if isinstance(feature, Shank) else pin_diameter
    if pin <= 0.0:
        return f"{piece.name} needs a locking pin; none of those it takes is on the rack."
    what = "shank" if isinstance(feature, Shank) else "pin"
    if isinstance(feature, Shank) or pin > hole + EPS:
        return (
            f"A {what} of {format_length(pin, display)} does not go into hole"
            f" {address(table, seat.hole)}, which is {format_length(hole, display)} across."
        )
    room = feature.width if isinstance(feature, StraightSlot | ArcSlot) else feature.diameter
    return (
        f"A pin of {format_length(pin, display)} does not go into {feature.id} of {piece.name},"
        f" which is {format_length(room, display)} wide."
    )


def too_far(table: Table, a: Seating, b: Seating, display: Display) -> str:
    """Why two holes do not suit two features: how far apart they are and how far they should be."""
    d = math.hypot(b.x - a.x, b.y - a.y)
    if a.track.kind == "point":
        low, high = b.track.span(a.track.x, a.track.y)
    else:
        low, high = _between(a.track, b.track)
    have, need = format_length(d, display), _need(low, high, display)
    text = (
        f"Holes {address(table, a.seat.hole)} and {address(table, b.seat.hole)} are {have} apart;"
        f" this piece needs {need}"
    )
    return f"{text}{_rest(have, need)}"


def out_of_reach(table: Table, pin: Seating, x: float, y: float, display: Display) -> str:
    """Why a hole does not suit a feature of a body that pivots about (x, y)."""
    have = format_length(math.hypot(pin.x - x, pin.y - y), display)
    need = _need(*pin.track.span(0.0, 0.0), display)
    text = f"Hole {address(table, pin.seat.hole)} is {have} from the pivot; the arm needs {need}"
    return f"{text}{_rest(have, need)}"


def _rest(have: str, need: str) -> str:
    """The end of the sentence; it has to say more if the two lengths read the same."""
    alike = unmarked(have) == unmarked(need)
    return ", and play does not make up the rest." if alike else "."


def _need(low: float, high: float, display: Display) -> str:
    """A distance, or a range of distances, in words."""
    least, most = format_length(low, display), format_length(high, display)
    if least == most:
        return least
    return f"{most} or less" if low <= EPS else f"{least} to {most}"


def _between(a: Track, b: Track) -> tuple[float, float]:
    """Least and greatest distance in mm between two slots, accurate enough for a sentence."""
    steps = 48
    spans = [b.span(*a.at(a.length * k / steps)) for k in range(steps + 1)]
    return (min(s[0] for s in spans), max(s[1] for s in spans))
