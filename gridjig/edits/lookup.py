"""Finding, replacing and naming the things of a job, for all edits."""

import re
from collections.abc import Callable, Iterable, Mapping
from typing import TypeVar

from msgspec import structs

from gridjig.model import Datum, FaceOf, Job, Member, Part, Placement, Plate, Weldment

AnyThing = TypeVar("AnyThing", bound=Part | Placement)


def all_ids(job: Job) -> frozenset[str]:
    """The ids of everything on the table."""
    return frozenset([*(p.id for p in job.placements), *(o.id for o in job.parts)])


def new_id(job: Job, stem: str, taken: Iterable[str] = ()) -> str:
    """A new id: the letters of the stem and the first free number.

    `taken` are further ids to avoid.
    """
    base = (
        re.sub(r"[^a-z0-9]+", "-", re.sub(r"[\d-]+$", "", stem.lower())).strip("-")[:40] or "part"
    )
    used = all_ids(job).union(taken)
    number = 1
    while f"{base}-{number}" in used:
        number += 1
    return f"{base}-{number}"


_NUMBERED = re.compile(r"(.*?)\s+\d+")


def numbered_name(name: str, taken: Iterable[str]) -> str:
    """The name, or if it is taken the name with the first free number: Rib, Rib 2, Rib 3."""
    used = set(taken)
    if name not in used or not name:
        return name
    counted = _NUMBERED.fullmatch(name)
    stem = counted[1] if counted else name
    number = 2
    while f"{stem} {number}" in used:
        number += 1
    return f"{stem} {number}"


def placement_of(job: Job, thing_id: str) -> Placement:
    """The placement with that id.  Raises KeyError if there is none."""
    found = job.find(thing_id)
    if not isinstance(found, Placement):
        raise KeyError(thing_id)
    return found


def part_of(job: Job, thing_id: str) -> Part:
    """The part of the weldment with that id.  Raises KeyError if there is none."""
    found = job.find(thing_id)
    if not isinstance(found, Part):
        raise KeyError(thing_id)
    return found


def plate_of(job: Job, thing_id: str) -> Plate:
    """The plate with that id.  Raises KeyError if there is none."""
    found = job.find(thing_id)
    if not isinstance(found, Plate):
        raise KeyError(thing_id)
    return found


def swapped(things: tuple[AnyThing, ...], new: AnyThing) -> tuple[AnyThing, ...]:
    """The things with `new` in place of the one with its id.  Raises KeyError if there is none."""
    for index, old in enumerate(things):
        if old.id == new.id:
            return things if old == new else (*things[:index], new, *things[index + 1 :])
    raise KeyError(new.id)


def with_placement(job: Job, placement: Placement) -> Job:
    """The job with the placement in place of the one with its id."""
    placements = swapped(job.placements, placement)
    return job if placements is job.placements else structs.replace(job, placements=placements)


def with_part(job: Job, part: Part) -> Job:
    """The job with the part in place of the one with its id.

    The chosen faces follow a member whose ends get more or fewer sides, so that its sides are
    numbered differently.
    """
    parts = swapped(job.parts, part)
    if parts is job.parts:
        return job
    old = job.find(part.id)
    if (
        not isinstance(part, Member)
        or not isinstance(old, Member)
        or (old.mill_edges, len(old.corners)) == (part.mill_edges, len(part.corners))
    ):
        return structs.replace(job, parts=parts)

    def followed(face: FaceOf) -> FaceOf:
        if face.part != part.id:
            return face
        return FaceOf(part.id, _renumbered(old, part, face.side))

    def followed_by(one: Weldment) -> Weldment:
        long, end = one.datum.long, one.datum.end
        datum = Datum(long=long and followed(long), end=end and followed(end))
        return one if datum == one.datum else structs.replace(one, datum=datum)

    return structs.replace(
        job,
        parts=parts,
        weldments=tuple(map(followed_by, job.weldments)),
        critical=tuple(dict.fromkeys(map(followed, job.critical))),
    )


def _renumbered(old: Member, new: Member, side: int) -> int:
    """The number that a side of a member has after an end of it is cut otherwise.

    A side of an end that is gone counts as the last one there is.
    """
    was, now = old.mill_edges[1], new.mill_edges[1]
    if side < was:
        return min(side, now - 1)
    return min(side - was + now, len(new.corners) - 1)


def with_weldment(job: Job, weldment: Weldment) -> Job:
    """The job with the weldment in place of the one with its id.  Raises KeyError."""
    for index, old in enumerate(job.weldments):
        if old.id == weldment.id:
            every = (*job.weldments[:index], weldment, *job.weldments[index + 1 :])
            return job if old == weldment else structs.replace(job, weldments=every)
    raise KeyError(weldment.id)


def with_datums(
    weldments: tuple[Weldment, ...], change: Callable[[FaceOf], FaceOf | None]
) -> tuple[Weldment, ...]:
    """The weldments with each chosen datum face replaced; None takes the proposed one."""

    def new(face: FaceOf | None) -> FaceOf | None:
        return None if face is None else change(face)

    return tuple(
        structs.replace(one, datum=Datum(long=new(one.datum.long), end=new(one.datum.end)))
        for one in weldments
    )


def with_copied_welds(job: Job, copies: Mapping[str, str]) -> Job:
    """The job with what was chosen for the joints of copied parts also chosen for their copies.

    That is their welds, what is allowed for, and the points that matter.  `copies` maps the id of
    each original to that of its copy.  Names of joints are not copied.
    """
    job = _with_copied_allowances(job, copies)
    fresh = tuple(
        structs.replace(weld, a=copies[weld.a], b=copies[weld.b], name="")
        for weld in job.welds
        if weld.a in copies and weld.b in copies
    )
    return structs.replace(job, welds=(*job.welds, *fresh)) if fresh else job


def _with_copied_allowances(job: Job, copies: Mapping[str, str]) -> Job:
    old, points = job.allowances, job.accuracy.points
    joints = tuple(
        structs.replace(one, a=copies[one.a], b=copies[one.b])
        for one in old.joints
        if one.a in copies and one.b in copies
    )
    parts = tuple(
        structs.replace(one, part=copies[one.part]) for one in old.parts if one.part in copies
    )
    more = tuple(structs.replace(p, part=copies[p.part]) for p in points if p.part in copies)
    if not (joints or parts or more):
        return job
    return structs.replace(
        job,
        allowances=structs.replace(old, joints=(*old.joints, *joints), parts=(*old.parts, *parts)),
        accuracy=structs.replace(job.accuracy, points=(*points, *more)) if more else job.accuracy,
    )
