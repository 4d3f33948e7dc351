"""Edits that multiply parts of the weldment or change their hand: copy, array, mirror.

Distances are free here; pieces of the rack sit in holes and are copied in `selection`.
"""

from collections.abc import Callable, Iterable, Set

from msgspec import structs

from gridjig.geometry import wrap
from gridjig.geometry.lines import Line, through
from gridjig.geometry.plate_holes import mirrored_hole
from gridjig.model import FaceOf, Job, Member, Part, Plate
from gridjig.rack import Point

from .copied_weldments import homes, same_face
from .lookup import new_id, numbered_name, part_of, with_copied_welds
from .members import direction


def array_by(
    job: Job, ids: Set[str], count: int, dx: float, dy: float
) -> tuple[Job, frozenset[str]]:
    """Repeat these parts in a row: `count` of each including the original, (dx, dy) mm apart.

    Raises ValueError for a count below 2, no step, or nothing to repeat.
    """
    if count < 2:
        raise ValueError("a row needs two or more; type the total")
    if dx == 0 and dy == 0:
        raise ValueError("the step of a row cannot be 0")

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
    return _with_copies(job, ids, (lambda part: mirrored(part, line),), hand=True)


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


def mirrored_side(part: Part, side: int) -> int:
    """The number of a side after its part is mirrored."""
    if isinstance(part, Member):
        return (part.mill_edges[1] - side) % len(part.corners)
    return (-1 - side) % len(part.corners)


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
    job: Job, ids: Set[str], changes: Iterable[Callable[[Part], Part]], *, hand: bool = False
) -> tuple[Job, frozenset[str]]:
    """Add changed copies of these parts; copies of a whole weldment are one of their own."""
    parts = _chosen(job, ids)

    def face(chosen: FaceOf) -> FaceOf:
        return FaceOf(chosen.part, mirrored_side(part_of(job, chosen.part), chosen.side))

    made: list[Part] = []
    taken: set[str] = set()
    named = {part.name for part in job.parts}
    welded = job
    for change in changes:
        copies: dict[str, str] = {}
        for part in parts:
            copies[part.id] = new_id(job, part.id, taken)
            taken.add(copies[part.id])
        home = homes(welded, copies, face if hand else same_face, hand=hand)
        for part in parts:
            copy = structs.replace(change(part), id=copies[part.id], weldment=home.of(part))
            if isinstance(copy, Plate) and copy.weldment == part.weldment:
                copy = structs.replace(copy, name=numbered_name(copy.name, named))
                named.add(copy.name)
            made.append(copy)
        welded = with_copied_welds(home.job, copies)
    return structs.replace(welded, parts=(*job.parts, *made)), frozenset(taken)
