"""What a job takes from the rack: pieces, their locking pins, risers and shims."""

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from msgspec import Struct

from gridjig.model import Job, Placement
from gridjig.rack import Piece, Shank
from gridjig.rack.same import Same


class Need(Struct, frozen=True):
    """How many of a piece a job takes, and the ids of the placements that take them, in order."""

    count: int
    placements: tuple[str, ...]


def pins_in(piece: Piece, placement: Placement) -> int:
    """Return how many locking pins a placement takes: one for each pinned hole or slot."""
    shanks = {m.id for m in piece.mounts if isinstance(m, Shank)}
    return sum(seat.feature not in shanks for seat in placement.seats)


def needs(job: Job) -> Mapping[str, Need]:
    """Return what the job takes, by piece id, in rack order."""
    return _needs(Same(job))


@lru_cache(maxsize=4)
def _needs(key: Same[Job]) -> Mapping[str, Need]:
    job = key.value
    count: dict[str, int] = {}
    takers: dict[str, dict[str, None]] = {}

    def take(piece_id: str, many: int, placement: Placement) -> None:
        if many:
            count[piece_id] = count.get(piece_id, 0) + many
            takers.setdefault(piece_id, {})[placement.id] = None

    known = {piece.id: piece for piece in job.rack.pieces}
    held = {piece.id: job.rack.locking_pin(piece) for piece in _placed(job, known)}
    for placement in job.placements:
        piece = known.get(placement.piece)
        take(placement.piece, 1, placement)
        pin = held.get(placement.piece)
        if piece is not None and pin is not None:
            take(pin.id, pins_in(piece, placement), placement)
        for loose in (*placement.lift, *placement.packing):
            take(loose, 1, placement)
    order = [*(p for p in known if p in count), *(p for p in count if p not in known)]
    return MappingProxyType(
        {piece_id: Need(count[piece_id], tuple(takers[piece_id])) for piece_id in order}
    )


def _placed(job: Job, known: Mapping[str, Piece]) -> list[Piece]:
    return [known[p] for p in {placement.piece: None for placement in job.placements} if p in known]


def left_of(piece: Piece | None, need: Need | None) -> int:
    """Return how many are left on the rack; negative if more are needed than owned."""
    return (piece.owned if piece else 0) - (need.count if need else 0)


def short_by(piece: Piece | None, need: Need) -> int:
    """Return how many more are needed than owned; 0 if there are enough."""
    return max(0, -left_of(piece, need))


def shims_left(job: Job) -> tuple[float, ...]:
    """Return how thick the shims are of which the rack has one left, mm, thinnest first."""
    taken = needs(job)
    left = (p.thickness for p in job.rack.shims if left_of(p, taken.get(p.id)) > 0)
    return tuple(sorted(set(left)))
