"""Chooses among a piece's attainable poses what a click, a key or a typed number means.

Each function returns a placement, or why there is none.
"""

import math
from collections.abc import Iterable

from msgspec import Struct
from msgspec.structs import replace

from gridjig.model import Hole, Placement, Seat, Table
from gridjig.rack import Piece, Rack, RoundHole
from gridjig.solve.grid.hole_faults import hole_fault
from gridjig.solve.mounting.faults import PieceFault
from gridjig.solve.mounting.mount import mount
from gridjig.solve.mounting.track import apart, tidy, turned_to
from gridjig.solve.placed.solver import LENGTH_OFF, TURN_OFF, solve_placement

from .attainable import AttainablePose, TakenHoles, unusable
from .faults import HoleTaken, NearestOnly, NoSecondHole, PlacingFault, PoseFault, WhyUnusable
from .search_holes import attainable_poses, leaf_locks

STEP = 15.0
"""Degrees by which a key press turns a piece that turns freely: the angles of set squares."""


class NearestPlacement(Struct, frozen=True):
    """The placement nearest to what was asked for; `why` is None if it is exactly that."""

    placement: Placement
    why: PlacingFault | None = None


def stand_at(
    table: Table,
    rack: Rack,
    piece: Piece,
    hole: Hole,
    turn: float = 0.0,
    flipped: bool = False,
    taken: TakenHoles = frozenset(),
    *,
    leaf: float = 90.0,
    placement_id: str = "new",
) -> Placement | PlacingFault:
    """The placement for a click on one hole: the piece's first feature in it, turned by `turn`.

    The partner hole is the one, not in `taken`, that brings the piece nearest to the turn; of equal
    ones, that with the longest base or, for a piece that slides, one that leaves it a pitch of
    slide.  Slide and clamp reach are set to the middle of their ranges.  If there is no such
    placement, returns why.
    """
    fault = hole_fault(table, hole)
    if fault is not None:
        return fault
    if hole in taken:
        return HoleTaken(hole)
    pin = rack.pin_diameter(piece)
    every = attainable_poses(table, piece, pin, hole, taken, flipped)
    if not every.found:
        return _nothing(table, piece, pin, hole, every.left_out, flipped)
    best = min(every.found, key=lambda s: room_rank(table, s, turn))
    tip = piece.tip
    pivot = piece.pivot
    blank = Placement(
        id=placement_id,
        piece=piece.id,
        seats=best.seats,
        flipped=flipped,
        leaf=min(max(leaf, pivot.low), pivot.high) if pivot else 0.0,
        reach=(tip.reach_min + tip.reach_max) / 2.0 if tip else 0.0,
    )
    middle = (best.slide_low + best.slide_high) / 2.0
    return settled(table, rack, blank, best, turn, middle, taken)


def settled(
    table: Table,
    rack: Rack,
    placement: Placement,
    spot: AttainablePose,
    turn: float,
    slide: float,
    taken: TakenHoles = frozenset(),
) -> Placement:
    """The placement in the seats of an attainable pose, with the turn and slide attained there.

    Further pins of the placement move along if there are usable holes for them.  If the pose does
    not fit this table, the placement is returned as it is.
    """
    piece = rack.piece(placement.piece)
    pin = rack.pin_diameter(piece)
    near = turned_to(turn, spot.low, spot.high)
    way = mount(table, piece, spot.seats, pin, spot.flipped).nearest(near, slide)
    if way is None:
        return placement
    turn, slide = way.turn_to(near, slide)
    seats = spot.seats
    further = {s.feature for s in placement.seats} - {s.feature for s in seats}
    for feature in piece.mounts:
        if feature.id not in further or feature.body or not isinstance(feature, RoundHole):
            continue
        hole = table.nearest(*way.pose(turn, slide).point(feature.at))
        more = (*seats, Seat(feature=feature.id, hole=hole))
        with_it = mount(table, piece, more, pin, spot.flipped).nearest(turn, slide)
        if with_it is not None and not unusable(table, hole, taken):
            way, seats = with_it, more
            turn, slide = way.nearest(turn, slide)
    return replace(placement, seats=seats, flipped=spot.flipped, turn=turn, slide=slide)


def room_rank(table: Table, spot: AttainablePose, turn: float) -> tuple[float, float, float]:
    """Sort key: nearest to the turn, most room to turn or slide (up to a pitch), longest base."""
    near = turned_to(turn, spot.low, spot.high)
    if spot.high - spot.low >= 360.0:
        room = STEP
    elif spot.high > spot.low:
        inside = turned_to(near, spot.low, spot.high) - spot.low
        room = min(inside, spot.high - spot.low - inside, STEP)
    else:
        room = min(spot.slide_high - spot.slide_low, table.pitch_x, table.pitch_y)
    return (round(apart(near, turn), 4), -round(room, 6), -round(spot.base, 6))


def _nothing(
    table: Table,
    piece: Piece,
    pin: float,
    hole: Hole,
    left_out: tuple[tuple[Hole, WhyUnusable], ...],
    flipped: bool,
) -> PlacingFault:
    """Why a piece has no pose about a hole that is itself usable."""
    if not any(m.body == 0 for m in piece.mounts):
        return PoseFault(piece.name, "nothing to mount by")
    if flipped and not piece.flips:
        return PieceFault(piece.name, "never turned over")
    for feature in (m for m in piece.mounts if m.body == 0):
        alone = mount(table, piece, (Seat(feature=feature.id, hole=hole),), pin, flipped)
        if alone.why is not None:
            return alone.why
    if not left_out:
        return PoseFault(piece.name, "no hole at its pitch")
    here = table.at(hole)
    near = sorted(left_out, key=lambda out: (math.dist(table.at(out[0]), here), out[0]))
    named = [(other, why) for other, why in near if table.has(other)]
    return NoSecondHole(piece.name, hole, tuple(named[:3]))


