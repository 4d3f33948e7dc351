"""New parts go into the weldment that is being worked on."""

from msgspec import structs

from gridjig.model import Job
from gridjig.model.changes import exchanged, renamed


def put_new_parts(before: Job, after: Job, weldment: str) -> Job:
    """The job after an edit, with the parts that the edit added put into this weldment.

    Parts stay where they are if the edit added their weldment along with them.
    """
    places = exchanged(before.parts, after.parts)
    if places is not None and not renamed(before.parts, after.parts, places):
        return after
    old = {one.id for one in before.weldments}
    added = {one.id for one in after.weldments} - old
    if not any(one.id == weldment for one in after.weldments):
        weldment = after.weldments[0].id
    known = {part.id for part in before.parts}
    strays = {
        part.id
        for part in after.parts
        if part.id not in known and part.weldment not in added and part.weldment != weldment
    }
    if not strays:
        return after
    return structs.replace(
        after,
        parts=tuple(
            structs.replace(part, weldment=weldment) if part.id in strays else part
            for part in after.parts
        ),
    )
