"""What to say about what is allowed for: nothing is moved by itself."""

from collections.abc import Iterator

from gridjig.checks.finding import Finding, told_apart
from gridjig.model import Job
from gridjig.proof.located.wording import names
from gridjig.units import format_length, format_measure

from .values import AllowanceReport, Layer, StopMove

_SOURCE = "Published rules for shrinkage, which differ; measure a trial piece."
_OWN = "The allowances of this job."


def allowance_findings(job: Job, report: AllowanceReport) -> Iterator[Finding]:
    """Measures that shrinkage takes out of tolerance, and stops that an allowance asks to move."""
    if not job.placements:
        return
    for layer in report.layers:
        if layer.limit and layer.what in ("overall", "critical"):
            off = max(abs(layer.low - layer.nominal), abs(layer.high - layer.nominal))
            if off > layer.limit:
                yield _out(job, layer, off)
    for stop in report.stops:
        yield _stop(job, stop)


def _out(job: Job, layer: Layer, off: float) -> Finding:
    """Out by both ends of the range is worth a look, by one end a note."""
    near = min(abs(layer.low - layer.nominal), abs(layer.high - layer.nominal))
    drawn = format_length(layer.nominal, job.display)
    low, high = (format_measure(mm, job.display) for mm in (layer.low, layer.high))
    expected = low if low == high else f"{low} to {high}"
    kind = "critical dimension" if layer.what == "critical" else "overall size"
    limit = format_measure(layer.limit, job.display)
    short = layer.low < layer.nominal
    what = (
        f"The {kind} of {drawn} over {names(job, layer.ids)} is expected at {expected} after"
        f" welding; class {job.accuracy.linear} allows {limit} either way."
    )
    do = (
        "Set its joints open or cut the members longer by what a trial piece shows, or weld in an"
        " order that draws less."
        if short
        else "Take some of the allowance away: it is more than the welds draw in."
    )
    return Finding(
        f"allowance/{layer.what}/{layer.id}/{'/'.join(layer.ids)}",
        "allowance",
        "look" if near > layer.limit else "note",
        what,
        layer.b,
        layer.ids,
        do,
        off,
        layer.limit,
        "mm",
        _SOURCE,
    )


def _stop(job: Job, stop: StopMove) -> Finding:
    name = told_apart(job, stop.piece)
    by = format_measure(abs(stop.by), job.display)
    part = told_apart(job, stop.part)
    way = "away from" if stop.by > 0.0 else "towards"
    return Finding(
        f"allowance/stop/{stop.piece}/{stop.part}",
        "allowance",
        "look",
        f"With what is allowed for, {name} should stand {by} further {way} {part} than it does.",
        stop.where,
        (stop.piece, stop.part),
        f"{_set(stop)} {name} by {by}, or take the allowance away: no stop moves by itself.",
        stop.by,
        0.0,
        "mm",
        _OWN,
    )


def _set(stop: StopMove) -> str:
    return "Set back" if stop.by > 0.0 else "Set out"