def first_seat(placement: Placement, piece: Piece) -> Seat:
    """The seat that stays when the piece is turned: its first pinned hole, or else first slot."""
    features = {m.id: m for m in piece.mounts if m.body == 0}
    base = [s for s in placement.seats if s.feature in features]
    for seat in base:
        if not hasattr(features[seat.feature], "width"):
            return seat
    return base[0] if base else placement.seats[0]


def about_first(
    table: Table, rack: Rack, placement: Placement, taken: TakenHoles
) -> tuple[AttainablePose, ...]:
    """All attainable poses about the placement's first hole, the same way up."""
    piece = rack.piece(placement.piece)
    seat = first_seat(placement, piece)
    feature = next((m for m in piece.mounts if m.id == seat.feature), None)
    pin = rack.pin_diameter(piece)
    return attainable_poses(table, piece, pin, seat.hole, taken, placement.flipped, feature).found


def turn_next(
    table: Table,
    rack: Rack,
    placement: Placement,
    direction: int = 1,
    taken: TakenHoles = frozenset(),
) -> Placement | PlacingFault:
    """The next attainable pose about the first hole, counter-clockwise for direction > 0.

    A piece that turns freely stops every 15 degrees.  A locked second body is unlocked.
    """
    every = about_first(table, rack, placement, taken)
    stops: dict[float, list[AttainablePose]] = {}
    for spot in every:
        for stop in pose_stops(spot):
            stops.setdefault(round(stop, 3) % 360.0, []).append(spot)
    others = [s for s in stops if apart(s, placement.turn) > TURN_OFF]
    if not others:
        return PoseFault(rack.piece(placement.piece).name, "cannot turn here")
    sign = 1.0 if direction > 0 else -1.0
    stop = min(others, key=lambda s: ((s - placement.turn) * sign) % 360.0)
    features = {s.feature for s in placement.seats}
    spot = min(
        stops[stop],
        key=lambda s: (
            not features.issuperset(k.feature for k in s.seats),
            room_rank(table, s, stop),
        ),
    )
    exact = min((t for t in pose_stops(spot)), key=lambda t: apart(t, stop))
    return settled(table, rack, placement, spot, tidy(exact), placement.slide, taken)


def pose_stops(spot: AttainablePose) -> Iterable[float]:
    """The turns at which one key press stops within an attainable pose."""
    if spot.high <= spot.low:
        return (spot.low,)
    first = math.ceil(spot.low / STEP - 1e-9)
    last = math.floor(spot.high / STEP + 1e-9)
    return tuple(tidy(STEP * k) for k in range(first, last + 1)) or (spot.low,)


def nearest_turn(
    table: Table, rack: Rack, placement: Placement, turn: float, taken: TakenHoles = frozenset()
) -> NearestPlacement:
    """The placement turned as typed, or as near as the partner holes allow; `why` then says so."""
    every = about_first(table, rack, placement, taken)
    if not every:
        piece = rack.piece(placement.piece)
        return NearestPlacement(placement, PoseFault(piece.name, "no other hole"))
    held = set(placement.seats)
    best = min(
        every,
        key=lambda s: (
            room_rank(table, s, turn)[0],
            not held.issuperset(s.seats),
            room_rank(table, s, turn),
        ),
    )
    got = settled(table, rack, placement, best, turn, placement.slide, taken)
    if apart(got.turn, turn) <= TURN_OFF:
        return NearestPlacement(got)
    return NearestPlacement(got, NearestOnly("deg", turn, got.turn))


def nearest_slide(table: Table, rack: Rack, placement: Placement, slide: float) -> NearestPlacement:
    """The placement slid as typed, or to the end of its range; `why` then says so."""
    placed = solve_placement(table, rack, replace(placement, slide=slide))
    if placed.way is None:
        return NearestPlacement(placement, placed.fault)
    if not placed.way.slides:
        piece = rack.piece(placement.piece)
        return NearestPlacement(placement, PoseFault(piece.name, "does not slide"))
    got = replace(placement, turn=placed.turn, slide=placed.slide)
    if abs(placed.slide - slide) <= LENGTH_OFF:
        return NearestPlacement(got)
    return NearestPlacement(got, NearestOnly("mm", slide, placed.slide))


def nearest_leaf(
    table: Table, rack: Rack, placement: Placement, leaf: float, taken: TakenHoles = frozenset()
) -> NearestPlacement:
    """The second body set as typed: by its scale or, if it is locked, in the nearest lock hole."""
    piece = rack.piece(placement.piece)
    if piece.pivot is None:
        return NearestPlacement(placement, PoseFault(piece.name, "no arm"))
    on_leaf = {m.id for m in piece.mounts if m.body}
    kept = tuple(s for s in placement.seats if s.feature not in on_leaf)
    got = min(max(leaf, piece.pivot.low), piece.pivot.high)
    seats = kept
    if len(kept) < len(placement.seats):
        base = solve_placement(table, rack, placement).poses[0]
        found, _ = leaf_locks(table, piece, base, rack.pin_diameter(piece), taken)
        if not found:
            return NearestPlacement(placement, PoseFault(piece.name, "no lock hole"))
        best = min(
            found, key=lambda s: (abs(_held(s.way.low, s.way.high, leaf) - leaf), s.seat.hole)
        )
        got = _held(best.way.low, best.way.high, leaf)
        seats = (*kept, best.seat)
    made = replace(placement, seats=seats, leaf=got)
    if abs(got - leaf) <= TURN_OFF:
        return NearestPlacement(made)
    return NearestPlacement(made, NearestOnly("deg", leaf, got))


def _held(low: float, high: float, wanted: float) -> float:
    return min(max(wanted, low), high)
