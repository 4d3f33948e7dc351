"""Findings about what carries the parts of a weldment: in the air, on one spot, or about to tip."""

from collections.abc import Sequence

from gridjig.contact.carrying import Carried, carried, supports_of
from gridjig.contact.values import TOUCH, Contact, PartContact
from gridjig.model import Job, Part
from gridjig.model.titles import title
from gridjig.units import format_length
from gridjig.units.spelling import spelled

from .finding import Finding, told_apart

_STAYS = "Statics: what is carried stays only if its weight acts over its supports."


def carried_finding(
    job: Job, part: Part, own: Sequence[Contact], joined: Sequence[PartContact]
) -> Finding | None:
    """Find whether nothing carries a part, or it rocks on one support or tips.

    `own` are the contacts with it, `joined` those of parts.
    """
    if part.z_low <= TOUCH:
        return None
    return carried_as(job, part, carried(part, supports_of(part, own, joined)))


def carried_as(job: Job, part: Part, how: Carried, stacks: str = "") -> Finding | None:
    """Say how a part is carried badly; `stacks` are those that it needs, if they are known."""
    name, height = title(job, part.id), format_length(part.z_low, job.display)
    mark, where, ids = f"carried/{part.id}", how.centre, (part.id, *how.by)
    names = " and ".join(told_apart(job, one) for one in how.by[:2])
    names += f" and {len(how.by) - 2} more" if len(how.by) > 2 else ""
    match how.how:
        case "table" | "supports":
            return None
        case "nothing":
            what = f"Nothing supports {name}: it is {height} above the table."
            do = f"Put {stacks or f'risers of {height}'} under it, near both ends, or lower it."
            return Finding(
                mark, "height", "look", what, where, ids, do, part.z_low, 0.0, "mm", _STAYS
            )
        case "tips":
            by = format_length(how.off, job.display)
            what = f"{name} tips: its {spelled('centre')} of gravity is {by} outside {names}."
            do = f"Put {stacks or 'a support'} under the heavy end."
            return Finding(mark, "falls", "look", what, where, ids, do, how.off, 0.0, "mm", _STAYS)
        case "rocks":
            what = f"{name} rests on {names} alone and can rock."
            do = f"Put {stacks} under it as well." if stacks else "Put a second support under it."
            return Finding(mark, "height", "look", what, where, ids, do)
