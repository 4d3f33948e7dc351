"""What the rack lacks, and what can be used instead."""

from collections import Counter
from collections.abc import Mapping

from gridjig.checks.needs import needs, pins_in, short_by
from gridjig.contact.values import JobContacts
from gridjig.model import Job, Placement
from gridjig.rack import Piece
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import look

from .instead import Search
from .values import Shortage, Substitute, SupplyReport


def supply(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: JobContacts | None
) -> SupplyReport:
    """Return every shortage with what can be used instead; about 50 ms for each that there is."""
    wanted = needs(job)
    left = Counter({p.id: p.owned for p in job.rack.pieces})
    left.subtract({piece: need.count for piece, need in wanted.items()})
    by_id = {p.id: p for p in job.placements}
    found = []
    for piece_id, need in wanted.items():
        piece = job.rack.find(piece_id)
        missing = short_by(piece, need)
        if piece is None or not missing:
            continue
        takers = [by_id[one] for one in need.placements]
        without = _last(piece, takers, missing)
        search = Search(job, placed_pieces, contacts)
        made: list[Substitute] = []
        for placement in without:
            look()
            one = _instead(search, piece, placement, left)
            if one is not None:
                made.append(one)
                left.subtract(one.instead)
        found.append(
            Shortage(
                piece_id, need.count, piece.owned, tuple(p.id for p in without), tuple(made),
                len(search.pieces), search.tried,
            )
        )  # fmt: skip
    return SupplyReport(tuple(found))


def _last(piece: Piece, takers: list[Placement], missing: int) -> list[Placement]:
    """The placements, from the last one back, that take what is missing."""
    without: list[Placement] = []
    for placement in reversed(takers):
        if missing <= 0:
            break
        without.append(placement)
        missing -= max(1, _takes(piece, placement))
    return without[::-1]


def _takes(piece: Piece, placement: Placement) -> int:
    own = placement.piece == piece.id
    loose = (*placement.lift, *placement.packing).count(piece.id)
    return own + loose if own or loose else pins_in(piece, placement)


def _instead(
    search: Search, piece: Piece, placement: Placement, left: Mapping[str, int]
) -> Substitute | None:
    if placement.piece == piece.id:
        return search.other(piece, placement, left)
    if piece.id in (*placement.lift, *placement.packing):
        return search.stack(piece, placement, left)
    return search.pin(piece, placement, left)
