"""Edits where members meet: trimmed or extended to a face, mitred, butted, coped.

All of it is seen in plan; heights are left alone.
"""

import math
from collections.abc import Iterable

from msgspec import structs

from gridjig.geometry import Pose, unit
from gridjig.geometry.lines import Line, through
from gridjig.geometry.parts import mill_faces, part_edge, part_ring
from gridjig.model import EndCut, Job, Member, Part
from gridjig.model.endcut import MAX_CUT
from gridjig.model.stock import ROUNDS
from gridjig.rack import Point

from .members import DIGITS, End, cut_of, member_of, with_cut
from .things import part_of, title, with_part

_ANGLE_DIGITS = 9


def trim(job: Job, thing_id: str, to: str, face: int | None = None, end: End | None = None) -> Job:
    """Cut a member to a face of another part, or extend it to there.

    Without `face` it is the first long face that the member meets, coming from its other end;
    without `end` the end nearer to that part is cut.  ValueError in words if they do not meet.
    """
    member, other = member_of(job, thing_id), part_of(job, to)
    if thing_id == to:
        raise ValueError("a member is trimmed to another one; choose two")
    end = end or _near_end(member, _meeting(member, other))
    line = _met(job, member, end, other, face, first=True)
    return with_part(job, cut_along(member, end, line))


def cope(job: Job, thing_id: str, around: str, end: End | None = None) -> Job:
    """Cut a member's end to fit round a round tube or bar, both with their centres at one height.

    ValueError in words if the other is not round or too small, or the heights differ.
    """
    header = member_of(job, around)
    if header.section.kind not in ROUNDS:
        raise ValueError(f"{title(job, around)} is not round; trim the member to its face instead")
    member = member_of(job, thing_id)
    if abs((member.z_low + member.z_high) - (header.z_low + header.z_high)) > 2e-3:
        raise ValueError("a cope needs both centre lines at one height; set the height first")
    end = end or _near_end(member, _meeting(member, header))
    plain = member_of(trim(job, thing_id, around, end=end), thing_id)
    angle = cut_of(plain, end).angle
    return with_part(job, with_cut(plain, end, EndCut("cope", angle, header.width)))


def mitre(job: Job, one: str, other: str) -> Job:
    """Mitre two members where they meet: both are cut along the line from corner to corner.

    With different widths the two angles differ: tan a1 = (w2 + w1 cos J) / (w1 sin J) at the
    included angle J, plane geometry.  ValueError in words if they lie parallel or too sharp.
    """
    a, b, (end_a, end_b) = _corner(job, one, other)
    far_a, far_b = _far(a, end_a), _far(b, end_b)
    outer = _crossing(job, _face_away(a, far_b), _face_away(b, far_a), one, other)
    inner = _crossing(job, _face_towards(a, far_b), _face_towards(b, far_a), one, other)
    line = through(inner, outer)
    job = with_part(job, cut_along(a, end_a, line))
    return with_part(job, cut_along(b, end_b, line))


def butt(job: Job, running: str, butting: str) -> Job:
    """Butt two members at their corner: the first runs through to the far face of the second.

    The second ends at the near face of the first.  ValueError in words if they lie parallel.
    """
    a, b, (end_a, end_b) = _corner(job, running, butting)
    past = _met(job, a, end_a, b, None, first=False)
    near = _met(job, b, end_b, a, None, first=True)
    job = with_part(job, cut_along(a, end_a, past))
    return with_part(job, cut_along(b, end_b, near))


def centre_line(member: Member) -> Line:
    """The centre line of a member, from its start to its end."""
    return Line((member.x, member.y), unit(member.turn))


def end_point(member: Member, end: End) -> Point:
    """Where the centre line ends, on the table, mm."""
    return centre_line(member).place(0.0 if end == "start" else member.length)


