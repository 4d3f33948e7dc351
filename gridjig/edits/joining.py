"""Edits where members meet: trim or extend to a face, mitre, butt, cope.

All in plan; heights stay.  Only parts of one weldment are joined.
"""

from collections.abc import Iterable, Sequence
from math import dist
from typing import TypeAlias

from msgspec import structs

from gridjig.geometry import Pose, unit
from gridjig.geometry.lines import Line, through
from gridjig.geometry.part_outline import mill_faces, part_edge, part_ring
from gridjig.model import EndCut, Job, Member, Part
from gridjig.model.endcut import CutSide
from gridjig.model.stock import ROUNDS
from gridjig.model.titles import part_name, weldment_title
from gridjig.rack import Point
from gridjig.units.spelling import spelled

from .ends import added, cut_on, with_cuts
from .lookup import part_of, with_part
from .members import DIGITS, End, centre_line, member_of

Ends: TypeAlias = tuple[End, End]
_ENDS: tuple[End, ...] = ("start", "end")
_STILL = 1e-6
"""An end that is nearer than this to where it was, mm, has not been moved."""


class OtherEndInsideError(ValueError):
    """The end of a member that was not meant is inside the part it is to meet."""


def trim(job: Job, thing_id: str, to: str, face: int | None = None, end: End | None = None) -> Job:
    """Trim a member to a face of another part, or extend it to there; see `trimmed`."""
    if thing_id == to:
        raise ValueError("a member is trimmed to another part; choose two")
    _require_one_weldment(job, thing_id, to)
    return with_part(job, trimmed(member_of(job, thing_id), part_of(job, to), face, end, job.parts))


def cope(job: Job, thing_id: str, around: str, end: End | None = None) -> Job:
    """Cut a member's end to fit around a round tube or bar; see `coped`."""
    if thing_id == around:
        raise ValueError("a member is coped to another member; choose two")
    _require_one_weldment(job, thing_id, around)
    return with_part(job, coped(member_of(job, thing_id), member_of(job, around), end, job.parts))


def mitre(job: Job, one: str, other: str, ends: Ends | None = None) -> Job:
    """Mitre two members where they meet; see `mitred`."""
    if one == other:
        raise ValueError("a corner is made of two members; choose two")
    _require_one_weldment(job, one, other)
    for made in mitred(member_of(job, one), member_of(job, other), ends):
        job = with_part(job, made)
    return job


def butt(job: Job, running: str, butting: str, ends: Ends | None = None) -> Job:
    """Butt two members at their corner, the first running through; see `butted`."""
    if running == butting:
        raise ValueError("a corner is made of two members; choose two")
    _require_one_weldment(job, running, butting)
    for made in butted(member_of(job, running), member_of(job, butting), ends):
        job = with_part(job, made)
    return job


def _require_one_weldment(job: Job, one: str, other: str) -> None:
    """Raises ValueError for parts of two weldments: those are not welded to one another."""
    a, b = part_of(job, one), part_of(job, other)
    if a.weldment != b.weldment:
        of = " and ".join(weldment_title(job, part.weldment) for part in (a, b))
        raise ValueError(
            f"{_called(a)} and {_called(b)} are parts of two weldments, {of}; to join them, put"
            " both into one weldment first"
        )


def trimmed(
    member: Member,
    other: Part,
    face: int | None = None,
    end: End | None = None,
    parts: Sequence[Part] = (),
) -> Member:
    """The member trimmed at a face of another part, or extended to there.

    Cuts of that end that lie against another of the `parts` stay; see `ends.added`.
    By default `face` is the first long face that the member meets from its other end, and `end` is
    the end nearer to that part.  If only the end that was not meant is inside the part, that end is
    trimmed.  Raises ValueError if they do not meet.
    """
    end, line = _meets_at(member, other, face, end)
    return added(member, end, cut_on(member, end, line), other, parts)


