"""What to say about how a torch gets to the seams."""

from collections.abc import Iterator

from gridjig.checks.finding import Finding, Level, told_apart
from gridjig.checks.remembered import collected
from gridjig.model import Job, Part
from gridjig.model.titles import thing_of, title, weldment_title
from gridjig.proof.located.wording import capital
from gridjig.units import format_angle, format_count, format_length, format_measure

from .values import TABLE, AccessReport, JointAccess, NearWeld, SideAccess

SHARPEST = 60.0
"""Fillets are meant for corners of 60 to 120 degrees."""
_FILLET = "EN 1993-1-8 has fillets in corners of 60° to 120°, as a text on it says"
_TORCH = "shop value of this job; no published source: measure the shop's own torch"
_CLEAR = "shop value of this job; common practice, no published source"
_NAMED = 4


def access_findings(job: Job, report: AccessReport) -> Iterator[Finding]:
    """Everything worth saying about the room at the joints."""
    for joint in report.joints:
        yield from joint_findings(job, joint)
    yield from turned_findings(job, report)


@collected
def joint_findings(job: Job, joint: JointAccess) -> Iterator[Finding]:
    """What is said of one joint: too sharp, no room, a piece in the bead."""
    welded = [side for side in joint.sides if side.welded]
    sharp = [s.angle for s in welded if s.kind == "upright" and s.angle < SHARPEST - 1e-6]
    if sharp:
        yield _sharp(job, joint, min(sharp))
    poor = [
        side
        for side in welded
        if side.state == "blocked"
        or (side.state == "tight" and not (sharp and side.blocker in (joint.a, joint.b)))
    ]
    if poor:
        yield _no_room(job, joint, poor)
    for one in joint.near:
        yield _near(job, joint, one)


def turned_findings(job: Job, report: AccessReport) -> Iterator[Finding]:
    """Joints of each weldment that wait until it is turned over."""
    waiting: dict[str, list[JointAccess]] = {}
    for joint in report.joints:
        if any(side.welded and side.state == "turned over" for side in joint.sides):
            part = thing_of(job, joint.a)
            if isinstance(part, Part):
                waiting.setdefault(part.weldment, []).append(joint)
    for weldment, joints in waiting.items():
        yield _turned(job, weldment, joints)


def _no_room(job: Job, joint: JointAccess, poor: list[SideAccess]) -> Finding:
    worst = min(poor, key=lambda side: side.room)
    sides = " and ".join(dict.fromkeys(_side_words(side) for side in poor))
    room, wanted = (format_length(v, job.display) for v in (worst.room, job.shop.torch_radius))
    own = worst.blocker in (joint.a, joint.b)
    who = "the table" if worst.blocker == TABLE else told_apart(job, worst.blocker)
    a, b = title(job, joint.a), title(job, joint.b)
    what = (
        f"The torch does not get into the corner of {a} and {b}: {sides}, room for"
        f" {room} of radius where it takes {wanted}."
        if own
        else f"The torch has no room at {a} and {b}, {sides}: {who} leaves {room} of radius"
        f" where it takes {wanted}."
    )
    piece = bool(worst.blocker) and worst.blocker in {p.id for p in job.placements}
    do = (
        f"Move {who}, or weld this side once it is off."
        if piece
        else "Weld it before the part in the way goes in, from another side, or turned over."
    )
    ids = (joint.a, joint.b, *((worst.blocker,) if piece else ()))
    level: Level = "look" if worst.state == "blocked" else "note"
    x, y, _ = worst.at
    return Finding(
        f"access/{joint.id}", "access", level, what, (x, y), ids, do, worst.room,
        job.shop.torch_radius, "mm", _TORCH,
    )  # fmt: skip


def _side_words(side: SideAccess) -> str:
    return {
        "top": "on top",
        "upright": "at its upright seam",
        "underside": "underneath",
        "flush": "along its edge",
    }[side.kind]


def _sharp(job: Job, joint: JointAccess, angle: float) -> Finding:
    a, b = title(job, joint.a), title(job, joint.b)
    what = (
        f"{capital(a)} and {b} meet at {format_angle(angle)} on the inside; a fillet weld is meant"
        f" for {format_angle(SHARPEST)} or more."
    )
    do = "Ask for another weld there, or weld its heel and leave the sharp side."
    return Finding(
        f"sharp/{joint.id}", "access", "look", what, joint.place, (joint.a, joint.b), do, angle,
        SHARPEST, "deg", _FILLET,
    )  # fmt: skip


def _near(job: Job, joint: JointAccess, one: NearWeld) -> Finding:
    piece = told_apart(job, one.piece)
    a, b = title(job, joint.a), title(job, joint.b)
    far, clear = (format_measure(v, job.display) for v in (one.distance, job.shop.weld_clear))
    ids, mark = (one.piece, joint.a, joint.b), f"weld/{joint.id}/{one.piece}"
    if one.distance <= joint.bead:
        bead = format_measure(joint.bead, job.display)
        what = (
            f"The bead at {a} and {b} would weld to {piece}: it is {far} from the seam, and the"
            f" bead is {bead}."
        )
        do = f"Move {piece} along, or tack somewhere else and take it off before that weld."
        limit, source = joint.bead, "the size of the weld, or the smallest usual fillet"
        return Finding(
            mark, "welds-in", "look", what, one.at, ids, do, one.distance, limit, "mm", source
        )
    what = (
        f"{piece} is {far} from the weld of {a} and {b}, nearer than {clear}: it takes the spatter"
        " and is in the way."
    )
    do = f"Move {piece} away from the joint, or shield its face."
    return Finding(
        mark, "welds-in", "note", what, one.at, ids, do, one.distance, job.shop.weld_clear, "mm",
        _CLEAR,
    )  # fmt: skip


def _turned(job: Job, weldment: str, joints: list[JointAccess]) -> Finding:
    name = weldment_title(job, weldment)
    in_order = sorted((joint.name for joint in joints), key=lambda one: (len(one), one))
    names = ", ".join(in_order[:_NAMED])  # J2 before J10
    more = f" and {format_count(len(joints) - _NAMED)} more" if len(joints) > _NAMED else ""
    seams = "1 joint" if len(joints) == 1 else f"{format_count(len(joints))} joints"
    what = (
        f"{name[:1].upper()}{name[1:]} is turned over for the underside of {seams}: {names}{more}."
    )
    do = "Tack and weld what can be reached, then turn it over; or choose the sides to be welded."
    ids = tuple(dict.fromkeys(part for joint in joints for part in (joint.a, joint.b)))
    return Finding(f"turn/{weldment}", "access", "note", what, joints[0].place, ids, do)
