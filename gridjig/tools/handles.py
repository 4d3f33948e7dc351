"""Handles of the one selected piece: points by which it is slid, swung, opened or reached out."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from gridjig.geometry import Pose
from gridjig.geometry.display import Drawing, Symbol
from gridjig.model import Job, Placement
from gridjig.rack import Piece, Point
from gridjig.solve.click import first_seat
from gridjig.solve.stood import Stand

from .gesture import Gesture
from .pointer import Pointer
from .swinging import Opening, Reaching, Swinging

Move = Literal["swing", "open", "reach"]


@dataclass(frozen=True, slots=True)
class Handle:
    """A point to drag by, mm, and the direction that the piece has there, degrees."""

    move: Move
    thing_id: str
    at: Point
    turn: float

    def mark(self) -> Drawing:
        """The sign at the handle: it says whether the piece turns or slides by it."""
        sign: Literal["slides", "turns"] = "slides" if self.move == "reach" else "turns"
        return (Symbol(self.at, sign, "selected", self.turn),)


def handles(job: Job, stands: Mapping[str, Stand], thing_id: str) -> tuple[Handle, ...]:
    """The handles of a placement; none for an outline or a piece that cannot stand."""
    placement = job.find(thing_id)
    there = stands.get(thing_id)
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
        found.append(Handle("reach", thing_id, there.tip.at, there.tip.direction))
    anchor = _anchor(job, placement, piece, base)
    end = _free_end(piece, 0, anchor)
    if end is not None:
        found.append(Handle("swing", thing_id, base.point(end), base.turn))
    return tuple(found)


def _anchor(job: Job, placement: Placement, piece: Piece, base: Pose) -> Point:
    """The point of the base that stays over the placement's first hole."""
    return base.back(job.table.at(first_seat(placement, piece).hole))


def _free_end(piece: Piece, body: int, anchor: Point) -> Point | None:
    """The end of a body to take it by, level with a point: one with a face across it, else the far.

    None if the body is about as wide as it is long.
    """
    points = [p for s in piece.solids if s.body == body for p in s.outline]
    if not points:
        return None
    low, high = min(p[0] for p in points), max(p[0] for p in points)
    wide = max(p[1] for p in points) - min(p[1] for p in points)
    end = high if high - anchor[0] >= anchor[0] - low else low
    for face in piece.faces:
        if face.body == body and face.a[0] == face.b[0] and face.a[0] in (low, high):
            end = face.a[0]
    if high - low <= 1.5 * wide:
        return None
    return (end, anchor[1])


def grip(job: Job, stands: Mapping[str, Stand], handle: Handle, start: Pointer) -> Gesture:
    """The drag that begins at a handle."""
    placement = job.find(handle.thing_id)
    assert isinstance(placement, Placement)
    if handle.move == "open":
        return Opening(job, stands, placement, start)
    if handle.move == "reach":
        return Reaching(job, stands, placement, start)
    return Swinging(job, stands, placement, start)
