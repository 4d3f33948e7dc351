"""What to say about how clamps hold parts and weldments."""

from collections.abc import Iterable, Iterator, Sequence

from gridjig.checks.finding import Finding, names_of
from gridjig.checks.remembered import Remembered, collected
from gridjig.model import Job
from gridjig.proof.located.wording import body_name, capital, names
from gridjig.units import format_force, format_measure, format_number

from .forces import ClampForce
from .values import Clamping, Held, HeldReport

_FRICTIONLESS = "Statics without friction."
_FROM = {
    "typed": "as typed",
    "piece": "of its piece",
    "shop": "shop value; common practice, no source",
}


def held_findings(
    job: Job, report: HeldReport, said: Remembered | None = None
) -> Iterator[Finding]:
    """Locators that clamps push the work off, clamps that turn a part over, and what only friction
    or nothing holds.  Nothing is said of a job without pieces.  `said` remembers what was said of
    bodies that only friction holds.
    """
    if not job.placements:
        return
    for clamping in report.clamps:
        if clamping.climbs:
            yield _turned_out(job, clamping, report)
    tacked = {part for one in report.weldments if not one.lifts for part in one.parts}
    told: set[frozenset[str]] = set()
    for held in (*report.parts, *report.weldments):
        if held.lifts and frozenset(held.lifts) not in told:
            told.add(frozenset(held.lifts))
            yield _lifted(job, held, held.id in tacked)
    joined = {part for one in report.weldments for part in one.parts}
    bodies = (*report.weldments, *(one for one in report.parts if one.id not in joined))
    said = Remembered() if said is None else said
    given = (
        said.equal("names", names_of(job)),
        said.equal("shop values", (report.force, report.friction)),
        *(job.parts, job.weldments, job.rack, job.table, job.display),
    )
    with said.round(*given):
        for one in bodies:
            lies_free = one.by == "shape" and not one.clamps
            if lies_free or (not one.lifts and one.by in ("friction", "weight")):
                name = (one.id, *one.parts[:1])
                yield from said.of(name, (one,), _rubbing, job, one, report)
    if any(one.clamps for one in report.weldments):
        loose = [one for one in report.parts if one.by == "weight" and one.id in joined]
        yield from _unclamped(job, loose)


def _clamps_press(job: Job, forces: Iterable[ClampForce]) -> str:
    """What clamps press with, and who says so; empty without clamps."""
    told = [
        f"{format_force(one.newtons, job.display)} ({_FROM[one.of]})"
        for one in dict.fromkeys(forces)
    ]
    return f"A clamp presses with {' or '.join(told)}." if told else ""


def _friction_source(job: Job, report: HeldReport, forces: Iterable[ClampForce]) -> str:
    rubs = (
        f"Friction {format_number(report.friction)} (shop value; manuals of chucks have 0.14"
        " to 0.16 for unmachined steel in smooth jaws)."
    )
    return f"{_clamps_press(job, forces)} {rubs}".strip()


def _ids(one: Held) -> tuple[str, ...]:
    return one.parts or (one.id,)


def _lifted(job: Job, one: Held, tacked: bool) -> Finding:
    """`tacked`: once the part is tacked to the others, it stays."""
    name, off = body_name(job, one.id, one.parts), names(job, one.lifts)
    clamps = capital(names(job, one.clamps))
    push = "pushes" if len(one.clamps) == 1 else "push"
    nothing = one.by == "nothing"
    end = "friction does not hold it there" if nothing else "only friction keeps it there"
    do = "Move the clamp so that its line passes between the stops, or add one that pushes towards"
    do = f"{do} {off}."
    if tacked:
        end = f"{end} until it is tacked"
        do = "Close that clamp after the first tacks, or put a stop on the far side of the part."
    return Finding(
        f"lifts/{'/'.join((one.id, *one.parts[:1]))}",
        "lifts",
        "stop" if nothing else "look",
        f"{clamps} {push} {name} off {off}: {end}.",
        one.at,
        (*_ids(one), *one.clamps, *one.lifts),
        do,
        source=f"{_FRICTIONLESS} {_clamps_press(job, one.forces)}".strip(),
    )


@collected
def _rubbing(job: Job, one: Held, report: HeldReport) -> Iterator[Finding]:
    name = body_name(job, one.id, one.parts)
    mark = f"friction/{'/'.join((one.id, *one.parts[:1]))}"
    push = "" if one.push is None else f" against a push of {format_force(one.push, job.display)}"
    if one.by == "shape":
        yield Finding(
            mark,
            "friction-only",
            "look",
            f"No clamp presses {name}: what stands round it holds it in plan, but only its weight"
            " keeps it down.",
            one.at,
            _ids(one),
            "Clamp it down over its supports: the heat of the welds lifts it.",
        )
        return
    if one.by == "weight":
        yield Finding(
            mark,
            "friction-only",
            "look",
            f"No clamp presses {name}: only its weight holds it{push}.",
            one.at,
            _ids(one),
            "Clamp it, over its supports and towards its stops.",
            one.push,
            None,
            "N",
            _friction_source(job, report, one.forces),
        )
        return
    yield Finding(
        mark,
        "friction-only",
        "note",
        f"{capital(name)} is held by friction{push}: no clamp pushes it against all of its stops.",
        one.at,
        (*_ids(one), *one.clamps),
        "Press it home against its stops while you clamp it, or add a clamp that pushes it there.",
        one.push,
        None,
        "N",
        _friction_source(job, report, one.forces),
    )


def _unclamped(job: Job, loose: Sequence[Held]) -> Iterator[Finding]:
    """Parts of clamped weldments that no clamp presses until they are tacked, together."""
    if not loose:
        return
    ids = tuple(one.id for one in loose)
    them = "it" if len(ids) == 1 else "each of them"
    until = "it until it is" if len(ids) == 1 else "them until they are"
    yield Finding(
        "friction/unclamped",
        "friction-only",
        "note",
        f"No clamp presses {names(job, ids)}: hold {until} tacked.",
        loose[0].at,
        ids,
        f"Clamp {them}, or hold it by hand for its first tack.",
    )


def _turned_out(job: Job, one: Clamping, report: HeldReport) -> Finding:
    clamp, part = capital(names(job, (one.placement,))), names(job, (one.part,))
    by = format_measure(abs(one.overhang), job.display)
    if one.overhang > 0.0:
        what = f"{clamp} pushes {by} above the stops behind {part}: it tips the part over them."
        do = "Set the clamp lower, use taller stops, or press the part down as well."
    else:
        what = f"{clamp} pushes {by} below the stops behind {part}: the part climbs up them."
        do = "Set the clamp higher, use lower stops, or press the part down as well."
    return Finding(
        f"climbs/{one.placement}",
        "lifts",
        "look",
        what,
        one.at,
        (one.placement, one.part),
        do,
        abs(one.overhang),
        0.0,
        "mm",
        _clamps_press(job, (one.force,)),
    )
