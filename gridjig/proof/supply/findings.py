"""What to say about shortages: how many are missing, and what to use instead, or that none is."""

from collections import Counter
from collections.abc import Iterator

from gridjig.checks.finding import Finding, told_apart
from gridjig.model import Job
from gridjig.units import format_count

from .values import Shortage, Substitute, SupplyReport

_NAMED = 3


def supply_findings(job: Job, report: SupplyReport) -> Iterator[Finding]:
    """Say what the rack is short of, and what else does."""
    for one in report.shortages:
        yield _short(job, one)


def _short(job: Job, one: Shortage) -> Finding:
    name = job.rack.piece(one.piece).full_name
    what = (
        f"{name}: {format_count(one.needed)} needed, {format_count(one.owned)} on the rack, short"
        f" by {format_count(one.short)}."
    )
    ids = (*one.without, *())
    return Finding(
        f"short/{one.piece}", "shortage", "look", what, None, ids, instead_words(job, one),
        float(one.needed), float(one.owned), "pieces", "the count on the rack",
    )  # fmt: skip


def instead_words(job: Job, one: Shortage) -> str:
    """Say what to use instead, for which placements there is nothing, and what was looked at."""
    said = [_use(job, sub) for sub in one.substitutes[:_NAMED]]
    more = len(one.substitutes) - _NAMED
    if more > 0:
        said.append(f"And so on for {format_count(more)} more.")
    served = {sub.placement for sub in one.substitutes}
    rest = [told_apart(job, p) for p in one.without if p not in served]
    if rest:
        names = ", ".join(rest[:_NAMED])
        names += f" and {format_count(len(rest) - _NAMED)} more" if len(rest) > _NAMED else ""
        said.append(f"Nothing else left on the rack does for {names}: {_looked(one)}")
        said.append("Borrow or make one, or correct the count on the rack.")
    return " ".join(said)


def _looked(one: Shortage) -> str:
    if not one.pieces:
        return "the rack has no other piece of its sort."
    pieces = "1 other piece was" if one.pieces == 1 else f"{format_count(one.pieces)} others were"
    ways = "1 way" if one.tried == 1 else f"{format_count(one.tried)} ways"
    return f"{pieces} looked at, in {ways} in all." if one.tried else f"{pieces} looked at."


def _use(job: Job, sub: Substitute) -> str:
    where = told_apart(job, sub.placement)
    counts = Counter(sub.instead)
    names = " + ".join(
        job.rack.piece(piece).full_name
        if many == 1
        else f"{format_count(many)} x {job.rack.piece(piece).full_name}"
        for piece, many in counts.items()
    )
    match sub.how:
        case "stack":
            return f"Under or before {where}, use {names}: the same in all."
        case "pin":
            return f"Pin {where} with {names}."
        case _:
            return f"For {where}, use {names} in the same holes: it touches the same face."
