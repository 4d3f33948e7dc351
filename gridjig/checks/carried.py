"""What carries the parts of a weldment: finds parts in the air, on one support, or about to tip.

A part that stands on the table is carried.  So is one that lies on rests or on other parts, if its
centre of gravity is over them and they support it at more than one spot.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from gridjig.contact.values import TOUCH, JobContacts
from gridjig.geometry import unit
from gridjig.geometry.part_mass import load
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Job, Part
from gridjig.model.titles import title
from gridjig.rack import Point
from gridjig.units import format_length

from .finding import Finding, told_apart

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

_SPOT = 0.5
"""A single support shorter than this fraction of the part is a spot that the part rocks on."""


class _Support(NamedTuple):
    id: str
    points: tuple[Point, ...]


def carried_findings(job: Job, found: JobContacts) -> Iterator[Finding]:
    """Find parts that nothing carries, that rock on one support or tip; none without pieces."""
    if not job.placements:
        return
    for part in job.parts:
        if part.z_low <= TOUCH:
            continue
        supports = list(_supports(part, found))
        finding = _of(job, part, supports)
        if finding is not None:
            yield finding


def _supports(part: Part, found: JobContacts) -> Iterator[_Support]:
    for contact in found.of_part(part.id):
        if contact.kind == "rest under" and contact.touches:
            x, y = contact.middle
            radius = contact.length / 2.0
            ring = (unit(step) for step in range(0, 360, 10))
            yield _Support(contact.piece, tuple((x + radius * c, y + radius * s) for c, s in ring))
    for one in found.parts:
        if one.kind == "on top" and one.normal is not None and part.id in (one.a, one.b):
            lower = one.a if one.normal[2] > 0.0 else one.b
            if lower != part.id:
                yield _Support(lower, one.points)


def _of(job: Job, part: Part, supports: Sequence[_Support]) -> Finding | None:
    name, height = title(job, part.id), format_length(part.z_low, job.display)
    centre = load(part)
    where = (centre.x, centre.y)
    ids = (part.id, *dict.fromkeys(one.id for one in supports))
    if not supports:
        what = f"Nothing supports {name}: it is {height} above the table."
        do = f"Put risers of {height} under it, near both ends, or lower it."
        return Finding(f"carried/{part.id}", "height", "look", what, where, ids, do)
    names = " and ".join(told_apart(job, one) for one in ids[1:3])
    names += f" and {len(ids) - 3} more" if len(ids) > 3 else ""
    off = _off(supports, where)
    if off > TOUCH:
        by = format_length(off, job.display)
        what = f"{name} tips: its centre of gravity is {by} outside {names}."
        do = "Put a support under the heavy end."
        return Finding(f"carried/{part.id}", "falls", "look", what, where, ids, do, off, 0.0, "mm")
    if len(supports) == 1 and _across(supports[0].points) < _SPOT * _across(part_ring(part)):
        what = f"{name} rests on {names} alone and can rock."
        do = "Put a second support under it."
        return Finding(f"carried/{part.id}", "height", "look", what, where, ids, do)
    return None


def _off(supports: Sequence[_Support], where: Point) -> float:
    """How far a point is outside the hull of some supports, mm."""
    import shapely  # noqa: PLC0415 - late: showing a table does not need it

    hull: BaseGeometry = shapely.MultiPoint([p for one in supports for p in one.points]).convex_hull
    return float(hull.distance(shapely.Point(where)))


def _across(points: Sequence[Point]) -> float:
    x0, y0, x1, y1 = bounds(points)
    return max(x1 - x0, y1 - y0)
