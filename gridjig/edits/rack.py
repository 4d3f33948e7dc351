"""Edits of the job's rack: counts, bins, copied pieces and custom pieces.

None may remove a piece from the rack that is on the table.
"""

import re
from typing import get_args

from msgspec import structs

from gridjig.model import Job
from gridjig.rack import Piece, PieceKind, Rack, kind_name
from gridjig.units import MILLIMETRES, Display, format_count

from .typed_sizes import with_size_typed

KINDS: tuple[PieceKind, ...] = get_args(PieceKind)
"""Every kind of piece, in the order of the list in the window."""

MOST_OWNED = 100_000
"""The highest count of one piece, as in `Piece`."""


def replace_rack(job: Job, rack: Rack) -> Job:
    """The job with another rack.  Raises ValueError if a placed piece is not on it."""
    for piece_id in used_pieces(job):
        if rack.find(piece_id) is None:
            raise ValueError(
                f"{_title(job, piece_id)} is on the table, but would no longer be on the rack."
                " Take it off the table first, or leave it on the rack."
            )
    for piece in rack.pieces:
        _require_features(job, piece)
    return job if rack == job.rack else structs.replace(job, rack=rack)


def set_piece(job: Job, piece: Piece) -> Job:
    """Put a piece on the rack, in place of the one with its id if there is one.

    Raises ValueError if a placement uses a mount feature that the piece no longer has.
    """
    _require_features(job, piece)
    if job.rack.find(piece.id) == piece:
        return job
    return structs.replace(job, rack=job.rack.with_piece(piece))


def set_owned(job: Job, piece_id: str, owned: int) -> Job:
    """Set how many of a piece the shop owns.  Raises ValueError unless it is 0 to 100,000."""
    if not 0 <= owned <= MOST_OWNED:
        raise ValueError(f"{owned} pieces: a count must be 0 to {format_count(MOST_OWNED)}.")
    return set_piece(job, structs.replace(job.rack.piece(piece_id), owned=owned))


def set_bin(job: Job, piece_id: str, place: str) -> Job:
    """Set the bin of a piece; a new bin comes last in the walking order.

    Raises ValueError if the name has more than 40 letters.
    """
    name = " ".join(place.split())
    if len(name) > 40:
        raise ValueError(
            f"The name of a bin can have at most 40 characters; this one has {len(name)}."
        )
    changed = set_piece(job, structs.replace(job.rack.piece(piece_id), bin=name))
    return (
        changed if not name or name in job.rack.walk else set_walk(changed, (*job.rack.walk, name))
    )


def set_walk(job: Job, walk: tuple[str, ...]) -> Job:
    """Set the walking order of the bins; duplicates are dropped."""
    once = tuple(dict.fromkeys(walk))
    if once == job.rack.walk:
        return job
    return structs.replace(job, rack=structs.replace(job.rack, walk=once))


def resize_piece(
    job: Job,
    piece_id: str,
    size_id: str,
    value: float,
    display: Display = MILLIMETRES,
) -> Job:
    """Type one size of a piece; the sizes that were typed before stay, in this job or an earlier
    one.  Raises the errors of `typed_sizes.with_size_typed`.
    """
    return set_piece(job, with_size_typed(job.rack.piece(piece_id), size_id, value, display))


def release_sizes(job: Job, piece_id: str) -> Job:
    """Forget which sizes of a piece were typed, so that all of them go along with a change."""
    return set_piece(job, structs.replace(job.rack.piece(piece_id), typed=()))


def copy_piece(job: Job, piece_id: str) -> tuple[Job, str]:
    """Copy a piece of the rack, to change it; returns the job and the id of the copy.

    The shop owns none of the copy yet.
    """
    piece = job.rack.piece(piece_id)
    own = structs.replace(
        piece, id=free_id(job.rack, piece_id), name=f"{piece.name} (copy)"[:120], owned=0
    )
    return set_piece(job, own), own.id


def blank_piece(rack: Rack, kind: PieceKind, templates: Rack) -> Piece:
    """A piece of that kind to start from, with an id that is free on the rack.

    It has the shape of the first of its kind on `templates`, a starter rack for the table; one of
    kind "other" starts as a fixed stop without its face.  Raises ValueError if the templates have
    none.
    """
    shape = "fixed stop" if kind == "other" else kind
    like = next((p for p in templates.pieces if p.kind == shape), None)
    if like is None:
        raise ValueError(f"There is no {kind_name(kind)} to start from.")
    return structs.replace(
        like,
        id=free_id(rack, f"own-{kind.lower().replace(' ', '-')}"),
        name=f"Custom {kind_name(kind)}" if kind != "other" else "Custom piece",
        kind=kind,
        size="",
        faces=() if kind == "other" else like.faces,
        takes=tuple(pin for pin in like.takes if rack.find(pin)) or like.takes,
        owned=1,
        bin="",
    )


def add_piece(job: Job, piece: Piece) -> Job:
    """Add a new piece to the rack.  Raises ValueError if the rack already has its id."""
    if job.rack.find(piece.id) is not None:
        raise ValueError(f"The rack already has a piece {piece.id}; give this one another id.")
    return set_piece(job, piece)


def remove_piece(job: Job, piece_id: str) -> Job:
    """Remove a piece from the rack.

    Raises ValueError if the piece, a stack or a packing with it is on the table, or if it is the
    pin that holds a piece there; KeyError if the rack has no such piece.
    """
    piece = job.rack.piece(piece_id)
    count = used_pieces(job).get(piece_id, 0)
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
    """An id that is free on the rack: the stem, or the first free copy of it."""
    base = re.sub(r"-copy(-\d+)?$", "", stem)[:50]
    if rack.find(base) is None:
        return base
    tries = (f"{base}-copy" if n == 1 else f"{base}-copy-{n}" for n in range(1, 100_000))
    return next(t for t in tries if rack.find(t) is None)


def used_pieces(job: Job) -> dict[str, int]:
    """How many of each piece are on the table, in stacks and packings too, by id."""
    count: dict[str, int] = {}
    for placement in job.placements:
        for piece_id in (placement.piece, *placement.lift, *placement.packing):
            count[piece_id] = count.get(piece_id, 0) + 1
    return count


def _pinned_by(rack: Rack, piece_id: str) -> Piece | None:
    """The locking pin for a piece, if it needs one."""
    piece = rack.piece(piece_id)
    return rack.locking_pin(piece) if piece.needs_pin else None


def _title(job: Job, piece_id: str) -> str:
    piece = job.rack.find(piece_id)
    return piece.name if piece else piece_id


def _require_features(job: Job, piece: Piece) -> None:
    """Raises ValueError if a placement of the piece uses a feature that it does not have."""
    features = {m.id for m in piece.mounts}
    for placement in job.placements:
        if placement.piece != piece.id:
            continue
        lost = next((s.feature for s in placement.seats if s.feature not in features), None)
        if lost is not None:
            raise ValueError(
                f"{piece.name} is mounted by its {lost}, which it would no longer have."
                " Take it off the table first."
            )
