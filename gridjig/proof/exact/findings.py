"""What to say about how exact a set-up is."""

from collections.abc import Iterator, Sequence

from gridjig.checks.finding import Finding, Level, told_apart
from gridjig.contact.titles import side_title
from gridjig.model import Job
from gridjig.model.titles import weldment_title
from gridjig.proof.located.wording import capital, names
from gridjig.units import format_length, format_measure, format_rounded_angle

from .values import ExactReport, MemberError, OutOfLine, Spread, Squareness, TapeReading


def exact_findings(job: Job, report: ExactReport) -> Iterator[Finding]:
    """Angles, measures and diagonals that may be out of tolerance, and stops that are not in line.

    What is only out at the very worst is a note.
    """
    if not job.placements:
        return
    for line in report.out_of_line:
        yield _out_of_line(job, report, line)
    yield from _angles(job, report)
    for dimension in report.dimensions:
        if dimension.error is not None and dimension.error.worst > dimension.limit:
            yield _dimension(job, report, dimension, dimension.error)
    for square in report.squareness:
        if square.difference is not None and square.difference.worst > square.limit:
            yield _square(job, report, square, square.difference)


def _level(error: Spread, limit: float) -> tuple[Level, str]:
    """The level, and how it is put: out already as errors usually add up, or only at worst."""
    return ("look", "can") if error.rss > limit else ("note", "can at worst")


def _class(report: ExactReport, table: int) -> str:
    letter = report.straight if table == 3 else report.linear
    unseen = ", from memory" if letter in ("G", "H") else ""  # only E and F were seen printed
    return f"ISO 13920, table {table}, class {letter}{unseen}"


def _angles(job: Job, report: ExactReport) -> Iterator[Finding]:
    """Parts that may lie off their angle: those of one weldment and level in one finding, as one
    short base often turns them all.
    """
    of = {part.id: part.weldment for part in job.parts}
    groups: dict[tuple[str, Level], list[tuple[Spread, MemberError]]] = {}
    for one in report.members:
        if one.angle is not None and one.angle.worst > one.limit:
            level, _ = _level(one.angle, one.limit)
            groups.setdefault((of[one.id], level), []).append((one.angle, one))
    for some in groups.values():
        some.sort(key=lambda pair: -pair[0].worst)
        yield _angle(job, report, some[0][0], [one for _, one in some])


def _angle(job: Job, report: ExactReport, error: Spread, those: Sequence[MemberError]) -> Finding:
    """`those` have the worst first, and `error` is its."""
    one = those[0]
    level, can = _level(error, one.limit)
    by, limit = format_rounded_angle(error.worst), format_rounded_angle(one.limit)
    ids = tuple(each.id for each in those)
    its, upto = ("its angle", "") if len(ids) == 1 else ("their angles", "up to ")
    upto = "" if level == "note" else upto
    what = (
        f"{capital(names(job, ids))} {can} lie {upto}{by} off {its}; class {report.linear}"
        f" allows {limit}."
    )
    do = "Hold it by two stops further apart, or by pieces whose own pins are further apart."
    if len(ids) > 1:
        # Errors grow from part to part: where one lies against others, begin with the least.
        first = those[-1] if set(one.contacts).intersection(ids) else one
        do = do.replace("Hold it", f"Begin with {told_apart(job, first.id)}: hold it")
    if one.spacing:
        apart = format_length(one.spacing, job.display)
        sets = "it" if len(ids) == 1 else f"that of {told_apart(job, one.id)}"
        what += f" The contacts that set {sets} are {apart} apart."
    return Finding(
        f"inexact/angle/{one.id}",
        "inexact",
        level,
        what,
        one.at,
        (*ids, *one.contacts),
        do,
        error.worst,
        one.limit,
        "deg",
        _class(report, 2),
    )


def _dimension(job: Job, report: ExactReport, one: TapeReading, error: Spread) -> Finding:
    level, can = _level(error, one.limit)
    by, limit = format_measure(error.worst, job.display), format_measure(one.limit, job.display)
    length = format_length(one.nominal, job.display)
    kind = "critical dimension" if one.kind == "critical" else "overall size"
    what = (
        f"The {kind} of {length} over {names(job, one.ids)} {can} be {by} out;"
        f" class {report.linear} allows {limit}."
    )
    return Finding(
        f"inexact/{one.kind}/{one.weldment}/{'/'.join(one.ids)}",
        "inexact",
        level,
        what,
        one.b,
        one.ids,
        "Set the stops that hold these parts further apart, or put one on each face that the"
        " measure is taken to.",
        error.worst,
        one.limit,
        "mm",
        _class(report, 1),
    )


def _square(job: Job, report: ExactReport, one: Squareness, error: Spread) -> Finding:
    level, can = _level(error, one.limit)
    name = weldment_title(job, one.weldment)
    by, limit = format_measure(error.worst, job.display), format_measure(one.limit, job.display)
    skew = format_rounded_angle(one.skew)
    what = (
        f"The diagonals of {name} {can} differ by {by} more than drawn, {skew} out of square;"
        f" class {report.linear} allows {limit}."
    )
    return Finding(
        f"inexact/square/{one.weldment}",
        "inexact",
        level,
        what,
        one.first.b,
        tuple(dict.fromkeys((*one.first.ids, *one.second.ids))),
        "Set the stops further apart, and measure both diagonals before the second tacks.",
        error.worst,
        one.limit,
        "mm",
        _class(report, 2),
    )


def _out_of_line(job: Job, report: ExactReport, one: OutOfLine) -> Finding:
    beyond = one.out > one.limit or one.angle > one.limit_deg
    out = format_measure(one.out, job.display)
    angle = format_rounded_angle(one.angle)
    face = side_title(job, one.part, one.face, one.normal)
    back = told_apart(job, one.back)
    apart = format_length(one.spacing, job.display)
    what = (
        f"The stops on {face} are {out} out of line: {back} stands furthest back."
        f" Pushed home, the part turns by {angle} over {apart}."
    )
    return Finding(
        f"inexact/line/{one.part}/{one.face.label}",
        "inexact",
        "look" if beyond else "note",
        what,
        one.where,
        (one.part, *one.pieces),
        f"Pack {back} out by {out}, or move the stops into line.",
        one.out,
        one.limit,
        "mm",
        _class(report, 3),
    )
