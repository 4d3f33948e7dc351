"""The rack: every kind of piece that the shop owns, and the walking order of its bins."""

from typing import Annotated

from msgspec import Meta, Struct, structs

from gridjig.units.limits import PIECES, require_within

from .piece import Name, Piece


class Rack(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A named set of pieces.  `walk` lists bins in walking order; bins not listed come last."""

    name: Name
    walk: Annotated[tuple[Annotated[str, Meta(max_length=40)], ...], PIECES] = ()
    pieces: Annotated[tuple[Piece, ...], PIECES] = ()

    def __post_init__(self) -> None:
        require_within(self)
        seen: set[str] = set()
        for piece in self.pieces:
            if piece.id in seen:
                raise ValueError(f"two pieces have the id {piece.id}; each needs its own")
            seen.add(piece.id)

    def find(self, piece_id: str) -> Piece | None:
        """The piece with that id; None if there is none."""
        for piece in self.pieces:
            if piece.id == piece_id:
                return piece
        return None

    def piece(self, piece_id: str) -> Piece:
        """The piece with that id.  Raises KeyError if there is none."""
        found = self.find(piece_id)
        if found is None:
            raise KeyError(piece_id)
        return found

    def locking_pin(self, piece: Piece) -> Piece | None:
        """The locking pin for `piece`: the first one it takes that is on the rack, or None."""
        for pin in piece.takes:
            found = self.find(pin)
            if found is not None:
                return found
        return None

    def pin_diameter(self, piece: Piece) -> float:
        """Diameter in mm of the locking pin for `piece`; 0 if there is none."""
        pin = self.locking_pin(piece)
        return pin.pin_diameter if pin is not None else 0.0

    @property
    def risers(self) -> tuple[Piece, ...]:
        """Pieces that raise a piece or the work."""
        return tuple(p for p in self.pieces if p.kind == "riser")

    @property
    def shims(self) -> tuple[Piece, ...]:
        """Pieces that pack out a face, or raise by a little."""
        return tuple(p for p in self.pieces if p.kind == "shim")

    def with_piece(self, piece: Piece) -> "Rack":
        """The rack with `piece` in place of the one with its id, or added at the end."""
        if self.find(piece.id) is None:
            return structs.replace(self, pieces=(*self.pieces, piece))
        return structs.replace(
            self, pieces=tuple(piece if p.id == piece.id else p for p in self.pieces)
        )
