"""Edits of one member: drawing it by two points and a side, and setting its sizes.

For corners and trims see `joining`, for copies `copies`, for distances between faces `dimensions`.
"""

import math
from typing import Literal

from msgspec import structs

from gridjig.geometry import Pose, unit, wrap
from gridjig.geometry.lines import Line
from gridjig.model import EndCut, Job, Member, Section, WayUp
from gridjig.model.endcut import CutSide
from gridjig.rack import Point

from .lookup import part_of, with_part
from .parts import add_part

End = Literal["start", "end"]
FixedPoint = Literal["start", "end", "middle"]
Over = Literal["centre line", "long point", "short point"]
Hold = Literal["left", "centre", "right"]

_ON_LINE: dict[Hold, Hold] = {"left": "right", "centre": "centre", "right": "left"}
"""The face or line of a member that is on the line it is drawn along, by the side it lies on."""

# Rounds off the binary noise of sums of typed lengths; a nanometre is far below any real size.
DIGITS = 6


def member_of(job: Job, thing_id: str) -> Member:
    """The member with that id.  Raises KeyError if there is none, ValueError if it is a plate."""
    found = part_of(job, thing_id)
    if isinstance(found, Member):
        return found
    raise ValueError(f"{found.name or thing_id} is a plate, not a member; choose a member")


def between(
    thing_id: str,
    name: str,
    section: Section,
    a: Point,
    b: Point,
    *,
    lies: Hold = "centre",
    z_low: float = 0.0,
    way_up: WayUp = 0,
    mirrored: bool = False,
) -> Member:
    """A member with square ends from point to point, mm.

    `lies` is its side of the line, looking from `a` to `b`: "left" puts its right face on the line,
    "centre" its centre line.  Raises ValueError if the points are the same.
    """
    length = round(math.dist(a, b), DIGITS)
    if length == 0:
        raise ValueError("a member needs two different points")
    made = Member(
        id=thing_id,
        name=name,
        section=section,
        length=length,
        way_up=way_up,
        mirrored=mirrored and section.handed,
        z_low=z_low,
        turn=direction(a, b),
        line_kept=_ON_LINE[lies],
    )
    aside = {"left": made.width / 2.0, "centre": 0.0, "right": -made.width / 2.0}[lies]
    x, y = Pose(a[0], a[1], made.turn).point((0.0, aside))
    return structs.replace(made, x=x, y=y)


def direction(a: Point, b: Point) -> float:
    """The direction from one point to another, degrees, exact at quarter turns."""
    return wrap(round(math.degrees(math.atan2(b[1] - a[1], b[0] - a[0])), 12))


def add(job: Job, member: Member) -> Job:
    """Add a member.  Raises ValueError if its id is taken."""
    return add_part(job, member)


def set_length(
    job: Job, thing_id: str, length: float, keep: FixedPoint = "start", over: Over = "centre line"
) -> Job:
    """Set the length of a member, mm; the end named by `keep` (or its middle) stays in place.

    `over` is what the length is measured over.  Raises ValueError if the cuts leave nothing.
    """
    old = member_of(job, thing_id)
    current = {
        "centre line": old.length,
        "long point": old.long_point,
        "short point": old.short_point,
    }[over]
    more = round(length - current, DIGITS)
    if old.length + more <= 0:
        raise ValueError("the length must be greater than 0")
    back = {"start": 0.0, "end": more, "middle": more / 2.0}[keep]
    x, y = Pose(old.x, old.y, old.turn).point((-back, 0.0))
    return with_part(job, structs.replace(old, length=old.length + more, x=x, y=y))


def set_line(job: Job, thing_id: str, line: Hold) -> Job:
    """Set which line of a member stays in place when its section or way up changes."""
    return with_part(job, structs.replace(member_of(job, thing_id), line_kept=line))


def set_section(job: Job, thing_id: str, section: Section, hold: Hold | None = None) -> Job:
    """Change the stock of a member.  The face or line named by `hold`, or else its own, stays.

    Measured sizes are dropped, as it is another bar.
    """
    old = member_of(job, thing_id)
    new = structs.replace(
        old,
        section=section,
        mirrored=old.mirrored and section.handed,
        measured=(0.0, 0.0) if section != old.section else old.measured,
    )
    return with_part(job, held(old, new, hold))


def set_way_up(
    job: Job,
    thing_id: str,
    way_up: WayUp,
    *,
    mirrored: bool | None = None,
    hold: Hold | None = None,
) -> Job:
    """Set a member's way up and, for an angle or channel, its hand.

    The face or line named by `hold`, or else the member's own, stays in place.
    """
    old = member_of(job, thing_id)
    hand = old.mirrored if mirrored is None else mirrored and old.section.handed
    return with_part(job, held(old, structs.replace(old, way_up=way_up, mirrored=hand), hold))


def set_measured(
    job: Job, thing_id: str, width: float, height: float, hold: Hold | None = None
) -> Job:
    """Set the measured width and height of the bar, mm; 0 means the listed size."""
    old = member_of(job, thing_id)
    return with_part(job, held(old, structs.replace(old, measured=(width, height)), hold))


def set_z(job: Job, thing_id: str, z_low: float) -> Job:
    """Put the underside of a member at that height above the table, mm."""
    return with_part(job, structs.replace(member_of(job, thing_id), z_low=z_low))


def set_cut(job: Job, thing_id: str, end: End, cut: EndCut) -> Job:
    """Change how one end of a member is cut; its length along the centre line stays."""
    return with_part(job, with_cut(member_of(job, thing_id), end, cut))


def notch(job: Job, thing_id: str, end: End, side: CutSide, along: float, across: float) -> Job:
    """Notch a corner of one end, `along` the member and `across` it, mm.

    Raises ValueError if the notch takes the whole end, or the end is not cut square.
    """
    old = member_of(job, thing_id)
    if cut_of(old, end).kind not in ("square", "notch"):
        raise ValueError("only a square end can be notched; cut the end square first")
    if along >= old.length:
        raise ValueError("the notch is longer than the member")
    return set_cut(job, thing_id, end, EndCut("notch", 0.0, 0.0, along, across, side))


def cut_of(member: Member, end: End) -> EndCut:
    """How that end is cut."""
    return member.start if end == "start" else member.end


def with_cut(member: Member, end: End, cut: EndCut) -> Member:
    """The member with that cut at that end."""
    if end == "start":
        return structs.replace(member, start=cut)
    return structs.replace(member, end=cut)


def centre_line(member: Member) -> Line:
    """The centre line of a member, from its start to its end."""
    return Line((member.x, member.y), unit(member.turn))


def held(old: Member, new: Member, hold: Hold | None) -> Member:
    """The changed member, moved sideways so that the face named by `hold`, or its own, stays."""
    wider = (new.width - old.width) / 2.0
    aside = {"left": -wider, "centre": 0.0, "right": wider}[hold or old.line_kept]
    x, y = Pose(old.x, old.y, old.turn).point((0.0, aside))
    return structs.replace(new, x=x, y=y)