def coped(
    member: Member, header: Member, end: End | None = None, parts: Sequence[Part] = ()
) -> Member:
    """The member with an end coped to a round member, both centres at the same height.

    Cuts of that end that lie against another of the `parts` stay.
    Raises ValueError if the other is not round, is too small, or is at another height.
    """
    if header.section.kind not in ROUNDS:
        raise ValueError(f"{_called(header)} is not round; trim the member to its face instead")
    if abs((member.z_low + member.z_high) - (header.z_low + header.z_high)) > 2e-3:
        raise ValueError(
            spelled("a cope needs both centre lines at the same height; set the height first")
        )
    end, line = _meets_at(member, header, None, end)
    plain = cut_on(member, end, line)
    cope = EndCut("cope", plain.angle, header.width)
    return added(member, end, structs.replace(plain, shape=cope), header, parts)


def mitred(one: Member, other: Member, ends: Ends | None = None) -> tuple[Member, Member]:
    """Both members mitred: cut along the line from inner to outer corner where they meet.

    By default `ends` are the ends nearer to where the centre lines cross.  With different widths
    the two angles differ: tan a1 = (w2 + w1 cos J) / (w1 sin J) at the included angle J, plane
    geometry.  Raises ValueError if they are parallel or the angle is too sharp.
    """
    end_a, end_b = _corner(one, other, ends)
    far_a, far_b = _far(one, end_a), _far(other, end_b)
    outer = _crossing(_face(one, far_b, away=True), _face(other, far_a, away=True))
    inner = _crossing(_face(one, far_b, away=False), _face(other, far_a, away=False))
    line = through(inner, outer)
    return cut_along(one, end_a, line), cut_along(other, end_b, line)


def corners_of(members: Sequence[Member]) -> list[tuple[tuple[str, End], tuple[str, End]]]:
    """The corners that members make: pairs of ends no further apart than both are wide, not one
    over the other, and neither running past the other.  Each end is in one corner, with the nearest
    other end.
    """
    ends = [(one, end, end_point(one, end)) for one in members for end in _ENDS]
    near = sorted(
        (dist(p, q), k, n)
        for k, (one, at, p) in enumerate(ends)
        for n, (other, there, q) in enumerate(ends[:k])
        if one is not other
        and dist(p, q) <= one.width + other.width
        and one.z_low < other.z_high
        and other.z_low < one.z_high
        and not _runs_past(one, at, other)
        and not _runs_past(other, there, one)
    )
    found, used = [], set[int]()
    for _, k, n in near:
        if not used & {k, n}:
            used |= {k, n}
            found.append(((ends[n][0].id, ends[n][1]), (ends[k][0].id, ends[k][1])))
    return sorted(found)


def _runs_past(member: Member, end: End, other: Member) -> bool:
    """True if a member's end is past the other's centre line by more than the other is wide there.

    The other then branches off it, and a mitre would cut away what runs on.
    """
    axis = centre_line(member)
    at = axis.meets(centre_line(other))
    low, high = (axis.meets(face_line(other, side)) for side in ("left", "right"))
    if at is None or low is None or high is None:
        return False
    past = member.length - at if end == "end" else at
    return past > abs(high - low)


def butted(running: Member, butting: Member, ends: Ends | None = None) -> tuple[Member, Member]:
    """A butted corner: the first member runs to the far face of the second, which ends at its near
    face.

    By default `ends` are the ends nearer to where the centre lines cross.  Raises ValueError if
    they are parallel.
    """
    end_a, end_b = _corner(running, butting, ends)
    past = _met(running, end_a, butting, first=False)
    near = _met(butting, end_b, running)
    return cut_along(running, end_a, past), cut_along(butting, end_b, near)


def end_point(member: Member, end: End) -> Point:
    """The end of the centre line on the table, mm."""
    return centre_line(member).place(0.0 if end == "start" else member.length)


def changed_end(before: Member, after: Member) -> End | None:
    """The end at which a joint has changed a member; None if it is as it was."""
    for end in _ENDS:
        moved = dist(end_point(before, end), end_point(after, end)) > _STILL
        if moved or getattr(before, end) != getattr(after, end):
            return end
    return None


def cut_along(member: Member, end: End, line: Line) -> Member:
    """The member with that end cut along a line on the table; the other end stays.

    Raises ValueError if the line is too close to the member's direction, or leaves nothing.
    """
    return with_cuts(member, end, [cut_on(member, end, line)])


