"""The order of findings: the worst first, and those of one level weldment by weldment."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from gridjig.model import Job
from gridjig.model.by_weldment import several

from .finding import LEVELS, Finding

if TYPE_CHECKING:
    from gridjig.contact.values import JobContacts


def worst_first(
    found: Sequence[Finding], weldments: Mapping[str, int] | None = None
) -> tuple[Finding, ...]:
    """Sort findings by level, those of one level by weldment; what is equal keeps its order.

    `weldments` says of parts and pieces which weldment they are of, by number; what is about none
    comes last.
    """
    level = {one: n for n, one in enumerate(LEVELS)}
    if not weldments:
        return tuple(sorted(found, key=lambda one: level[one.level]))
    last = max(weldments.values()) + 1

    def place(one: Finding) -> tuple[int, int]:
        return level[one.level], min([weldments.get(i, last) for i in one.ids], default=last)

    return tuple(sorted(found, key=place))


def weldment_numbers(job: Job, contacts: "JobContacts | None" = None) -> dict[str, int]:
    """Return the number of its weldment for each part, and for each piece that has contact with
    one, the first if it has several; empty if the job has only one weldment.
    """
    if not several(job):
        return {}
    number = {one.id: n for n, one in enumerate(job.weldments)}
    found = {part.id: number[part.weldment] for part in job.parts}
    for piece, own in contacts.pieces.items() if contacts is not None else ():
        touched = [found[one.part] for one in own.contacts if one.part in found]
        if touched:
            found[piece] = min(touched)
    return found
