"""How each piece is set, in the order of setting: a row of the sheet for each of them."""

import math
from collections.abc import Mapping, Sequence

from msgspec import Struct

from gridjig.checks.needs import pins_in
from gridjig.geometry import unit
from gridjig.model import Job, Placement, Table
from gridjig.model.titles import title
from gridjig.rack import ArcSlot, Piece, Point, StraightSlot
from gridjig.solve.angles.answers import Chord, chord
from gridjig.solve.placed.face_distance import face_distance, face_from_hole
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import INCH, Display, format_angle, format_count, format_force
from gridjig.words.placing_text import placing_text

from .facing import counted_words, direction_of, hole_words, middle_of, towards
from .shown import Shown

_LONG = 1.25
"""A body has a long side if it is at least this many times as long as it is wide."""
_SQUARE = 1e-3
"""A slide that moves a face by less than this part of itself does not move it."""
_FROM_HOLE = 0.05
"""mm; a reach that is measured from a hole agrees with the distance to within this."""
_OFF_MIDDLE = 0.08
"""Pins are at one end if they are off the middle by more than this part of the length."""


class PieceRow(Struct, frozen=True):
    """One piece in words.

    `holes`: one line for each pinned feature; `count`: its first hole from the nearest edges;
    `way`: how it is turned; `setting`: what is set on it, one line each.
    """

    number: int
    placement: str
    name: str
    piece: str
    bin: str
    holes: tuple[str, ...]
    count: tuple[str, ...]
    way: tuple[str, ...]
    setting: tuple[str, ...]


def piece_rows(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], order: Sequence[str], shown: Shown
) -> tuple[PieceRow, ...]:
    """Return the rows of all placements in an order of setting."""
    return tuple(
        _row(job, placed_pieces[placement_id], number, shown)
        for number, placement_id in enumerate(order, 1)
    )


def _row(job: Job, placed: PlacedPiece, number: int, shown: Shown) -> PieceRow:
    placement, piece = placed.placement, placed.piece
    return PieceRow(
        number=number,
        placement=placement.id,
        name=placement.name,
        piece=piece.full_name if piece is not None else title(job, placement.id),
        bin=piece.bin if piece is not None else "",
        holes=_holes(job.table, placement, piece),
        count=counted_words(job.table, placement.seats[0].hole),
        way=_way(job.table, placed),
        setting=tuple(_setting(job, placed, shown)),
    )


def _holes(table: Table, placement: Placement, piece: Piece | None) -> tuple[str, ...]:
    """F6, or which feature of the piece goes in which hole: corner F6, along H6."""
    seats = placement.seats
    if len(seats) == 1 and (piece is None or len(piece.mounts) == 1):
        return (hole_words(table, seats[0].hole),)
    return tuple(
        f"{seat.feature.replace('-', ' ')} {hole_words(table, seat.hole)}" for seat in seats
    )


# -- which way round ------------------------------------------------------------------------------


def _way(table: Table, placed: PlacedPiece) -> tuple[str, ...]:
    """Its turn in degrees, where its first face looks, where its long side and its pins are."""
    told: list[str] = []
    if _round(placed):
        if not placed.placement.packing:
            return ("any way round",)
        lies = towards(table, placed.poses[0].direction(0.0))
        return (f"turn {format_angle(placed.turn)}", f"packing {lies}")
    told.append(f"turn {format_angle(placed.turn)}")
    if placed.placement.flipped:
        told.append("turned over")
    if placed.faces:
        x, y = placed.faces[0].normal
        told.append(f"face {towards(table, direction_of(x, y))}")
    elif placed.tip is not None:
        told.append(f"tip {towards(table, placed.tip.direction)}")
    told += _lie(table, placed)
    return tuple(told)


def _round(placed: PlacedPiece) -> bool:
    """True for a piece that is the same at any turn: no face, no tip, one hole in its middle."""
    if placed.piece is None or placed.faces or placed.tip is not None or placed.fault is not None:
        return False
    way = placed.way
    return way is not None and way.kind == "turns" and len(placed.holes) == 1


