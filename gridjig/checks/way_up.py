"""Checks for a way up that is not possible: it needs more riser height than the rack has."""

from msgspec import Struct

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.model.by_weldment import only
from gridjig.model.titles import title, weldment_title
from gridjig.rack import Point
from gridjig.units import format_length


class TooHigh(Struct, frozen=True):
    """What is wrong, where, with which parts, and what to do about it; the sums of the heights, mm,
    that it needs and that the rack has.
    """

    what: str
    where: Point
    ids: tuple[str, ...]
    do: str
    needed: float
    owned: float


def too_high(job: Job) -> TooHigh | None:
    """Return the parts of a weldment that no choice of risers can hold up; None if none are."""
    found = (_too_high(only(job, one.id)) for one in job.weldments)
    return next(filter(None, found), None)


def _too_high(job: Job) -> TooHigh | None:
    if len({part.z_low for part in job.parts}) < 2:
        return None
    from gridjig.solve.layout.ways_up import ways_up  # noqa: PLC0415 - only if parts are raised

    up, down = sorted(ways_up(job), key=lambda way: way.face_down)
    if not up.never:
        return None
    needed, owned = (format_length(v, job.display) for v in (up.height_needed, up.height_owned))
    ids = tuple(one.part for one in up.raised)
    names = " and ".join(title(job, one) for one in ids[:2])
    more = f" and {len(ids) - 2} more" if len(ids) > 2 else ""
    do = "Lower the parts, or add risers to the rack."
    if down.can_be:
        then = "the rack has enough risers for that" if down.raised else "it then needs no risers"
        do = f"Turn it face down (Work, Way up): {then}."
    called = weldment_title(job, job.weldments[0].id)
    return TooHigh(
        f"As placed, {called} needs {needed} of risers and the rack has {owned}: {names}{more}"
        f" cannot {'all ' if len(ids) > 1 else ''}be supported.",
        next(part_ring(part)[0] for part in job.parts if part.id == ids[0]),
        ids,
        do,
        up.height_needed,
        up.height_owned,
    )
