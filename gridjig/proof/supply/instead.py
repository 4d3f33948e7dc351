"""What can stand in for a piece: another one in the same holes, another stack, another pin."""

from collections.abc import Iterator, Mapping
from itertools import islice

from msgspec import structs

from gridjig.checks.conflicts import refusal
from gridjig.contact.touching import to_touch
from gridjig.contact.values import Contact, JobContacts
from gridjig.model import FaceOf, Job, Placement
from gridjig.proof.heights.stacks import WantedStacks, share_out
from gridjig.rack import Piece
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.placed.solver import solve_placement
from gridjig.solve.poses.choose import settled
from gridjig.solve.poses.search_holes import attainable_poses

from .values import Substitute

MOST_WAYS = 24
"""The most ways in which one piece is tried about one hole."""


class Search:
    """Looks for substitutes, and counts what it looked at."""

    def __init__(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts | None
    ) -> None:
        self._job, self._placed, self._contacts = job, placed_pieces, contacts
        self.pieces: set[str] = set()
        self.tried = 0

    def pin(self, short: Piece, placement: Placement, left: Mapping[str, int]) -> Substitute | None:
        """Another locking pin of the same diameter that the piece takes."""
        piece = self._job.rack.find(placement.piece)
        if piece is None:
            return None
        many = len(placement.seats)
        for name in piece.takes:
            other = self._job.rack.find(name)
            if other is None or other.id == short.id:
                continue
            self.pieces.add(other.id)
            if left.get(other.id, 0) >= many and other.pin_diameter == short.pin_diameter:
                return Substitute(placement.id, "pin", (other.id,) * many)
        return None

    def stack(
        self, short: Piece, placement: Placement, left: Mapping[str, int]
    ) -> Substitute | None:
        """Other pieces of the same total height or thickness, of what is left."""
        stack = placement.lift if short.id in placement.lift else placement.packing
        many = stack.count(short.id)
        kinds = [p for p in self._job.rack.pieces if p.kind == short.kind and p.id != short.id]
        self.pieces.update(p.id for p in kinds)
        wanted = [WantedStacks(placement.id, many * short.thickness, 1)]
        shared = share_out(kinds, left, wanted)
        self.tried += shared.tried
        if shared.stacks is None:
            return None
        return Substitute(placement.id, "stack", shared.stacks[0])

    def other(
        self, short: Piece, placement: Placement, left: Mapping[str, int]
    ) -> Substitute | None:
        """Another piece set about the same holes that does what this one does."""
        mine = self._does(placement)
        for piece in self._job.rack.pieces:
            if piece.id == short.id or left.get(piece.id, 0) < 1 or not _alike(short, piece):
                continue
            self.pieces.add(piece.id)
            for candidate in self._settings(piece, placement):
                self.tried += 1
                made = self._brought(candidate, mine)
                if made is not None and not refusal(
                    self._job, self._placed, made, frozenset((placement.id,))
                ):
                    return Substitute(placement.id, "piece", (piece.id,), made)
        return None

    def _does(self, placement: Placement) -> Contact | None:
        if self._contacts is None or placement.id not in self._contacts.pieces:
            return None
        return next(iter(self._contacts.pieces[placement.id].touching), None)

    def _settings(self, piece: Piece, placement: Placement) -> Iterator[Placement]:
        """The ways in which a piece stands about the first hole of another, nearest turn first."""
        job = self._job
        bare = structs.replace(placement, piece=piece.id, packing=(), flipped=False)
        pin = job.rack.pin_diameter(piece)
        for seat in placement.seats[:2]:
            found = attainable_poses(job.table, piece, pin, seat.hole).found
            order = sorted(
                found,
                key=lambda spot: abs((spot.low - placement.turn + 180.0) % 360.0 - 180.0),
            )
            for spot in islice(order, MOST_WAYS):
                yield settled(job.table, job.rack, bare, spot, placement.turn, 0.0)

    def _brought(self, candidate: Placement, mine: Contact | None) -> Placement | None:
        """The piece as it touches what the other touched; None if it does not."""
        job = self._job
        if mine is None:
            return (
                candidate if solve_placement(job.table, job.rack, candidate).fault is None else None
            )
        if mine.feature == "tip" or mine.kind == "rest under":
            placed = solve_placement(job.table, job.rack, candidate)
            return candidate if _same_place(placed, mine) else None
        if mine.face.kind != "side":
            return None
        found = to_touch(job, candidate, FaceOf(mine.part, mine.face.number))
        return found.placement if found.touches else None


def _alike(short: Piece, piece: Piece) -> bool:
    """True if a piece has what the other one works with."""
    if short.tip is not None:
        return piece.tip is not None and piece.tip.push == short.tip.push
    if short.rests:
        return bool(piece.rests)
    return bool(piece.faces or piece.rounds) and piece.tip is None and bool(piece.mounts)


def _same_place(placed: PlacedPiece, mine: Contact) -> bool:
    """True if a clamp's tip, or a rest, comes to where the other one's was."""
    if placed.fault is not None:
        return False
    x, y = mine.middle
    if placed.tip is not None:
        near = abs(placed.tip.at[0] - x) < 1.0 and abs(placed.tip.at[1] - y) < 1.0
        return near and placed.tip.z_low <= mine.z_high <= placed.tip.z_high
    return any(abs(rest.z - mine.z_low) <= 0.05 for rest in placed.rests)