def _lie(table: Table, placed: PlacedPiece) -> list[str]:
    """Where its long side and its pins are, as far as that can be seen on the steel."""
    if not placed.poses or not placed.holes:
        return []
    base = placed.poses[0]
    body = [base.back(p) for s in placed.solids if s.role == "body" for p in s.points]
    if not body:
        return []
    xs, ys = [p[0] for p in body], [p[1] for p in body]
    long, wide = max(xs) - min(xs), max(ys) - min(ys)
    middle = middle_of(body)
    pins = [base.back(table.at(hole)) for hole in placed.holes]
    off = (
        sum(p[0] for p in pins) / len(pins) - middle[0],
        sum(p[1] for p in pins) / len(pins) - middle[1],
    )
    along = (1.0, 0.0) if long >= wide else (0.0, 1.0)
    told: list[str] = []
    if max(long, wide) >= _LONG * min(long, wide):
        out = off[0] * along[0] + off[1] * along[1]
        sign = -1.0 if out > _OFF_MIDDLE * max(long, wide) else 1.0
        told.append(f"long side {towards(table, _turned(placed, along, sign))}")
    if math.hypot(*off) > _OFF_MIDDLE * max(long, wide):
        told.append(f"pins {towards(table, _turned(placed, off, 1.0))}")
    return told


def _turned(placed: PlacedPiece, vector: Point, sign: float) -> float:
    """The direction on the table of a vector in the frame of the piece's base."""
    return placed.poses[0].direction(direction_of(sign * vector[0], sign * vector[1]))


# -- what is set on it ----------------------------------------------------------------------------


def _setting(job: Job, placed: PlacedPiece, shown: Shown) -> list[str]:
    placement, piece = placed.placement, placed.piece
    told: list[str] = []
    if placed.fault is not None or piece is None:
        if placed.fault is not None:
            told.append(f"DOES NOT FIT: {placing_text(placed.fault, job.table, job.display)}")
        return told
    face = None if piece.pivot is not None else face_from_hole(job.table, placed)
    if face is not None:
        where = hole_words(job.table, face.hole)
        over = ", over the packing" if placement.packing else ""
        told.append(f"face {shown.setting(face.distance)} from {where}{over}")
    told += _slid(job, placed, shown)
    if placement.packing:
        told.append(f"packing in front, from the piece out: {_names(job, placement.packing)}")
    if piece.pivot is not None:
        told += _opened(placed, shown)
    if piece.tip is not None:
        told.append(_reach(job, placed, shown))
        if placement.force:
            told.append(f"presses with {format_force(placement.force, shown.display)}")
    told += _heights(job, placed, shown)
    told += _pins(job, placed, piece)
    if placement.clamped_by_hand:
        told.append("clamped by hand: gauge it, then clamp it")
    if placement.accepted_gap:
        gap = shown.setting(placement.accepted_gap)
        told.append(f"a gap to the work of up to {gap} is accepted: leave it open")
    if placement.note:
        told.append(f"Note: {' '.join(placement.note.split())}")
    return told


def _reach(job: Job, placed: PlacedPiece, shown: Shown) -> str:
    """How far its tip is out, and from which hole if it is measured from one."""
    told = f"reach {shown.setting(placed.reach)}"
    tip = placed.tip
    for hole in placed.holes if tip is not None else ():
        assert tip is not None
        if abs(math.dist(job.table.at(hole), tip.at) - placed.reach) <= _FROM_HOLE:
            end = "the middle of the pad" if tip.pad_radius else "the tip"
            return f"{told} from {hole_words(job.table, hole)} to {end}"
    return told


