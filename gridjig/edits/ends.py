"""The cuts of one end of a member: adding one, replacing one, removing one.

An end keeps every cut that still lies against some part.  Which part a cut is for is never stored:
it is the one that the cut end touches.
"""

import math
from collections.abc import Iterable, Iterator, Sequence

from msgspec import Struct, structs

from gridjig.geometry import Pose
from gridjig.geometry.lines import Line, through
from gridjig.geometry.part_outline import part_ring
from gridjig.model import EndCut, Job, Member, Part, SawCut
from gridjig.model.endcut import MAX_CUT, MOST_MORE
from gridjig.model.titles import part_name
from gridjig.units import format_angle

from .lookup import with_part
from .members import DIGITS, End, centre_line, cut_of, member_of, with_cut

_ANGLE_DIGITS = 9
_TOUCH = 0.05
"""How far off a face a cut end may be and still lie against it, mm: half the last digit shown."""
_LEAST = 1.0
"""The shortest contact that counts, mm; of a shorter cut, half of it."""
_TAKES = 0.01
"""A cut that takes off less than this anywhere is none, mm."""


class Cut(Struct, frozen=True):
    """One cut of an end: where it crosses the centre line, from the start in mm, and its angle.

    `shape` is the cope or the notch that it is, None for a saw cut.
    """

    at: float
    angle: float
    shape: EndCut | None = None


def cuts_of(member: Member, end: End) -> tuple[Cut, ...]:
    """The cuts of an end, the first one first."""
    cut = cut_of(member, end)
    nominal, out = (0.0, -1.0) if end == "start" else (member.length, 1.0)
    shape = structs.replace(cut, more=()) if cut.kind in ("cope", "notch") else None
    first = Cut(nominal, cut.angle, shape)
    return (first, *(Cut(nominal + out * saw.past, saw.angle) for saw in cut.more))


def with_cuts(member: Member, end: End, cuts: Iterable[Cut]) -> Member:
    """The member with that end cut so; the other end stays.  Cuts that take nothing off go.

    The nominal end is put where the cope or notch, or else the shortest of the saw cuts, crosses
    the centre line.  Raises ValueError if there are two copes or notches, too many cuts, or nothing
    would be left.
    """
    out = -1.0 if end == "start" else 1.0
    kept = list(cuts)
    if sum(cut.shape is not None for cut in kept) > 1:
        raise ValueError("an end can have one cope or notch only; trim it to the other part")
    kept.sort(key=lambda cut: (cut.shape is None, round(out * cut.at, DIGITS)))
    made = _ended(member, end, kept)
    for cut in list(kept):
        rest = [one for one in kept if one is not cut]
        if rest and not _takes(member, end, rest, cut):
            kept = rest
            made = _ended(member, end, kept)
    if len(kept) > MOST_MORE + 1:
        raise ValueError(
            f"an end can have {MOST_MORE + 1} cuts at most; remove one of those it has first"
        )
    return made


def _takes(member: Member, end: End, cuts: Sequence[Cut], cut: Cut) -> bool:
    """True if that cut takes anything off an end that has the others."""
    profile = _profile(member, end, cuts)
    return any(
        reach > there + _TAKES
        for (_, reach), (_, there) in zip(
            profile, _resampled(member, end, cut, profile), strict=True
        )
    )


def _profile(member: Member, end: End, cuts: Sequence[Cut]) -> list[tuple[float, float]]:
    """(across, how far out along the member) of an end with these cuts, from right to left."""
    out = -1.0 if end == "start" else 1.0
    bar = structs.replace(member, start=EndCut(), end=_joined(cuts, out))
    nominal = out * cuts[0].at
    count = bar.mill_edges[1]
    return [(y, nominal + x - bar.length) for x, y in bar.corners[1 : count + 1]]


