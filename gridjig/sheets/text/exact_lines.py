"""How exact a set-up is and what is allowed for, line by line: every measure in all its states.

As drawn, as set in the jig, as expected after welding; how far out it can be, at worst and as
errors usually add up; the class; and, on request, what random set-ups gave.
"""

from collections.abc import Iterator, Mapping, Sequence

from gridjig.model import Display, Job
from gridjig.model.titles import title, weldment_title
from gridjig.proof.allowance.values import AllowanceReport, Layer
from gridjig.proof.exact.tries import Tried
from gridjig.proof.exact.values import (
    ExactReport,
    MemberError,
    PointError,
    Sampled,
    Squareness,
    TapeReading,
)
from gridjig.units import (
    format_count,
    format_fineness,
    format_length,
    format_measure,
    format_rounded_angle,
)

from .list_line import LineLevel, ListLine


def exact_lines(
    job: Job,
    report: ExactReport,
    allowed: AllowanceReport,
    tried: Tried | None = None,
    whole: Sequence[MemberError] = (),
) -> tuple[ListLine, ...]:
    """Return all measures, points, parts, allowances and shop values, under headings.

    `whole` are the weldments, each as one body.
    """
    return (
        *_under("Measures", _measures(job, report, allowed, tried)),
        *_under("Squareness", _squares(job, report)),
        *_under("Points that matter", _points(job, report)),
        *_under("Each weldment once it is tacked", _wholes(job, report, whole)),
        *_under("Parts in the jig", _parts(job, report, tried)),
        *_under("Allowed for", _allowances(job, allowed)),
        *_under("Reckoned with", _assumed(job.display, report)),
    )


def _under(heading: str, lines: Iterator[ListLine]) -> Iterator[ListLine]:
    every = list(lines)
    if every:
        yield ListLine(f"/{heading}", heading, heading=True)
        yield from every


def _measures(
    job: Job, report: ExactReport, allowed: AllowanceReport, tried: Tried | None
) -> Iterator[ListLine]:
    layers: Mapping[tuple[str, ...], Layer] = {
        (one.what, one.id, *one.ids): one for one in allowed.layers
    }
    for k, one in enumerate(report.dimensions):
        layer = layers.get((one.kind, one.weldment, *one.ids))
        told = [_error(job, report, one), *_states(job, layer)]
        if tried is not None:
            told.append(_tries(job.display, tried.count, tried.readings.get(k), True))
        kind = "Critical dimension" if one.kind == "critical" else "Overall"
        yield ListLine(
            f"reading {k}",
            f"{kind} {format_length(one.nominal, job.display)}",
            " + ".join(title(job, part) for part in one.ids),
            "\n".join(filter(None, told)),
            _level(one),
            one.ids,
        )


def _level(one: TapeReading) -> LineLevel:
    if one.error is None or one.error.worst <= one.limit:
        return ""
    return "look" if one.error.rss > one.limit else "note"


def _error(job: Job, report: ExactReport, one: TapeReading) -> str:
    limit = f"class {report.linear} ± {format_measure(one.limit, job.display)}"
    if one.error is None:
        return f"a part can still slide that way, so the jig does not set it; {limit}"
    worst, usual = (format_measure(mm, job.display) for mm in one.error[:2])
    return f"out by ± {worst} at worst, ± {usual} as errors usually add up; {limit}"


def _states(job: Job, layer: Layer | None) -> Iterator[str]:
    if layer is None:
        return
    jig, low, high = (format_measure(mm, job.display) for mm in (layer.jig, layer.low, layer.high))
    expected = low if low == high else f"{low} to {high}"
    yield f"in the jig {jig}, expected after welding {expected}"


def _tries(display: Display, count: int, one: Sampled | None, limited: bool) -> str:
    if one is None:
        return ""
    half, most = (format_measure(mm, display) for mm in (one.half, one.most))
    said = f"of {format_count(count)} set-ups half are within {half}, 95 % within {most}"
    if not limited:
        return said
    beyond = format_count(one.beyond) if one.beyond else "none"
    return f"{said}, {beyond} outside the class"


