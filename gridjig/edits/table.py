"""Edits of the job's table: another table, marks on holes, painted addresses."""

from collections.abc import Iterable, Set

from msgspec import structs

from gridjig.model import Hole, HoleMark, HoleState, Job, LabelScheme, Table
from gridjig.solve.placed.solver import solve_placement
from gridjig.units import Display, format_length
from gridjig.words.placing_text import placing_text


def replace_table(job: Job, table: Table) -> Job:
    """The job on another table.  Placements keep their hole numbers, and none is removed.

    `newly_adrift` finds those that the new table cannot hold.
    """
    return job if table == job.table else structs.replace(job, table=table)


def newly_adrift(before: Job, after: Job) -> dict[str, str]:
    """Ids of placements that were good before and are not after, each with a sentence why."""
    good = {
        p.id: solve_placement(before.table, before.rack, p).fault is None for p in before.placements
    }
    adrift: dict[str, str] = {}
    for placement in after.placements:
        if good.get(placement.id, False):
            fault = solve_placement(after.table, after.rack, placement).fault
            if fault is not None:
                adrift[placement.id] = placing_text(fault, after.table, after.display)
    return adrift


def keep_marks(table: Table, marks: Iterable[HoleMark]) -> Table:
    """The table with those marks for which it has holes."""
    return structs.replace(table, marks=tuple(m for m in marks if table.has(m.hole)))


def size_range(table: Table, state: HoleState, display: Display) -> tuple[float, float] | None:
    """Least and greatest size in mm of a hole in that state on this table; None if it has no size.

    A shallow hole is no deeper than the plate; an oversize one is no narrower than the others.
    """
    if state == "shallow":
        least = 0.5 if display.unit == "millimetres" else 1.5875  # the least that can be typed
        return (min(least, table.thickness), table.thickness)
    if state == "oversize":
        return (table.hole_diameter, max(table.pitch_x, table.pitch_y))
    return None


def size_fault(table: Table, state: HoleState, size: float, display: Display) -> str:
    """Why a hole cannot have that state with that size (mm), in a sentence; "" if it can."""
    span = size_range(table, state, display)
    if span is None or span[0] - 1e-6 <= size <= span[1] + 1e-6:
        return ""
    low, high, typed = (format_length(value, display) for value in (*span, size))
    deep = "depth of a shallow" if state == "shallow" else "width of an oversize"
    return f"The {deep} hole can be {low} to {high} on this table; {typed} is outside that."


def mark_holes(job: Job, holes: Set[Hole], state: HoleState, size: float = 0.0) -> Job:
    """Mark holes; those off the table are ignored.  Size in mm, as in `HoleMark`."""
    fresh = {h: HoleMark(h, state, size) for h in holes if job.table.has(h)}
    kept = [fresh.pop(m.hole, m) for m in job.table.marks]
    added = [fresh[h] for h in sorted(fresh)]
    return _with_marks(job, (*kept, *added))


def clear_holes(job: Job, holes: Set[Hole]) -> Job:
    """Clear the marks of holes: they are free and good again."""
    return _with_marks(job, tuple(m for m in job.table.marks if m.hole not in holes))


def set_labels(job: Job, labels: LabelScheme) -> Job:
    """Change how addresses are painted on the table; the holes stay."""
    if labels == job.table.labels:
        return job
    return structs.replace(job, table=structs.replace(job.table, labels=labels))


def _with_marks(job: Job, marks: tuple[HoleMark, ...]) -> Job:
    if marks == job.table.marks:
        return job
    return structs.replace(job, table=structs.replace(job.table, marks=marks))
