"""What to say about how the work comes out again."""

from collections.abc import Iterator

from gridjig.checks.finding import Finding, told_apart
from gridjig.model import Job
from gridjig.model.titles import weldment_title
from gridjig.proof.located.wording import capital, names
from gridjig.units import format_length, format_measure, format_rounded_angle

from .free_ends import pulled_in
from .values import FreeEnd, OutReport, Trap, WeldmentOut

_HALF = 0.5
"""What a one-sided fillet may pull a leg by, degrees, to give an idea: common practice."""

CLOSING_SOURCE = "Published rules for shrinkage, which differ; measure a trial piece."
MEASURED_SOURCE = "Closing as measured in this shop."
_SWING_SOURCE = "Length × sin(angle); half a degree is common practice, no source."


def out_findings(job: Job, report: OutReport) -> Iterator[Finding]:
    """Weldments that shrinkage traps or that do not lift out, and ends that swing."""
    if not job.placements:
        return
    for one in report.weldments:
        if one.grip is not None:
            yield _gripped(job, one, one.grip, report)
        if not one.up:
            yield _over(job, one)
    for end in report.free_ends:
        yield _swings(job, end, report)


def _gripped(job: Job, one: WeldmentOut, grip: Trap, report: OutReport) -> Finding:
    name = weldment_title(job, one.weldment)
    pieces = names(job, grip.pieces)
    low, high = (format_measure(mm, job.display) for mm in grip.closing)
    closing = low if low == high else f"{low} to {high}"
    room = format_measure(grip.clearance, job.display)
    if grip.captured:
        where = f"{capital(pieces)} is caught between {names(job, grip.parts)}"
    else:
        where = f"{capital(name)} closes on {pieces}"
    joints = [j for j in report.joints if j.a in grip.parts or j.b in grip.parts]
    has = f"the welds draw in by {closing} there, and there is {room} of clearance"
    under = format_measure(max(grip.high, 0.0), job.display)
    many = "them" if len(grip.pieces) > 1 else "it"
    do = (
        f"Take {pieces} out before the work cools, or make {many} {under} smaller and wedge {many};"
        " stops on the outside never trap."
    )
    if one.verdict == "trapped":
        what = f"{where}: {has}. It will not come off by hand."
    else:
        what = f"{where}: {has}. It may not come off by hand."
    return Finding(
        f"{one.verdict}/{one.weldment}",
        "trapped" if one.verdict == "trapped" else "tight",
        "stop" if one.verdict == "trapped" else "look",
        what,
        grip.where,
        (*grip.pieces, *grip.parts),
        do,
        grip.closing[1],
        grip.clearance,
        "mm",
        MEASURED_SOURCE if joints and all(j.measured for j in joints) else CLOSING_SOURCE,
    )


def _over(job: Job, one: WeldmentOut) -> Finding:
    name = capital(weldment_title(job, one.weldment))
    over = names(job, one.over)
    order = [off.id for off in one.first_off]
    what = f"{name} does not lift straight up: {over} {_is(one.over)} over it."
    if one.captured and not one.directions:
        held = names(job, one.captured)
        what += f" It also lies on {held}, which cannot come off first, and no way out is free."
        do = f"Turn {held} away from over the work, or use a piece that does not hook over it."
    elif one.captured:
        what += f" It can only be drawn out along the table, {_ways(one)}."
        do = (
            "Draw it out that way once the clamps are open, or use a piece that does not hook over."
        )
    else:
        do = f"Take off first, in this order: {names(job, order, most=6)}."
    stuck = bool(one.captured) and not one.directions
    return Finding(
        f"trapped/over/{one.weldment}",
        "trapped",
        "stop" if stuck else "look",
        what,
        None,
        one.over,
        do,
    )


def _is(ids: tuple[str, ...]) -> str:
    return "is" if len(ids) == 1 else "are"


def _ways(one: WeldmentOut) -> str:
    low, high = one.directions[0]
    if low == high:
        return f"at {format_rounded_angle(low)}"
    return f"between {format_rounded_angle(low)} and {format_rounded_angle(high)}"


def _swings(job: Job, end: FreeEnd, report: OutReport) -> Finding:
    name = told_apart(job, end.part)
    joint = next((j for j in report.joints if j.id == end.joint), None)
    called = joint.name if joint is not None else "one joint"
    length = format_length(end.length, job.display)
    by = format_measure(pulled_in(end.length, _HALF), job.display)
    return Finding(
        f"allowance/swings/{end.part}/{end.end}",
        "allowance",
        "note",
        f"Only {called} holds the free end of {name}, {length} away: for each half degree that the"
        f" weld pulls, that end moves by {by}.",
        end.at,
        (end.part,),
        "Tack a brace to it, or weld both sides in turn and let each cool.",
        pulled_in(end.length, _HALF),
        None,
        "mm",
        _SWING_SOURCE,
    )
