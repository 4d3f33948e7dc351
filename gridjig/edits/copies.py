"""Edits that multiply parts of the weldment or change their hand: copy, array, mirror.

Distances are free here; pieces of the rack sit in holes and are copied in `selection`.
"""

from collections.abc import Callable, Iterable, Set

from msgspec import structs

from gridjig.geometry import wrap
from gridjig.geometry.lines import Line, through
from gridjig.geometry.plate_holes import mirrored_hole
from gridjig.model import Job, Member, Part, Plate
from gridjig.rack import Point

from .lookup import new_id, numbered_name, part_of, with_copied_welds
from .members import direction


def array_by(
    job: Job, ids: Set[str], count: int, dx: float, dy: float
) -> tuple[Job, frozenset[str]]:
    """Repeat these parts in a row: `count` of each including the original, (dx, dy) mm apart.

    Raises ValueError for a count below 2, no step, or nothing to repeat.
    """
    if count < 2:
        raise ValueError("a row has two or more; type the total number")
    if dx == 0 and dy == 0:
        raise ValueError("a row needs a step other than 0")

    def step(times: int) -> Callable[[Part], Part]:
        return lambda part: moved(part, dx * times, dy * times)

    return _with_copies(job, ids, [step(k) for k in range(1, count)])


def mirror(job: Job, ids: Set[str], a: Point, b: Point) -> Job:
    """Mirror these parts about the line through two points, mm: they become the opposite hand."""
    line = through(a, b)
    parts = _chosen(job, ids)
    fresh = {part.id: mirrored(part, line) for part in parts}
    return structs.replace(job, parts=tuple(fresh.get(p.id, p) for p in job.parts))


def mirror_copy(job: Job, ids: Set[str], a: Point, b: Point) -> tuple[Job, frozenset[str]]:
    """Add opposite-hand copies of these parts across a line; also returns their ids."""
    line = through(a, b)
    return _with_copies(job, ids, (lambda part: mirrored(part, line),))


def mirrored(part: Part, line: Line) -> Part:
    """The part mirrored about a line on the table: the opposite hand.  Heights stay."""
    x, y = line.mirrored((part.x, part.y))
    turn = wrap(2.0 * direction((0.0, 0.0), line.along) - part.turn)
    if isinstance(part, Member):
        return structs.replace(part.opposite_hand, x=x, y=y, turn=turn)
    first, *rest = ((cx, 0.0 - cy) for cx, cy in part.corners)
    return structs.replace(
        part,
        corners=(first, *reversed(rest)),
        holes=tuple(map(mirrored_hole, part.holes)),
        x=x,
        y=y,
        turn=turn,
    )


def moved(part: Part, dx: float, dy: float, dz: float = 0.0) -> Part:
    """A part moved by a distance in mm."""
    x, y, low = part.x + dx, part.y + dy, part.z_low + dz
    if isinstance(part, Member):
        return structs.replace(part, x=x, y=y, z_low=low)
    return structs.replace(part, x=x, y=y, z_low=low, z_high=part.z_high + dz)


def _chosen(job: Job, ids: Set[str]) -> list[Part]:
    """The parts with these ids, in job order.  Raises KeyError for an id that is not a part's."""
    for thing_id in ids:
        part_of(job, thing_id)
    chosen: list[Member | Plate] = [p for p in job.parts if p.id in ids]
    if not chosen:
        raise ValueError("no part of the weldment is selected; select a member or a plate")
    return chosen


def _with_copies(
    job: Job, ids: Set[str], changes: Iterable[Callable[[Part], Part]]
) -> tuple[Job, frozenset[str]]:
    parts = _chosen(job, ids)
    made: list[Part] = []
    taken: set[str] = set()
    named = {part.name for part in job.parts}
    welded = job
    for change in changes:
        copies: dict[str, str] = {}
        for part in parts:
            fresh = new_id(job, part.id, taken)
            taken.add(fresh)
            copies[part.id] = fresh
            copy = structs.replace(change(part), id=fresh)
            if isinstance(copy, Plate):
                copy = structs.replace(copy, name=numbered_name(copy.name, named))
                named.add(copy.name)
            made.append(copy)
        welded = with_copied_welds(welded, copies)
    return structs.replace(welded, parts=(*job.parts, *made)), frozenset(taken)