def _squares(job: Job, report: ExactReport) -> Iterator[ListLine]:
    for one in report.squareness:
        first, second = (format_length(d.nominal, job.display) for d in (one.first, one.second))
        yield ListLine(
            f"square {one.weldment}",
            f"Diagonals {first} and {second}",
            "",
            _square(job, report, one),
            "note" if one.difference is not None and one.difference.worst > one.limit else "",
            tuple(dict.fromkeys((*one.first.ids, *one.second.ids))),
        )


def _square(job: Job, report: ExactReport, one: Squareness) -> str:
    limit = format_measure(one.limit, job.display)
    angle = format_rounded_angle(one.limit_deg)
    allowed = f"class {report.linear} allows {limit} of difference, {angle} out of square"
    if one.difference is None:
        return f"a part at a corner can still slide; {allowed}"
    worst = format_measure(one.difference.worst, job.display)
    return f"the jig lets them differ by {worst} at worst; {allowed}"


def _points(job: Job, report: ExactReport) -> Iterator[ListLine]:
    for one in report.points:
        told, at = "the jig does not hold its part", "loose"
        if one.error is not None:
            worst, usual = (format_measure(mm, job.display) for mm in one.error[:2])
            told = f"out by {worst} at worst, {usual} as errors usually add up"
            at = f"± {worst} at worst"
        x, y = (format_length(mm, job.display) for mm in one.at)
        name = one.name or f"Point of {title(job, one.part)}"
        under = f"at {x}, {y} of the table; {told}"
        head = f"{name[:1].upper()}{name[1:]}"
        yield ListLine(point_key(one), head, at, under, "", (one.part,))


def point_key(one: PointError) -> str:
    """The key of the line of a point that matters."""
    return f"point {one.part} {one.at[0]!r} {one.at[1]!r}"


def _wholes(job: Job, report: ExactReport, whole: Sequence[MemberError]) -> Iterator[ListLine]:
    for one in whole:
        at = "loose"
        if one.error is not None:
            at = f"± {format_measure(one.error.worst, job.display)} at worst"
        name = weldment_title(job, one.id)
        head = f"{name[:1].upper()}{name[1:]}"
        ids = tuple(part.id for part in job.parts if part.weldment == one.id)
        yield ListLine(f"whole {one.id}", head, at, _angle(report, one), "", ids)


def _parts(job: Job, report: ExactReport, tried: Tried | None) -> Iterator[ListLine]:
    for one in report.members:
        told = [_angle(report, one)]
        if tried is not None:
            told.append(_tries(job.display, tried.count, tried.members.get(one.id), False))
        at = "loose"
        if one.error is not None:
            at = f"± {format_measure(one.error.worst, job.display)} at worst"
        yield ListLine(
            f"part {one.id}", title(job, one.id), at, "\n".join(filter(None, told)), "", (one.id,)
        )


def _angle(report: ExactReport, one: MemberError) -> str:
    limit = format_rounded_angle(one.limit)
    if one.angle is None:
        return "its angle is not held"
    worst = format_rounded_angle(one.angle.worst)
    return f"angle ± {worst} at worst; class {report.linear} ± {limit}"


def _allowances(job: Job, allowed: AllowanceReport) -> Iterator[ListLine]:
    for one in allowed.layers:
        if one.what == "part":
            by = format_measure(one.jig - one.nominal, job.display)
            yield ListLine(f"longer {one.id}", title(job, one.id), f"{by} longer", "", "", one.ids)
        elif one.what == "joint" and one.jig:
            by = format_measure(one.jig, job.display)
            names = " + ".join(title(job, part) for part in one.ids)
            yield ListLine(f"opened {one.id}", names, f"set open {by}", "", "", one.ids)


def _assumed(display: Display, report: ExactReport) -> Iterator[ListLine]:
    for one in report.assumed:
        value = f"± {format_fineness(one.value, display)}"
        name = f"{one.name[:1].upper()}{one.name[1:]}"
        yield ListLine(f"assumed {one.name}", name, value, one.source)
