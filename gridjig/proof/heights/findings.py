"""What to say about how the work stands at its heights."""

from collections.abc import Iterator, Sequence

from msgspec import structs

from gridjig.checks.carried import carried_as
from gridjig.checks.finding import Finding, told_apart
from gridjig.model import Job, Part
from gridjig.model.titles import thing_of, title, weldment_title
from gridjig.rack import Point
from gridjig.units import (
    format_count,
    format_length,
    format_mass,
    format_measure,
    format_rounded_angle,
)
from gridjig.units.spelling import spelled

from .report import largest_radius
from .values import (
    HeightsReport,
    RadiusContact,
    RiserNeed,
    RiserProof,
    ShortSupport,
    Standing,
    Weight,
)

STEADY = "shop value of this job; common practice, no published source"
_HOW_STACKED = " Place the first riser of each stack, and put the others below that one."
_SPAN = "a third of its length; common shop practice, no published source"
_LIFT = "shop value of this job; 23 kg is the load constant of the NIOSH lifting equation"


def heights_findings(job: Job, report: HeightsReport) -> Iterator[Finding]:
    """Everything worth saying about heights, weights and what stands.

    What is carried badly is said here with the risers that the rack has left for it.
    """
    for need in report.risers:
        part = thing_of(job, need.part)
        if need.stack and isinstance(part, Part):
            carried = carried_as(job, part, need.how, _stacks(job, need))
            if carried is not None:
                how = _HOW_STACKED if len(need.stack) > 1 else ""
                yield structs.replace(carried, do=f"{carried.do}{how}")
    if report.proof is not None:
        yield _no_stack(job, report.risers, report.proof)
    for radius in report.radii:
        yield _radius(job, radius)
    for one in report.standing:
        yield _standing(job, one)
    for short in report.short:
        yield _short(job, short)
    for weight in report.weights:
        if weight.mass > job.shop.one_lifts:
            yield _weight(job, weight)


def stack_words(job: Job, stack: Sequence[str]) -> str:
    """Return a stack of risers by thickness: 2" + 1/4" + 1/8"."""
    sizes = (job.rack.piece(piece).thickness for piece in stack)
    return " + ".join(format_length(size, job.display) for size in sizes)


def _stacks(job: Job, need: RiserNeed) -> str:
    """What the rack can put under a part: 2 risers of 1/4", or 2 stacks of 3/4" (1/2" + 1/4")."""
    high, many = format_length(need.height, job.display), format_count(need.points)
    if len(need.stack) == 1:
        return f"a riser of {high}" if need.points == 1 else f"{many} risers of {high}"
    made = f"of {high} ({stack_words(job, need.stack)})"
    return f"a stack {made}" if need.points == 1 else f"{many} stacks {made}"


def _no_stack(job: Job, needs: Sequence[RiserNeed], proof: RiserProof) -> Finding:
    ids = tuple(need.part for need in needs)
    names = " and ".join(title(job, one) for one in ids[:2])
    names += f" and {format_count(len(ids) - 2)} more" if len(ids) > 2 else ""
    high, needed, owned, below = (
        format_length(v, job.display)
        for v in (proof.height, proof.needed, proof.owned, proof.below)
    )
    do = "Lower the parts, turn the weldment face down, or add risers to the rack."
    value, limit = proof.needed, proof.owned
    match proof.why:
        case "height":
            above = (
                f" and {format_length(proof.above, job.display)}"
                if proof.above < float("inf")
                else ""
            )
            nearest = f"; the nearest are {below}{above}" if proof.below else ""
            what = (
                f"No stack of the risers left on the rack is {high}, as"
                f" {title(job, proof.part)} needs{nearest}."
            )
            do = "Add shims to the stack below it, move it to one of these heights, or add risers."
            value, limit = proof.height, proof.below
        case "sum":
            what = (
                f"{names} need {needed} of risers in all, and those left on the rack come to"
                f" {owned}: no other choice of risers helps."
            )
        case "count":
            what = (
                f"The risers left on the rack do not go round for {names}: all"
                f" {format_count(proof.tried)} ways of sharing them out were tried."
            )
        case _:
            what = (
                f"No way was found to share out the risers left on the rack for {names};"
                f" {format_count(proof.tried)} ways were tried, and there are more."
            )
    where = _at(job, proof.part)
    source = "the risers left on the rack"
    return Finding("stacks", "shortage", "look", what, where, ids, do, value, limit, "mm", source)


