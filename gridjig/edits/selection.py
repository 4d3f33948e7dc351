"""Edits of everything selected at once: all of it keeps its places to one another."""

import contextlib
from collections.abc import Iterable, Sequence, Set
from operator import attrgetter, indexOf

from msgspec import structs

from gridjig.model import Datum, FaceOf, Hole, Job, Part, Placement, Seat

from .things import new_id, with_copied_welds

_NAME = attrgetter("id")
_FEW = 3


def shift(job: Job, ids: Set[str], columns: int, rows: int) -> Job:
    """Move all of these by whole pitches.  Ids that the job lacks are passed over."""
    if columns == 0 and rows == 0:
        return job
    return _mapped(job, ids, columns, rows)


def shift_outlines(job: Job, ids: Set[str], dx: float, dy: float) -> Job:
    """Move these outlines by any distance in mm.  Placements among them stay in their holes."""
    outlines = tuple(
        structs.replace(o, x=o.x + dx, y=o.y + dy) if o.id in ids else o for o in job.outlines
    )
    return job if outlines == job.outlines else structs.replace(job, outlines=outlines)


def remove(job: Job, ids: Set[str]) -> Job:
    """Take these off the table, with the welds and the datum of parts among them.

    Ids that the job lacks are passed over.
    """
    placements = tuple(p for p in job.placements if p.id not in ids)
    outlines = tuple(o for o in job.outlines if o.id not in ids)
    if len(placements) == len(job.placements) and len(outlines) == len(job.outlines):
        return job
    if len(outlines) != len(job.outlines):
        job = _without_choices(job, ids)
    return structs.replace(job, placements=placements, outlines=outlines)


def _without_choices(job: Job, ids: Set[str]) -> Job:
    """The job without what was chosen about these parts, which another part might else inherit."""

    def kept(face: FaceOf | None) -> FaceOf | None:
        return None if face is not None and face.part in ids else face

    return structs.replace(
        job,
        welds=tuple(w for w in job.welds if w.a not in ids and w.b not in ids),
        datum=Datum(long=kept(job.datum.long), end=kept(job.datum.end)),
        critical=tuple(f for f in job.critical if f.part not in ids),
    )


def copy(job: Job, ids: Set[str], columns: int, rows: int) -> tuple[Job, frozenset[str]]:
    """Copies of these, shifted by whole pitches, and the ids of the copies."""
    return put_copies(job, things(job, ids), columns, rows)


def things(job: Job, ids: Set[str]) -> tuple[Placement | Part, ...]:
    """What stands on the table by these ids, in the job's order."""
    return (
        *(p for p in job.placements if p.id in ids),
        *(o for o in job.outlines if o.id in ids),
    )


def put_copies(
    job: Job, originals: Iterable[Placement | Part], columns: int, rows: int
) -> tuple[Job, frozenset[str]]:
    """Copies with ids of their own, shifted by whole pitches, and those ids.

    The originals need not be on the table any more.  KeyError if the rack lacks one's piece.
    """
    outlines: list[Part] = []
    placements: list[Placement] = []
    made: set[str] = set()
    copies: dict[str, str] = {}
    for thing in originals:
        fresh = new_id(job, thing.id, made)
        made.add(fresh)
        copies[thing.id] = fresh
        if isinstance(thing, Part):
            outlines.append(structs.replace(_moved(job, thing, columns, rows), id=fresh))
        else:
            for piece in (thing.piece, *thing.lift, *thing.packing):
                job.rack.piece(piece)
            placements.append(structs.replace(_seated(thing, columns, rows), id=fresh))
    if not made:
        return job, frozenset()
    return (
        structs.replace(
            with_copied_welds(job, copies),
            outlines=(*job.outlines, *outlines),
            placements=(*job.placements, *placements),
        ),
        frozenset(made),
    )


def array(
    job: Job, ids: Set[str], across: int, along: int, columns: int, rows: int
) -> tuple[Job, frozenset[str]]:
    """These repeated in a grid: `across` times in x every `columns` pitches, `along` in y.

    Counts include the ones that stand already.  Returns the job and the ids of the copies.
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


def _moved(job: Job, outline: Part, columns: int, rows: int) -> Part:
    dx, dy = columns * job.table.pitch_x, rows * job.table.pitch_y
    return structs.replace(outline, x=outline.x + dx, y=outline.y + dy)


def _indices(things: Sequence[Placement | Part], ids: Set[str]) -> list[int]:
    """Where those of these ids stand in a row; one or two are found by the interpreter's loops."""
    if len(ids) > _FEW:
        return [k for k, thing in enumerate(things) if thing.id in ids]
    found: list[int] = []
    for thing_id in ids if things else ():
        with contextlib.suppress(ValueError):  # it is none of these
            found.append(indexOf(map(_NAME, things), thing_id))
    return found


def _mapped(job: Job, ids: Set[str], columns: int, rows: int) -> Job:
    placements, outlines = list(job.placements), list(job.outlines)
    some, others = _indices(placements, ids), _indices(outlines, ids)
    if not some and not others:
        return job
    for k in some:
        placements[k] = _seated(placements[k], columns, rows)
    for k in others:
        outlines[k] = _moved(job, outlines[k], columns, rows)
    return structs.replace(
        job,
        placements=tuple(placements) if some else job.placements,
        outlines=tuple(outlines) if others else job.outlines,
    )
