"""Handles of a single selected piece: points to slide, swing, open or extend it by."""

import math
from collections.abc import Mapping
from typing import Literal

from msgspec import Struct

from gridjig.geometry import Pose
from gridjig.geometry.display import DisplayList, Symbol
from gridjig.model import Job, Placement
from gridjig.rack import Piece, Point
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.poses.choose import first_seat
from gridjig.tools.core.gesture import Gesture
from gridjig.tools.core.pointer import Pointer

from .drag_piece import LeafDrag, ReachDrag, SwingDrag

Move = Literal["swing", "open", "reach"]


class Handle(Struct, frozen=True):
    """A point to drag by, mm, and the direction that the piece has there, degrees.

    `slides` is true if the drag can only slide it in that direction.  It can be grabbed within
    `room` mm; a press on the pin beside it means the piece.
    """

    move: Move
    thing_id: str
    at: Point
    turn: float
    slides: bool = False
    room: float = math.inf

    @property
    def does(self) -> str:
        """What dragging it does, as a verb with its object."""
        if self.move == "reach":
            return "set how far it reaches"
        if self.move == "open":
            return "open its arm"
        return "slide it" if self.slides else "turn it"

    def mark(self) -> DisplayList:
        """The symbol at the handle, which shows whether it turns or slides the piece."""
        sign: Literal["slides", "turns"] = "slides" if self.slides else "turns"
        return (Symbol(self.at, sign, "selected", self.turn),)


def handles(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], thing_id: str
) -> tuple[Handle, ...]:
    """Return the handles of a placement; none for an outline or a piece that cannot stand."""
    placement = job.find(thing_id)
    there = placed_pieces.get(thing_id)
    if not isinstance(placement, Placement) or there is None or there.piece is None:
        return ()
    if there.fault is not None:
        return ()
    piece, base = there.piece, there.poses[0]
    found: list[Handle] = []
    if piece.pivot is not None:
        leaf = there.poses[1]
        end = _free_end(piece, 1, (0.0, 0.0))
        if end is not None:
            found.append(Handle("open", thing_id, leaf.point(end), leaf.turn))
    if piece.tip is not None and there.tip is not None:
        found.append(Handle("reach", thing_id, there.tip.at, there.tip.direction, slides=True))
    anchor = _anchor(job, placement, piece, base)
    end = _free_end(piece, 0, anchor)
    if end is not None:
        slides = there.way is not None and there.way.kind == "slides"
        turn = base.turn if end[1] == anchor[1] else base.turn + 90.0
        at = base.point(end)
        room = min(math.dist(at, job.table.at(hole)) for hole in there.holes) / 2.0
        found.append(Handle("swing", thing_id, at, turn, slides, room))
    return tuple(found)


def _anchor(job: Job, placement: Placement, piece: Piece, base: Pose) -> Point:
    """The point of the base that stays over the placement's first hole."""
    return base.back(job.table.at(first_seat(placement, piece).hole))


def _free_end(piece: Piece, body: int, anchor: Point) -> Point | None:
    """Return the end of a body to drag it by: one with a face across it, else the far end.

    None if the body is about as wide as it is long.
    """
    points = [p for s in piece.solids if s.body == body for p in s.outline]
    if not points:
        return None
    spans = [(min(p[axis] for p in points), max(p[axis] for p in points)) for axis in (0, 1)]
    long = max((0, 1), key=lambda axis: spans[axis][1] - spans[axis][0])
    low, high = spans[long]
    wide = spans[1 - long][1] - spans[1 - long][0]
    end = high if high - anchor[long] >= anchor[long] - low else low
    for face in piece.faces:
        if face.body == body and face.a[long] == face.b[long] and face.a[long] in (low, high):
            end = face.a[long]
    if high - low <= 1.5 * wide:
        return None
    return (end, anchor[1]) if long == 0 else (anchor[0], end)


def grip(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], handle: Handle, start: Pointer
) -> Gesture:
    """Return the drag that starts at a handle."""
    placement = job.find(handle.thing_id)
    assert isinstance(placement, Placement)
    if handle.move == "open":
        return LeafDrag(job, placed_pieces, placement, start)
    if handle.move == "reach":
        return ReachDrag(job, placed_pieces, placement, start)
    return SwingDrag(job, placed_pieces, placement, start)
