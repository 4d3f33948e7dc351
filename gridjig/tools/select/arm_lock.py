"""Locking an arm's leaf with a pin in a table hole, and freeing it to be set by its scale."""

from collections.abc import Mapping

from msgspec import structs

from gridjig.edits.lookup import with_placement
from gridjig.model import Job, Placement
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.rack import Piece
from gridjig.solve.placed.cache import holes_besides
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.poses.attainable import LeafLock
from gridjig.solve.poses.search_holes import leaf_locks
from gridjig.tools.core.refusals import first_refusal
from gridjig.tools.core.tool import Commit, Nothing, Outcome
from gridjig.tools.core.wording import capital
from gridjig.units import format_angle
from gridjig.words.placing_text import placing_text


def lock(job: Job, placed_pieces: Mapping[str, PlacedPiece], ids: frozenset[str]) -> Outcome:
    """Lock an arm in the hole nearest to its present angle, or unlock it again."""
    thing = job.find(next(iter(ids))) if len(ids) == 1 else None
    if not isinstance(thing, Placement):
        return Nothing("L locks an opening arm; select one first.")
    there = placed_pieces[thing.id]
    piece = there.piece
    if there.fault is not None:
        return Nothing(placing_text(there.fault, job.table, job.display))
    if piece is None or piece.pivot is None:
        return Nothing(f"{capital(title(job, thing.id))} has no arm that opens.")
    if there.leaf_hole is not None:
        return _let_go(job, thing, there, piece)
    found, _ = leaf_locks(
        job.table,
        piece,
        there.poses[0],
        job.rack.pin_diameter(piece),
        holes_besides(placed_pieces, thing.id) | set(there.holes),
    )
    return _lock(job, placed_pieces, thing, there, found)


def _let_go(job: Job, placement: Placement, there: PlacedPiece, piece: Piece) -> Outcome:
    on_leaf = {m.id for m in piece.mounts if m.body}
    seats = tuple(s for s in placement.seats if s.feature not in on_leaf)
    name = title(job, placement.id)
    return Commit(
        with_placement(job, structs.replace(placement, seats=seats, leaf=there.leaf)),
        f"Unlock {name}",
        frozenset([placement.id]),
        said=f"{capital(name)} is now set by its scale, at {format_angle(there.leaf)}.",
    )


def _lock(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    placement: Placement,
    there: PlacedPiece,
    found: tuple[LeafLock, ...],
) -> Outcome:
    """Return the nearest lock hole with nothing in the way."""
    name = title(job, placement.id)
    ids = frozenset([placement.id])
    why = "With its base here, no hole of this table can lock the arm."
    nearest = sorted(found, key=lambda s: (abs(_leaf(s, there) - there.leaf), s.seat.hole))
    for spot in nearest:
        leaf = _leaf(spot, there)
        locked = structs.replace(placement, seats=(*placement.seats, spot.seat), leaf=leaf)
        after = with_placement(job, locked)
        refused = first_refusal(job, placed_pieces, after, ids)
        if refused is None:
            at = address(job.table, spot.seat.hole)
            return Commit(
                after,
                f"Lock {name} in {at}",
                ids,
                said=f"{capital(name)} is locked by a pin in {at}, at {format_angle(leaf)}.",
            )
        why = refused
    return Nothing(why)


def _leaf(spot: LeafLock, there: PlacedPiece) -> float:
    return min(max(there.leaf, spot.way.low), spot.way.high)
