"""Edits of everything selected at once, which keep the relative positions."""

import contextlib
from collections.abc import Iterable, Sequence, Set
from operator import attrgetter, indexOf

from msgspec import structs

from gridjig.model import Accuracy, Allowances, FaceOf, Hole, Job, Part, Placement, Plate, Seat

from .copied_weldments import homes
from .lookup import new_id, numbered_name, with_copied_welds, with_datums

_NAME = attrgetter("id")
_FEW = 3

# Where each thing stood when it was last moved: it is looked for there first.
_found_at: dict[str, int] = {}
_MOST = 1000


def shift(job: Job, ids: Set[str], columns: int, rows: int) -> Job:
    """Move these by whole pitches.  Unknown ids are ignored."""
    if columns == 0 and rows == 0:
        return job
    return _mapped(job, ids, columns, rows)


def shift_parts(job: Job, ids: Set[str], dx: float, dy: float) -> Job:
    """Move these parts by any distance in mm.  Placements among them stay in their holes."""
    parts = tuple(
        structs.replace(o, x=o.x + dx, y=o.y + dy) if o.id in ids else o for o in job.parts
    )
    return job if parts == job.parts else structs.replace(job, parts=parts)


def remove(job: Job, ids: Set[str]) -> Job:
    """Remove these from the table, with the welds and datum faces of parts among them.

    Unknown ids are ignored.
    """
    placements = tuple(p for p in job.placements if p.id not in ids)
    parts = tuple(o for o in job.parts if o.id not in ids)
    if len(placements) == len(job.placements) and len(parts) == len(job.parts):
        return job
    if len(parts) != len(job.parts):
        job = _without_choices(job, ids)
    return structs.replace(job, placements=placements, parts=parts)


def _without_choices(job: Job, ids: Set[str]) -> Job:
    """The job without the choices about these parts, which a later part might otherwise inherit."""

    def kept(face: FaceOf) -> FaceOf | None:
        return None if face.part in ids else face

    return structs.replace(
        job,
        welds=tuple(w for w in job.welds if w.a not in ids and w.b not in ids),
        weldments=with_datums(job.weldments, kept),
        critical=tuple(f for f in job.critical if f.part not in ids),
        allowances=_allowing(job.allowances, ids),
        accuracy=_mattering(job.accuracy, ids),
    )


def _allowing(old: Allowances, ids: Set[str]) -> Allowances:
    joints = tuple(one for one in old.joints if one.a not in ids and one.b not in ids)
    parts = tuple(one for one in old.parts if one.part not in ids)
    new = structs.replace(old, joints=joints, parts=parts)
    return old if new == old else new


def _mattering(old: Accuracy, ids: Set[str]) -> Accuracy:
    points = tuple(point for point in old.points if point.part not in ids)
    return old if points == old.points else structs.replace(old, points=points)


def copy(job: Job, ids: Set[str], columns: int, rows: int) -> tuple[Job, frozenset[str]]:
    """Copy these, shifted by whole pitches; also returns the ids of the copies."""
    return put_copies(job, things(job, ids), columns, rows)


def things(job: Job, ids: Set[str]) -> tuple[Placement | Part, ...]:
    """The placements and parts with these ids, in job order."""
    return (
        *(p for p in job.placements if p.id in ids),
        *(o for o in job.parts if o.id in ids),
    )


def put_copies(
    job: Job, originals: Iterable[Placement | Part], columns: int, rows: int
) -> tuple[Job, frozenset[str]]:
    """Add copies with new ids, shifted by whole pitches; also returns the new ids.

    Copies of a whole weldment are a weldment of their own.  The originals may be gone from the
    table.  Raises KeyError if the rack lacks a piece.
    """
    parts: list[Part] = []
    placements: list[Placement] = []
    made: set[str] = set()
    copies: dict[str, str] = {}
    originals = tuple(originals)
    named = {part.name for part in job.parts}
    for thing in originals:
        copies[thing.id] = new_id(job, thing.id, made)
        made.add(copies[thing.id])
    home = homes(job, copies)
    for thing in originals:
        fresh = copies[thing.id]
        if isinstance(thing, Part):
            moved = _moved(job, thing, columns, rows)
            part = structs.replace(moved, id=fresh, weldment=home.of(thing))
            if isinstance(part, Plate) and part.weldment == thing.weldment:
                part = structs.replace(part, name=numbered_name(part.name, named))
                named.add(part.name)
            parts.append(part)
        else:
            for piece in (thing.piece, *thing.lift, *thing.packing):
                job.rack.piece(piece)
            placements.append(structs.replace(_seated(thing, columns, rows), id=fresh))
    if not made:
        return job, frozenset()
    return (
        structs.replace(
            with_copied_welds(home.job, copies),
            parts=(*job.parts, *parts),
            placements=(*job.placements, *placements),
        ),
        frozenset(made),
    )


def array(
    job: Job, ids: Set[str], across: int, along: int, columns: int, rows: int
) -> tuple[Job, frozenset[str]]:
    """Repeat these in a grid: `across` times in x every `columns` pitches, `along` in y.

    The counts include the originals.  Returns the job and the ids of the copies.
    """
    made: frozenset[str] = frozenset()
    for j in range(along):
        for i in range(across):
            if i or j:
                job, fresh = copy(job, ids, i * columns, j * rows)
                made |= fresh
    return job, made


def _seated(placement: Placement, columns: int, rows: int) -> Placement:
    seats = tuple(
        Seat(s.feature, Hole(s.hole.col + columns, s.hole.row + rows)) for s in placement.seats
    )
    return structs.replace(placement, seats=seats)


def _moved(job: Job, part: Part, columns: int, rows: int) -> Part:
    dx, dy = columns * job.table.pitch_x, rows * job.table.pitch_y
    return structs.replace(part, x=part.x + dx, y=part.y + dy)


def _indices(things: Sequence[Placement | Part], ids: Set[str]) -> list[int]:
    """The indices of the things with these ids; for a few ids the search runs in C."""
    if len(ids) > _FEW:
        return [k for k, thing in enumerate(things) if thing.id in ids]
    found: list[int] = []
    for thing_id in ids if things else ():
        k = _found_at.get(thing_id, 0)
        if k < len(things) and things[k].id == thing_id:
            found.append(k)
            continue
        with contextlib.suppress(ValueError):  # it is none of these
            k = indexOf(map(_NAME, things), thing_id)
            found.append(k)
            if len(_found_at) >= _MOST:
                _found_at.clear()
            _found_at[thing_id] = k
    return found


def _mapped(job: Job, ids: Set[str], columns: int, rows: int) -> Job:
    placements, parts = list(job.placements), list(job.parts)
    some, others = _indices(placements, ids), _indices(parts, ids)
    if not some and not others:
        return job
    for k in some:
        placements[k] = _seated(placements[k], columns, rows)
    for k in others:
        parts[k] = _moved(job, parts[k], columns, rows)
    return structs.replace(
        job,
        placements=tuple(placements) if some else job.placements,
        parts=tuple(parts) if others else job.parts,
    )