def _radius(job: Job, one: RadiusContact) -> Finding:
    name, part = told_apart(job, one.piece), title(job, one.part)
    radius, flat = (format_measure(v, job.display) for v in (one.radius, one.flat))
    made = thing_of(job, one.part)
    wall = getattr(getattr(made, "section", None), "wall", 0.0)
    source = f"largest outside corner radius by {largest_radius(wall)[1]}, {radius}"
    what = (
        f"{name} touches {part} on {flat} of flat only: with the largest corner radius that tube"
        f" may have, {radius}, it would sit on the round."
    )
    do = "Raise or lower the piece, so that it touches nearer the middle of the tube."
    mark, ids = f"radius/{one.piece}/{one.part}", (one.piece, one.part)
    shared = max(0.0, one.flat - (one.radius - one.listed))
    return Finding(
        mark, "height", "look", what, one.where, ids, do, one.flat, one.flat - shared + 0.0,
        "mm", source,
    )  # fmt: skip


def _standing(job: Job, one: Standing) -> Finding:
    name = title(job, one.part)
    angle, limit = (format_rounded_angle(v, 0) for v in (one.angle, job.shop.steady))
    base, high = (format_length(v, job.display) for v in (one.base, one.high))
    held = " and ".join(told_apart(job, clamp) for clamp in one.clamps[:2])
    held += f" and {format_count(len(one.clamps) - 2)} more" if len(one.clamps) > 2 else ""
    once = f"once {held} {'opens' if len(one.clamps) == 1 else 'open'}" if held else "as it stands"
    what = (
        f"{name} falls over {once}: it stands on a base {base} wide with its {spelled('centre')} of"
        f" gravity {high} up, and tips at {angle}."
    )
    do = (
        "Put a stop or pin against its side, tack it before the clamp opens, or hold it by hand;"
        f" what tips at less than {limit} is not left standing."
    )
    mark, ids = f"stands/{one.part}", (one.part, *one.clamps)
    return Finding(
        mark, "falls", "look", what, one.where, ids, do, one.angle, job.shop.steady, "deg", STEADY
    )


def _short(job: Job, one: ShortSupport) -> Finding:
    name = title(job, one.part)
    span, long = (format_length(v, job.display) for v in (one.span, one.length))
    names = " and ".join(told_apart(job, by) for by in one.by[:2])
    names += f" and {format_count(len(one.by) - 2)} more" if len(one.by) > 2 else ""
    what = f"{name} is {long} long and carried along {span} only, by {names}: its ends can drop."
    do = "Move the supports apart, near both ends, or put another one under it."
    mark, ids = f"span/{one.part}", (one.part, *one.by)
    limit = one.length / 3.0
    return Finding(mark, "height", "look", what, one.where, ids, do, one.span, limit, "mm", _SPAN)


def _weight(job: Job, one: Weight) -> Finding:
    name = _first(weldment_title(job, one.id)) if one.whole else title(job, one.id)
    mass, most = (format_mass(v, job.display) for v in (one.mass, job.shop.one_lifts))
    x, y, z = (format_length(v, job.display) for v in (*one.centre, one.height))
    what = (
        f"{name} weighs {mass}, more than one person lifts ({most}). Its {spelled('centre')} of"
        f" gravity is at {x}, {y} from the table's corner and {z} up."
    )
    do = "Lift it with two people or a hoist, never by a tack or by a piece of the jig."
    ids = tuple(p.id for p in job.parts if p.weldment == one.id) if one.whole else (one.id,)
    return Finding(
        f"weight/{one.id}", "weight", "look", what, one.centre, ids, do, one.mass,
        job.shop.one_lifts, "kg", _LIFT,
    )  # fmt: skip


def _first(name: str) -> str:
    """Return a name as it begins a sentence."""
    return f"{name[:1].upper()}{name[1:]}"


def _at(job: Job, part_id: str) -> Point | None:
    part = thing_of(job, part_id)
    if not isinstance(part, Part):
        return None
    from gridjig.contact.carrying import weight_of  # noqa: PLC0415 - late: it loads shapely

    weight = weight_of(part)
    return (weight.x, weight.y)