def _resampled(
    member: Member, end: End, cut: Cut, profile: Iterable[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    """The same places across, with how far out that one cut would leave them."""
    out = -1.0 if end == "start" else 1.0
    alone = structs.replace(member, start=EndCut(), end=_joined([cut], out))
    for across, _ in profile:
        yield across, out * cut.at + alone.line(across) - alone.length


def _joined(cuts: Sequence[Cut], out: float) -> EndCut:
    """Those cuts as one end; the first of them at its nominal end."""
    first, *others = cuts
    more = tuple(SawCut(cut.angle, round(out * (cut.at - first.at), DIGITS)) for cut in others)
    more = more[:MOST_MORE]  # longer lists are refused by `with_cuts` once they are known to count
    if first.shape is not None:
        return structs.replace(first.shape, more=more)
    return EndCut("mitre" if first.angle else "square", first.angle, more=more)


def _ended(member: Member, end: End, cuts: Sequence[Cut]) -> Member:
    """The member with that end at the first cut, and all of them there."""
    at = round(cuts[0].at, DIGITS) + 0.0
    length = at if end == "end" else round(member.length - at, DIGITS)
    if length <= 0:
        raise ValueError(
            f"nothing would be left of {part_name(member)}; that face is beyond its other end"
        )
    if end == "end":
        return structs.replace(member, length=length, end=_joined(cuts, 1.0))
    x, y = centre_line(member).place(at)
    return structs.replace(member, x=x, y=y, length=length, start=_joined(cuts, -1.0))


def cut_on(member: Member, end: End, line: Line) -> Cut:
    """The cut that a line on the table makes at that end.

    Raises ValueError if the line is too close to the member's direction.
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
            f"{part_name(member)} is almost parallel to that face; an end can be cut at"
            f" {format_angle(MAX_CUT)} at most"
        )
    angle = round(angle, _ANGLE_DIGITS) + 0.0
    return Cut(round(at, DIGITS) + 0.0, 0.0 - angle if end == "start" else angle)


def added(member: Member, end: End, cut: Cut, to: Part, parts: Iterable[Part]) -> Member:
    """The member with a cut for `to` added to an end; cuts against other parts stay.

    A cut that the end had for `to` goes, and so does one that lies against no part.  If the new cut
    takes nothing off those that stay, the end is extended to it and they go too.  Raises ValueError
    if the end would not lie against `to` then, as for a face that is not in front of the member.
    """
    others = [part for part in parts if part.id not in (member.id, to.id)]
    kept = [
        one
        for one in cuts_of(member, end)
        if not _lies_against(member, end, one, [to]) and _lies_against(member, end, one, others)
    ]
    if not kept or _takes(member, end, kept, cut):
        return with_cuts(member, end, [*kept, cut])
    extended = with_cuts(member, end, [cut])
    if not _lies_against(extended, end, cut, [to]):
        raise ValueError(
            f"{part_name(member)} does not reach {part_name(to)}: its end already lies"
            " against another part before that"
        )
    return extended


def _lies_against(member: Member, end: End, cut: Cut, parts: Sequence[Part]) -> bool:
    """True if the side that a cut gave an end lies against a side of one of the parts."""
    for a, b in _cut_sides(member, end, cut):
        length = math.dist(a, b)
        if length <= _TOUCH:
            continue
        line = through(a, b)
        least = min(_LEAST, length / 2.0)
        for part in parts:
            if part.z_low >= member.z_high or part.z_high <= member.z_low:
                continue
            ring = part_ring(part)
            for p, q in zip(ring, (*ring[1:], ring[0]), strict=True):
                ahead, behind = line.how_far(p), line.how_far(q)
                if ahead <= behind:  # a side that looks the same way is flush with the end
                    continue
                low, high = max(behind, 0.0), min(ahead, length)
                side = through(p, q)
                off = max(abs(side.off(line.place(at))) for at in (low, high))
                if high - low >= least and off <= _TOUCH:
                    return True
    return False


def _cut_sides(
    member: Member, end: End, cut: Cut
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The sides of the end that one of its cuts made; a cope counts as cut straight."""
    shape = cut_of(member, end)
    if shape.kind == "cope":
        member = with_cut(member, end, EndCut("mitre", shape.angle, more=shape.more))
    ring = member.corners
    count, left = len(ring), member.mill_edges[1]
    numbers = range(1, left) if end == "end" else range(left + 1, count)
    slope = math.tan(math.radians(cut.angle)) * (-1.0 if end == "start" else 1.0)
    pose = Pose(member.x, member.y, member.turn)
    sides = []
    for k in numbers:
        a, b = ring[k], ring[(k + 1) % count]
        if all(abs(x - cut.at - y * slope) < _TAKES for x, y in (a, b)):
            sides.append((pose.point(a), pose.point(b)))
    return sides


def drop_cut(job: Job, thing_id: str, end: End, index: int) -> Job:
    """Remove one of the cuts of an end, counted from 0.

    Raises ValueError if it is the only one.
    """
    member = member_of(job, thing_id)
    cuts = cuts_of(member, end)
    if len(cuts) == 1:
        raise ValueError("an end has at least one cut; choose another kind of cut instead")
    if not 0 <= index < len(cuts):
        raise ValueError(f"this end has {len(cuts)} cuts and no cut {index + 1}")
    rest = [cut for k, cut in enumerate(cuts) if k != index]
    return with_part(job, with_cuts(member, end, rest))


def set_more(job: Job, thing_id: str, end: End, index: int, angle: float, past: float) -> Job:
    """Set a further cut of an end (counted from 0), or add one after the last.

    `angle` in degrees and `past` in mm as in `SawCut`.  Raises ValueError if the cut would take
    nothing off, or there are too many.
    """
    member = member_of(job, thing_id)
    old = cut_of(member, end)
    if index >= MOST_MORE:
        raise ValueError(
            f"an end can have {MOST_MORE + 1} cuts at most; remove one of those it has first"
        )
    more = [*old.more]
    more[index : index + 1] = [SawCut(angle, past)]
    made = with_cut(member, end, structs.replace(old, more=tuple(more)))
    bare = with_cut(
        member, end, structs.replace(old, more=tuple(m for k, m in enumerate(more) if k != index))
    )
    if made.corners == bare.corners:
        raise ValueError(
            "that cut takes nothing off: it lies beyond the end; turn its angle the other way or"
            " bring it nearer"
        )
    return with_part(job, made)