def face_line(member: Member, side: CutSide) -> Line:
    """A long face of a member, left or right from start to end, as a line on the table."""
    half = member.width / 2.0
    at = Pose(member.x, member.y, member.turn).point((0.0, half if side == "left" else -half))
    return Line(at, unit(member.turn))


def face_lines(part: Part) -> tuple[Line, ...]:
    """The long faces of a member, or every side of a plate, as lines on the table."""
    return tuple(through(*part_edge(part, k)) for k in mill_faces(part))


def _meets_at(member: Member, other: Part, face: int | None, end: End | None) -> tuple[End, Line]:
    """The end to cut and the face it is cut at: the end inside the part, if only one is."""
    end = end or _near_end(member, _meeting(member, other))
    try:
        return end, _met(member, end, other, face)
    except OtherEndInsideError:
        end = "end" if end == "start" else "start"
        return end, _met(member, end, other, face)


def _met(
    member: Member, end: End, other: Part, face: int | None = None, *, first: bool = True
) -> Line:
    """The face of another part that the member meets first, or last, from its other end."""
    axis = centre_line(member)
    if isinstance(other, Member) or face is not None:
        faces = face_lines(other) if face is None else (through(*part_edge(other, face)),)
        crossed = [(at, line) for line in faces if (at := axis.meets(line)) is not None]
    else:
        crossed = list(_crossed_sides(axis, other))
    if end == "start":
        crossed = [(member.length - at, line) for at, line in crossed]
    ahead = [(at, line) for at, line in crossed if at > 10.0**-DIGITS]
    if isinstance(other, Member) and face is None and len(ahead) == 1:
        raise OtherEndInsideError(
            f"the other end of {_called(member)} is inside {_called(other)}; move it out first"
        )
    if not ahead:
        raise ValueError(
            f"{_called(member)} does not meet {_called(other)}; they are parallel or it points"
            " past it"
        )
    pick = min if first else max
    return pick(ahead, key=lambda pair: pair[0])[1]


def _crossed_sides(axis: Line, plate: Part) -> Iterable[tuple[float, Line]]:
    """The sides of a plate that the axis actually crosses, and the positions along the axis."""
    for k in mill_faces(plate):
        a, b = part_edge(plate, k)
        line = through(a, b)
        at = axis.meets(line)
        if at is not None and axis.off(a) * axis.off(b) <= 0:
            yield at, line


def _corner(one: Member, other: Member, ends: Ends | None) -> Ends:
    """The end of each of two members at the corner they make."""
    axis = centre_line(one)
    at = axis.meets(centre_line(other))
    if at is None:
        raise ValueError(
            f"{_called(one)} and {_called(other)} are parallel, so they form no corner"
        )
    place = axis.place(at)
    return ends or (_near_end(one, place), _near_end(other, place))


def _near_end(member: Member, place: Point) -> End:
    return "start" if centre_line(member).how_far(place) < member.length / 2.0 else "end"


def _far(member: Member, end: End) -> Point:
    return end_point(member, "end" if end == "start" else "start")


def _face(member: Member, place: Point, *, away: bool) -> Line:
    """The long face on the same side of the centre line as a point, or the one away from it."""
    left = (centre_line(member).off(place) > 0) is not away
    return face_line(member, "left" if left else "right")


def _crossing(a: Line, b: Line) -> Point:
    """Where two lines cross; they must not be parallel."""
    at = a.meets(b)
    assert at is not None
    return a.place(at)


def _meeting(member: Member, other: Part) -> Point:
    """Roughly where a member meets another part: where their centre lines cross, if they do.

    For a plate, the middle of its corners.
    """
    if isinstance(other, Member):
        axis = centre_line(member)
        at = axis.meets(centre_line(other))
        return end_point(member, "end") if at is None else axis.place(at)
    xs, ys = zip(*part_ring(other), strict=True)
    return (sum(xs) / len(xs), sum(ys) / len(ys))


def _called(part: Part) -> str:
    return part_name(part)
