"""What is said of members that are cut too long or too short where they meet others.

Of two bars at a butted corner one runs through and the other goes between: both cut to the outside
size overlap there, both cut to the inside size do not meet.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

import shapely

from gridjig.contact.shapes import placed_part
from gridjig.geometry import Pose
from gridjig.geometry.shapes import polygon
from gridjig.model import Job, Member, Part
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.solve.weldment.joints import Joint, joints
from gridjig.solve.weldment.meeting import GAP
from gridjig.units import format_length, format_measure
from gridjig.units.progress import look
from gridjig.units.spelling import spelled

from .finding import Finding, told_apart
from .remembered import collected

NEAR = 25.4
"""An end this near to a part, or nearer than the member is wide, is meant to meet it, mm."""

_SOURCE = "Common practice: a root gap up to 1/8 in still makes a joint."


class ShortEnd(NamedTuple):
    """An end of a member that stops `by` mm short of another part, at a point of the table."""

    member: str
    other: str
    end: Literal["start", "end"]
    at: Point
    by: float


@collected
def short_ends(job: Job) -> Iterator[Finding]:
    """Ends of members that nothing is joined to, and that nearly reach another part."""
    if len(job.parts) < 2:
        return
    for one in _short_ends(Same(job.parts), Same(joints(job.parts))):
        name, other = told_apart(job, one.member), told_apart(job, one.other)
        by = format_measure(one.by, job.display)
        yield Finding(
            f"apart/{one.member}/{one.end}/{one.other}",
            "gap",
            "look",
            f"{name} stops {by} short of {other}: they make no joint there.",
            one.at,
            (one.member, one.other),
            f"If they are welded together, cut {name} {by} longer, or move it.",
            one.by,
            GAP,
            "mm",
            _SOURCE,
        )


@lru_cache(maxsize=8)
def _short_ends(those: Same[tuple[Part, ...]], met: Same[Sequence[Joint]]) -> tuple[ShortEnd, ...]:
    parts = those.value
    at_end: set[tuple[str, str]] = set()
    by_id = {part.id: part for part in parts}
    together: set[frozenset[str]] = set()
    for joint in met.value:
        together.add(frozenset((joint.a, joint.b)))
        for name in (joint.a, joint.b):
            part = by_id[name]
            if isinstance(part, Member):
                at_end.update((name, end) for end in _ends_at(part, joint.place))
    free = [
        (part, end)
        for part in parts
        if isinstance(part, Member)
        for end in _ENDS
        if (part.id, end) not in at_end
    ]
    if not free:
        return ()
    plans = [polygon(placed_part(part).points) for part in parts]
    tree = shapely.STRtree(plans)
    found = []
    for member, end in free:
        look()
        start, far = _ray(member, end)
        ray = shapely.LineString([start, far])
        best: ShortEnd | None = None
        for k in tree.query(ray, predicate="intersects").tolist():
            other = parts[k]
            if not _could_meet(member, other) or frozenset((member.id, other.id)) in together:
                continue
            by = float(shapely.distance(shapely.Point(start), plans[k]))
            if by > GAP and (best is None or by < best.by):
                best = ShortEnd(member.id, other.id, end, start, by)
        if best is not None:
            found.append(best)
    return tuple(found)


_ENDS: tuple[Literal["start", "end"], ...] = ("start", "end")


def _ends_at(member: Member, place: Point) -> Iterator[str]:
    """The ends of a member that a place is at: no further along it than the member is wide."""
    along, _ = Pose(member.x, member.y, member.turn).back(place)
    if along < member.width:
        yield "start"
    if along > member.length - member.width:
        yield "end"


def _ray(member: Member, end: Literal["start", "end"]) -> tuple[Point, Point]:
    """From the middle of an end outwards, as far as something there is near."""
    frame = Pose(member.x, member.y, member.turn)
    reach = max(NEAR, member.width)
    along, way = (member.length, 1.0) if end == "end" else (0.0, -1.0)
    return frame.point((along, 0.0)), frame.point((along + way * reach, 0.0))


def _could_meet(member: Member, other: Part) -> bool:
    """True for another part of the same weldment at the same height."""
    return (
        other.id != member.id
        and other.weldment == member.weldment
        and min(member.z_high, other.z_high) - max(member.z_low, other.z_low) > GAP
    )


def both_run_through(job: Job, one: Part, other: Part, where: Point, depth: float) -> str:
    """What to do where two members overlap at an end of both; empty if they do not.

    `depth` is how far they overlap, mm.
    """
    if not (isinstance(one, Member) and isinstance(other, Member)):
        return ""
    if not (list(_ends_at(one, where)) and list(_ends_at(other, where))):
        return ""
    a, b = told_apart(job, one.id), told_apart(job, other.id)
    by, left = (format_length(mm, job.display) for mm in (depth, other.length - depth))
    return (
        f"Only one can run through that corner: cut {b} {by} shorter there, to {left}, or {a}"
        f" instead, or {spelled('mitre')} both."
    )
