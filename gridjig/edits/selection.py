"""Edits of everything selected at once: all of it keeps its places to one another."""

from collections.abc import Set

from msgspec import structs

from gridjig.model import Hole, Job, Outline, Placement, Seat

from .things import new_id


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
    """Take these off the table.  Ids that the job lacks are passed over."""
    placements = tuple(p for p in job.placements if p.id not in ids)
    outlines = tuple(o for o in job.outlines if o.id not in ids)
    if len(placements) == len(job.placements) and len(outlines) == len(job.outlines):
        return job
    return structs.replace(job, placements=placements, outlines=outlines)


def copy(job: Job, ids: Set[str], columns: int, rows: int) -> tuple[Job, frozenset[str]]:
    """Copies of these, shifted by whole pitches, and the ids of the copies."""
    outlines: list[Outline] = []
    placements: list[Placement] = []
    made: set[str] = set()
    for outline in job.outlines:
        if outline.id in ids:
            fresh = new_id(job, outline.id, made)
            made.add(fresh)
            outlines.append(structs.replace(_moved(job, outline, columns, rows), id=fresh))
    for placement in job.placements:
        if placement.id in ids:
            fresh = new_id(job, placement.id, made)
            made.add(fresh)
            placements.append(structs.replace(_seated(placement, columns, rows), id=fresh))
    if not made:
        return job, frozenset()
    return (
        structs.replace(
            job,
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


def _moved(job: Job, outline: Outline, columns: int, rows: int) -> Outline:
    dx, dy = columns * job.table.pitch_x, rows * job.table.pitch_y
    return structs.replace(outline, x=outline.x + dx, y=outline.y + dy)


def _mapped(job: Job, ids: Set[str], columns: int, rows: int) -> Job:
    placements, outlines = job.placements, job.outlines
    if any(p.id in ids for p in placements):
        placements = tuple(_seated(p, columns, rows) if p.id in ids else p for p in placements)
    if any(o.id in ids for o in outlines):
        outlines = tuple(_moved(job, o, columns, rows) if o.id in ids else o for o in outlines)
    if placements is job.placements and outlines is job.outlines:
        return job
    return structs.replace(job, placements=placements, outlines=outlines)
