"""Edits of the list of weldments: new, renamed, deleted, duplicated; parts moved between them."""

from collections.abc import Callable, Iterable, Mapping, Set

from msgspec import structs

from gridjig.model import Datum, FaceOf, Job, Part, Weldment
from gridjig.model.by_weldment import parts_of, several, weldment_of
from gridjig.model.titles import weldment_title

from .lookup import new_id, with_copied_welds, with_datums, with_weldment
from .selection import remove


def new_weldment_id(job: Job) -> str:
    """The first free id for a weldment."""
    used = {one.id for one in job.weldments}
    number = 1
    while f"weldment-{number}" in used:
        number += 1
    return f"weldment-{number}"


def add_weldment(job: Job, name: str = "") -> tuple[Job, str]:
    """Add an empty weldment; also returns its id.  Raises ValueError if the name is taken."""
    _require_free(job, name)
    made = Weldment(id=new_weldment_id(job), name=name.strip())
    return structs.replace(job, weldments=(*job.weldments, made)), made.id


def rename_weldment(job: Job, weldment: str, name: str) -> Job:
    """Name a weldment; an empty name calls it by its number.  Raises ValueError if it is taken."""
    _require_free(job, name, weldment)
    return with_weldment(job, structs.replace(weldment_of(job, weldment), name=name.strip()))


def set_quantity(job: Job, weldment: str, quantity: int) -> Job:
    """Set how many of a weldment the job makes."""
    return with_weldment(job, structs.replace(weldment_of(job, weldment), quantity=quantity))


def set_weldment_drawing(job: Job, weldment: str, drawing: str) -> Job:
    """Set the drawing number of a weldment."""
    return with_weldment(job, structs.replace(weldment_of(job, weldment), drawing=drawing))


def set_weldment_note(job: Job, weldment: str, note: str) -> Job:
    """Set the note of a weldment."""
    return with_weldment(job, structs.replace(weldment_of(job, weldment), note=note))


def set_hand(job: Job, weldment: str, opposite_of: str | None) -> Job:
    """Say which weldment this one is the opposite hand of; None means that it is as drawn.

    Raises ValueError if that would make a weldment the opposite hand of itself in the end.
    """
    at = opposite_of
    while at is not None:
        if at == weldment:
            raise ValueError(
                f"{weldment_title(job, weldment)} would in the end be the opposite hand of itself;"
                " one of them has to be as drawn"
            )
        at = weldment_of(job, at).opposite_of
    return with_weldment(job, structs.replace(weldment_of(job, weldment), opposite_of=opposite_of))


def remove_weldment(job: Job, weldment: str) -> Job:
    """Delete a weldment with its parts.  Its opposite hands are as drawn from then on.

    Raises ValueError if it is the only one: a job builds something.
    """
    weldment_of(job, weldment)
    if not several(job):
        raise ValueError("this is the only weldment; select its parts to delete them")
    left = remove(job, {part.id for part in parts_of(job, weldment)})
    return structs.replace(
        left,
        weldments=tuple(
            structs.replace(one, opposite_of=None) if one.opposite_of == weldment else one
            for one in left.weldments
            if one.id != weldment
        ),
    )


def move_parts(job: Job, ids: Set[str], weldment: str) -> Job:
    """Put these parts into another weldment, where they lie.  Other ids are ignored.

    Datum faces of the weldments that they leave go back to the proposed ones.
    """
    weldment_of(job, weldment)
    moving = {p.id for p in job.parts if p.id in ids and p.weldment != weldment}
    if not moving:
        return job
    return structs.replace(
        job,
        parts=tuple(
            structs.replace(part, weldment=weldment) if part.id in moving else part
            for part in job.parts
        ),
        weldments=with_datums(job.weldments, lambda face: None if face.part in moving else face),
    )


def copy_weldment(
    job: Job,
    weldment: str,
    change: Callable[[Part], Part],
    face: Callable[[FaceOf], FaceOf] = lambda face: face,
    *,
    hand: bool = False,
    name: str | None = None,
) -> tuple[Job, str, Mapping[str, str]]:
    """Add a weldment with changed copies of the parts of another, their welds and chosen faces.

    `face` is the face of the changed original that a chosen face becomes; with `hand` the new one
    is the opposite hand.  Also returns its id, and the ids of the copies by those of the originals.
    Raises ValueError if there are no parts.
    """
    one, parts = weldment_of(job, weldment), parts_of(job, weldment)
    if not parts:
        raise ValueError(f"{weldment_title(job, weldment)} has no part yet; draw a member first")
    fresh = new_weldment_id(job)
    copies: dict[str, str] = {}
    made: list[Part] = []
    for part in parts:
        copies[part.id] = new_id(job, part.id, copies.values())
        made.append(structs.replace(change(part), id=copies[part.id], weldment=fresh))

    def followed(chosen: FaceOf | None) -> FaceOf | None:
        if chosen is None or chosen.part not in copies:
            return None
        return FaceOf(copies[chosen.part], face(chosen).side)

    new = structs.replace(
        one,
        id=fresh,
        name=free_name(job, name if name is not None else one.name),
        opposite_of=weldment if hand else one.opposite_of,
        datum=Datum(long=followed(one.datum.long), end=followed(one.datum.end)),
    )
    critical = [f for f in map(followed, job.critical) if f is not None]
    welded = with_copied_welds(job, copies)
    return (
        structs.replace(
            welded,
            weldments=(*job.weldments, new),
            parts=(*job.parts, *made),
            critical=(*job.critical, *critical),
        ),
        fresh,
        copies,
    )


def free_name(job: Job, wanted: str) -> str:
    """The wanted name, or with the first number that makes it a new one; "" stays empty."""
    taken = {one.name for one in job.weldments}
    if not wanted or wanted not in taken:
        return wanted
    number = 2
    while f"{wanted} {number}" in taken:
        number += 1
    return f"{wanted} {number}"


def other_hand_name(name: str) -> str:
    """What the opposite hand of a weldment is called: left and right, LH and RH change places.

    A name without a hand gets the words; an empty name stays empty.
    """
    for one, other in _HANDS:
        words = name.split(" ")
        for old, new in ((one, other), (other, one)):
            if old in words:
                return " ".join(new if word == old else word for word in words)
    return f"{name}, opposite hand" if name else ""


_HANDS = (("LH", "RH"), ("Left", "Right"), ("left", "right"), ("L.H.", "R.H."))


def whole_weldments(job: Job, ids: Iterable[str]) -> tuple[str, ...]:
    """The weldments all of whose parts are among these ids, in job order."""
    chosen = frozenset(ids)
    return tuple(
        one.id
        for one in job.weldments
        if (parts := parts_of(job, one.id)) and all(part.id in chosen for part in parts)
    )


def _require_free(job: Job, name: str, but: str = "") -> None:
    name = name.strip()
    if name and any(one.name == name and one.id != but for one in job.weldments):
        raise ValueError(f"{name} is the name of another weldment; choose another name")
