"""Edits of the list of weldments: new, renamed, deleted, duplicated; parts moved between them."""

from collections.abc import Callable, Mapping, Set

from msgspec import structs

from gridjig.model import Job, Part, Weldment
from gridjig.model.by_weldment import parts_of, several, weldment_of
from gridjig.model.titles import weldment_title

from .copied_weldments import Faces, copied, copied_critical, new_weldment_id, same_face
from .lookup import new_id, with_copied_welds, with_datums, with_weldment
from .selection import remove


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
    face: Faces = same_face,
    *,
    hand: bool = False,
) -> tuple[Job, str, Mapping[str, str]]:
    """Add a weldment with changed copies of the parts of another, their welds and chosen faces.

    With `hand` the new one is the opposite hand.  Also returns its id, and the ids of the copies by
    those of the originals.  Raises ValueError if there are no parts.
    """
    one, parts = weldment_of(job, weldment), parts_of(job, weldment)
    if not parts:
        raise ValueError(f"{weldment_title(job, weldment)} has no part yet; draw a member first")
    copies: dict[str, str] = {}
    for part in parts:
        copies[part.id] = new_id(job, part.id, copies.values())
    new = copied(job, one, copies, face, hand=hand)
    made = (structs.replace(change(part), id=copies[part.id], weldment=new.id) for part in parts)
    return (
        structs.replace(
            with_copied_welds(job, copies),
            weldments=(*job.weldments, new),
            parts=(*job.parts, *made),
            critical=copied_critical(job, copies, face),
        ),
        new.id,
        copies,
    )


def _require_free(job: Job, name: str, but: str = "") -> None:
    name = name.strip()
    if name and any(one.name == name and one.id != but for one in job.weldments):
        raise ValueError(f"{name} is the name of another weldment; choose another name")
