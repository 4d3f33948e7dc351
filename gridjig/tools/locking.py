"""Locking the second body of an arm by a pin in a table hole, and letting it go to its scale."""

from collections.abc import Mapping

from msgspec import structs

from gridjig.edits.things import with_placement
from gridjig.model import Job, Placement
from gridjig.model.labels import address
from gridjig.model.titles import title
from gridjig.rack import Piece
from gridjig.solve.spot import LeafSpot
from gridjig.solve.spots import leaf_spots
from gridjig.solve.stands import holes_besides
from gridjig.solve.stood import Stand
from gridjig.units import format_angle

from .refusals import first_refusal
from .tool import Commit, Nothing, Outcome
from .wording import capital


def lock(job: Job, stands: Mapping[str, Stand], ids: frozenset[str]) -> Outcome:
    """Lock an arm in the hole nearest to how it is open now, or take the lock out again."""
    thing = job.find(next(iter(ids))) if len(ids) == 1 else None
    if not isinstance(thing, Placement):
        return Nothing("L locks one arm that opens; select it first.")
    there = stands[thing.id]
    piece = there.piece
    if piece is None or piece.pivot is None or there.fault is not None:
        return Nothing(there.fault or f"{capital(title(job, thing.id))} has no arm that opens.")
    if there.leaf_hole is not None:
        return _let_go(job, thing, there, piece)
    found, _ = leaf_spots(
        job.table,
        piece,
        there.poses[0],
        job.rack.pin_diameter(piece),
        holes_besides(stands, thing.id) | set(there.holes),
    )
    return _lock(job, stands, thing, there, found)


def _let_go(job: Job, placement: Placement, there: Stand, piece: Piece) -> Outcome:
    on_leaf = {m.id for m in piece.mounts if m.body}
    seats = tuple(s for s in placement.seats if s.feature not in on_leaf)
    name = title(job, placement.id)
    return Commit(
        with_placement(job, structs.replace(placement, seats=seats, leaf=there.leaf)),
        f"Unlock {name}",
        frozenset([placement.id]),
        hint=f"{capital(name)} is set by its scale now, at {format_angle(there.leaf)}.",
    )


def _lock(
    job: Job,
    stands: Mapping[str, Stand],
    placement: Placement,
    there: Stand,
    found: tuple[LeafSpot, ...],
) -> Outcome:
    """The nearest lock that nothing lies in the way of."""
    name = title(job, placement.id)
    ids = frozenset([placement.id])
    why = "No hole of this table locks the arm where its base stands."
    nearest = sorted(found, key=lambda s: (abs(_leaf(s, there) - there.leaf), s.seat.hole))
    for spot in nearest:
        leaf = _leaf(spot, there)
        locked = structs.replace(placement, seats=(*placement.seats, spot.seat), leaf=leaf)
        after = with_placement(job, locked)
        refused = first_refusal(job, stands, after, ids)
        if refused is None:
            at = address(job.table, spot.seat.hole)
            return Commit(
                after,
                f"Lock {name} in {at}",
                ids,
                hint=f"{capital(name)} is locked by a pin in {at}, at {format_angle(leaf)}.",
            )
        why = refused
    return Nothing(why)


def _leaf(spot: LeafSpot, there: Stand) -> float:
    return min(max(there.leaf, spot.way.low), spot.way.high)