def cut_along(member: Member, end: End, line: Line) -> Member:
    """The member with that end cut along a line on the table; the other end stays.

    ValueError in words if the line is too near to the member's own direction, or leaves nothing.
    """
    axis = centre_line(member)
    at = axis.meets(line)
    along = axis.along[0] * line.along[0] + axis.along[1] * line.along[1]
    across = axis.along[0] * line.along[1] - axis.along[1] * line.along[0]
    angle = math.degrees(math.atan2(along, across))
    if across < 0:
        angle = math.degrees(math.atan2(-along, -across))
    if at is None or abs(angle) > MAX_CUT:
        raise ValueError(
            f"{member.name or member.id} lies almost along that face; an end is cut at"
            f" {MAX_CUT:g} degrees at most"
        )
    angle = round(angle, _ANGLE_DIGITS) + 0.0
    if end == "start":
        angle = 0.0 - angle
    cut = EndCut("mitre", angle) if angle else EndCut()
    at = round(at, DIGITS) + 0.0
    length = at if end == "end" else round(member.length - at, DIGITS)
    if length <= 0:
        raise ValueError(
            f"nothing would be left of {member.name or member.id}; that face lies beyond its"
            " other end"
        )
    if end == "end":
        return structs.replace(member, length=length, end=cut)
    x, y = axis.place(at)
    return structs.replace(member, x=x, y=y, length=length, start=cut)


def face_lines(part: Part) -> tuple[Line, ...]:
    """The long faces of a member, or every side of a plate, as lines on the table."""
    return tuple(through(*part_edge(part, k)) for k in mill_faces(part))


def _met(job: Job, member: Member, end: End, other: Part, face: int | None, *, first: bool) -> Line:
    """The face of another part that the member meets first, or last, coming from its other end."""
    axis = centre_line(member)
    faces = face_lines(other) if face is None else (through(*part_edge(other, face)),)
    if isinstance(other, Member) or face is not None:
        crossed = [(at, line) for line in faces if (at := axis.meets(line)) is not None]
    else:
        crossed = list(_crossed_sides(axis, other))
    if end == "start":
        crossed = [(member.length - at, line) for at, line in crossed]
    ahead = [(at, line) for at, line in crossed if at > 10.0**-DIGITS]
    if not ahead:
        raise ValueError(
            f"{member.name or member.id} does not meet {title(job, other.id)}; they lie parallel"
            " or it points past it"
        )
    pick = min if first else max
    return pick(ahead, key=lambda pair: pair[0])[1]


def _crossed_sides(axis: Line, plate: Part) -> Iterable[tuple[float, Line]]:
    """The sides of a plate that the axis really crosses, and how far along it."""
    for k in mill_faces(plate):
        a, b = part_edge(plate, k)
        line = through(a, b)
        at = axis.meets(line)
        if at is not None and axis.off(a) * axis.off(b) <= 0:
            yield at, line


def _corner(job: Job, one: str, other: str) -> tuple[Member, Member, tuple[End, End]]:
    """Two members that make a corner, and which end of each lies there."""
    if one == other:
        raise ValueError("a corner is made of two members; choose two")
    a, b = member_of(job, one), member_of(job, other)
    line_a, line_b = centre_line(a), centre_line(b)
    at_a, at_b = line_a.meets(line_b), line_b.meets(line_a)
    if at_a is None or at_b is None:
        raise ValueError(
            f"{title(job, one)} and {title(job, other)} lie parallel; they make no corner"
        )
    place = line_a.place(at_a)
    return a, b, (_near_end(a, place), _near_end(b, place))


def _near_end(member: Member, place: Point) -> End:
    return "start" if centre_line(member).how_far(place) < member.length / 2.0 else "end"


def _far(member: Member, end: End) -> Point:
    return end_point(member, "end" if end == "start" else "start")


def _face_towards(member: Member, place: Point) -> Line:
    """The long face on the side of the centre line where the place lies."""
    half = member.width / 2.0
    return _beside(member, half if centre_line(member).off(place) > 0 else -half)


def _face_away(member: Member, place: Point) -> Line:
    half = member.width / 2.0
    return _beside(member, -half if centre_line(member).off(place) > 0 else half)


def _beside(member: Member, left: float) -> Line:
    axis = centre_line(member)
    return Line(Pose(member.x, member.y, member.turn).point((0.0, left)), axis.along)


def _crossing(job: Job, a: Line, b: Line, one: str, other: str) -> Point:
    at = a.meets(b)
    if at is None:
        raise ValueError(
            f"{title(job, one)} and {title(job, other)} lie parallel; they make no corner"
        )
    return a.place(at)


def _meeting(member: Member, other: Part) -> Point:
    """About where a member meets another part: the crossing of the centre lines, if there is one.

    For a plate, the middle of its corners.
    """
    if isinstance(other, Member):
        axis = centre_line(member)
        at = axis.meets(centre_line(other))
        return end_point(member, "end") if at is None else axis.place(at)
    xs, ys = zip(*part_ring(other), strict=True)
    return (sum(xs) / len(xs), sum(ys) / len(ys))
