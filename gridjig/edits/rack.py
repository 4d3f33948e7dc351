"""Edits of the rack under the job: counts, bins, copies of pieces and pieces of the shop's own.

Each gives a new job.  None may leave a placed piece without its like on the rack.
"""

import re
from typing import get_args

from msgspec import structs

from gridjig.model import Job
from gridjig.rack import Piece, PieceKind, Rack
from gridjig.units import Display, format_count

from .sizes import MILLIMETRES, with_size

KINDS: tuple[PieceKind, ...] = get_args(PieceKind)
"""Every kind of piece, in the order of a list to choose from."""

MOST_OWNED = 100_000
"""The most that are counted of one piece, as `Piece` has it."""


def replace_rack(job: Job, rack: Rack) -> Job:
    """The job with another rack.  ValueError, in a sentence, if a placed piece is not on it."""
    for piece_id in _used(job):
        if rack.find(piece_id) is None:
            raise ValueError(
                f"{_title(job, piece_id)} is on the table, and the other rack has no piece"
                f" {piece_id}. Take it off the table, or take that rack's pieces into this one."
            )
    for piece in rack.pieces:
        _require_features(job, piece)
    return job if rack == job.rack else structs.replace(job, rack=rack)


def set_piece(job: Job, piece: Piece) -> Job:
    """Put a piece on the rack, in the place of its namesake if there is one.

    ValueError if a placement stands on a mount feature that the piece no longer has.
    """
    _require_features(job, piece)
    if job.rack.find(piece.id) == piece:
        return job
    return structs.replace(job, rack=job.rack.with_piece(piece))


def set_owned(job: Job, piece_id: str, owned: int) -> Job:
    """Say how many of a piece the shop owns.  ValueError unless it is 0 to 100,000."""
    if not 0 <= owned <= MOST_OWNED:
        raise ValueError(f"{owned} pieces: a count goes from 0 to {format_count(MOST_OWNED)}.")
    return set_piece(job, structs.replace(job.rack.piece(piece_id), owned=owned))


def set_bin(job: Job, piece_id: str, place: str) -> Job:
    """Say where a piece hangs; a new bin is walked to last.  ValueError over 40 letters."""
    name = " ".join(place.split())
    if len(name) > 40:
        raise ValueError(f"A bin's name has 40 letters at most; this one has {len(name)}.")
    changed = set_piece(job, structs.replace(job.rack.piece(piece_id), bin=name))
    return (
        changed if not name or name in job.rack.walk else set_walk(changed, (*job.rack.walk, name))
    )


def set_walk(job: Job, walk: tuple[str, ...]) -> Job:
    """Set the order in which bins are walked; a bin named twice counts once."""
    once = tuple(dict.fromkeys(walk))
    if once == job.rack.walk:
        return job
    return structs.replace(job, rack=structs.replace(job.rack, walk=once))


def resize_piece(
    job: Job, piece_id: str, size_id: str, value: float, display: Display = MILLIMETRES
) -> Job:
    """Change one size of a piece, as `sizes.with_size` does, with its errors."""
    return set_piece(job, with_size(job.rack.piece(piece_id), size_id, value, display))


def copy_piece(job: Job, piece_id: str) -> tuple[Job, str]:
    """A second piece like one of the rack, to be changed: the job, and the copy's id.

    The copy is of the shop's own making: none is owned yet.
    """
    piece = job.rack.piece(piece_id)
    own = structs.replace(
        piece, id=free_id(job.rack, piece_id), name=f"{piece.name} (copy)"[:120], owned=0
    )
    return set_piece(job, own), own.id


def blank_piece(rack: Rack, kind: PieceKind, templates: Rack) -> Piece:
    """A piece of that kind to start from, with an id that the rack has not.

    It has the shape of the first of its kind on `templates`, a starter rack for the table; a piece
    of another kind starts as a plate with a face no longer.  ValueError if the templates have none.
    """
    shape = "fixed stop" if kind == "other" else kind
    like = next((p for p in templates.pieces if p.kind == shape), None)
    if like is None:
        raise ValueError(f"There is no {kind} to start from.")
    return structs.replace(
        like,
        id=free_id(rack, f"own-{kind.lower().replace(' ', '-')}"),
        name=f"{kind[0].upper()}{kind[1:]} of our own" if kind != "other" else "Piece of our own",
        kind=kind,
        size="",
        faces=() if kind == "other" else like.faces,
        takes=tuple(pin for pin in like.takes if rack.find(pin)) or like.takes,
        owned=1,
        bin="",
    )


def add_piece(job: Job, piece: Piece) -> Job:
    """Put a new piece on the rack.  ValueError if the rack has its id already."""
    if job.rack.find(piece.id) is not None:
        raise ValueError(f"The rack has a piece {piece.id} already; give this one another id.")
    return set_piece(job, piece)


def remove_piece(job: Job, piece_id: str) -> Job:
    """Take a piece off the rack for good.

    ValueError, in a sentence, if it is on the table, under or before a piece that is, or if it is
    the pin that holds one.  KeyError if the rack has no such piece.
    """
    piece = job.rack.piece(piece_id)
    count = _used(job).get(piece_id, 0)
    if count:
        times = "once" if count == 1 else f"{count} times"
        raise ValueError(f"{piece.name} is in use on the table {times}. Take it off there first.")
    held = {p.piece for p in job.placements if _pinned_by(job.rack, p.piece) is piece}
    if held:
        first = _title(job, min(held))
        raise ValueError(f"{piece.name} pins {first} to the table. Take that off the table first.")
    kept = tuple(p for p in job.rack.pieces if p.id != piece_id)
    return structs.replace(job, rack=structs.replace(job.rack, pieces=kept))


def free_id(rack: Rack, stem: str) -> str:
    """An id that no piece of the rack has: the stem, or the first free copy of it."""
    base = re.sub(r"-copy(-\d+)?$", "", stem)[:50]
    if rack.find(base) is None:
        return base
    tries = (f"{base}-copy" if n == 1 else f"{base}-copy-{n}" for n in range(1, 100_000))
    return next(t for t in tries if rack.find(t) is None)


def _used(job: Job) -> dict[str, int]:
    """How many times each piece stands on the table, lies under a piece or before its face."""
    count: dict[str, int] = {}
    for placement in job.placements:
        for piece_id in (placement.piece, *placement.lift, *placement.packing):
            count[piece_id] = count.get(piece_id, 0) + 1
    return count


def _pinned_by(rack: Rack, piece_id: str) -> Piece | None:
    """The locking pin that a piece is held by, if it needs any."""
    piece = rack.piece(piece_id)
    return rack.locking_pin(piece) if piece.needs_pin else None


def _title(job: Job, piece_id: str) -> str:
    piece = job.rack.find(piece_id)
    return piece.name if piece else piece_id


def _require_features(job: Job, piece: Piece) -> None:
    """ValueError if a placement of the piece stands on a feature that it has not."""
    features = {m.id for m in piece.mounts}
    for placement in job.placements:
        if placement.piece != piece.id:
            continue
        lost = next((s.feature for s in placement.seats if s.feature not in features), None)
        if lost is not None:
            raise ValueError(
                f"{piece.name} stands on the table on its {lost}, which it would no longer have."
                " Take it off the table first."
            )