def _heights(job: Job, placed: PlacedPiece, shown: Shown) -> list[str]:
    """What it stands on, and how high it carries the work."""
    told: list[str] = []
    placement = placed.placement
    if placement.lift:
        stack = _names(job, placement.lift)
        told.append(f"stands {shown.setting(placed.z)} above the table on: {stack}")
    if placed.rests:
        told.append(f"carries the work at {shown.setting(placed.rests[0].z)}")
    return told


def _pins(job: Job, placed: PlacedPiece, piece: Piece) -> list[str]:
    """How many of which locking pins it takes."""
    pin = job.rack.locking_pin(piece)
    count = pins_in(piece, placed.placement)
    if not count:
        return []
    if pin is None:
        return [f"{format_count(count)} × locking pin (none on the rack)"]
    alike = sum(one.name == pin.name for one in job.rack.pieces)
    return [f"{format_count(count)} × {pin.name if alike == 1 else pin.full_name}"]


def _slid(job: Job, placed: PlacedPiece, shown: Shown) -> list[str]:
    """Where the pin is in the slot, if the piece slides and its face does not tell."""
    way, piece = placed.way, placed.piece
    if way is None or piece is None or "slides" not in way.kind:
        return []
    for seat in placed.placement.seats:
        slot = piece.mount(seat.feature)
        if isinstance(slot, StraightSlot):
            along = direction_of(slot.a[0] - slot.b[0], slot.a[1] - slot.b[1])
            way_out = placed.poses[slot.body].direction(along)
            if piece.pivot is None and _moves_face(placed, way_out):
                return []
            end = towards(job.table, way_out)
            near = "end near you" if end == "towards you" else f"{end.removeprefix('to the ')} end"
            return [f"pin {shown.setting(placed.slide)} from the {near} of its slot"]
        if isinstance(slot, ArcSlot):
            if piece.pivot is None and face_distance(job, placed) is not None:
                return []
            return [f"pin {shown.setting(placed.slide)} along its arc, from where the arc begins"]
    return []


def _moves_face(placed: PlacedPiece, degrees: float) -> bool:
    """True if sliding that way moves the first face along its normal."""
    if not placed.faces:
        return False
    (c, s), (nx, ny) = unit(degrees), placed.faces[0].normal
    return abs(c * nx + s * ny) > _SQUARE


def _names(job: Job, pieces: Sequence[str]) -> str:
    """The names of loose pieces in order, those that are alike together: 2 × Shim, 1 mm thick."""
    told: list[tuple[str, int]] = []
    for one in pieces:
        piece = job.rack.find(one)
        name = piece.full_name if piece is not None else one
        if told and told[-1][0] == name:
            told[-1] = (name, told[-1][1] + 1)
        else:
            told.append((name, 1))
    return ", then ".join(f"{format_count(count)} × {name}" for name, count in told)


def _opened(placed: PlacedPiece, shown: Shown) -> list[str]:
    """The angle that an arm is opened to, and the chord to measure instead."""
    told = [f"arm opened to {format_angle(placed.leaf)}"]
    if placed.leaf_hole is None:
        made = arm_chord(placed, shown.display)
        if made is not None:
            told.append(
                f"chord {shown.setting(made.length)} from base to leaf,"
                f" {shown.setting(made.radius)} out from the pivot"
            )
    return told


def arm_chord(placed: PlacedPiece, display: Display) -> Chord | None:
    """Return the chord that sets an arm's leaf; None for a piece without one, or at 0°.

    The radius is the longest whole 10 mm or inch that the leaf reaches.
    """
    piece = placed.piece
    if piece is None or piece.pivot is None or not placed.poses or placed.fault is not None:
        return None
    at = placed.poses[0].point(piece.pivot.at)
    reach = max(
        (math.dist(at, p) for s in placed.solids if s.role == "leaf" for p in s.points),
        default=0.0,
    )
    step = 10.0 if display.unit == "millimetres" else INCH
    radius = max(1.0, math.floor(reach / step + 1e-9)) * step
    made = chord(radius, placed.leaf)
    return made if made.length > 1e-6 else None
