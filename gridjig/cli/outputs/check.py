"""What `gridjig check --json` prints."""

from collections.abc import Mapping, Sequence

from gridjig.checks.finding import FigureUnit, Finding, FindingKind, Level
from gridjig.contact.carrying import CarriedHow
from gridjig.model import Job
from gridjig.proof.access.values import AccessState
from gridjig.proof.located.values import Located, LocatedAs, Motion, MotionKind
from gridjig.proof.report import ProofReport, ProofVerdict

from .base import Output, Pair


class FindingOutput(Output, frozen=True):
    """One thing found; `value` and `limit` are in `unit`, null where nothing is measured."""

    id: str
    kind: FindingKind
    level: Level
    ids: tuple[str, ...]
    where_mm: Pair | None
    what: str
    do: str
    value: float | None
    limit: float | None
    unit: FigureUnit
    source: str


class MotionOutput(Output, frozen=True):
    """How a part can still move: about a centre, along a direction, or both.

    `by_mm_or_deg` is how far until something stops it, null if nothing was found to.
    """

    kind: MotionKind
    centre_mm: Pair | None
    direction: Pair | None
    by_mm_or_deg: float | None


class ErrorOutput(Output, frozen=True):
    """How far a corner of the part can be out: all errors at their worst, and root-sum-square."""

    worst: float
    rss: float


class MemberOutput(Output, frozen=True):
    """How one part is located when it is loaded, as the `order`th, and how exactly."""

    id: str
    located: LocatedAs
    motion: MotionOutput | None
    contacts: tuple[str, ...]
    carried: CarriedHow
    order: int
    error_mm: ErrorOutput | None
    error_deg: float | None


class LocatorOutput(Output, frozen=True):
    """How hard the work lies against a locator without friction, N; `lifts` if it does not."""

    placement: str
    reaction: float
    lifts: bool


class JointOutput(Output, frozen=True):
    """The room for a torch at each side of a joint, and by how much welding closes it."""

    a: str
    b: str
    access: Mapping[str, AccessState]
    closing_mm: Pair | None


class OutOutput(Output, frozen=True):
    """How the work comes out: straight up, in which directions, what comes off first, in order."""

    up: bool
    directions: tuple[Pair, ...]
    first_off: tuple[str, ...]
    trapped: tuple[str, ...]


class CheckOutput(Output, frozen=True):
    """All that is checked of a job; `out` is null where there is nothing to take out."""

    job: str
    verdict: ProofVerdict
    looked_at: tuple[str, ...]
    findings: tuple[FindingOutput, ...]
    members: tuple[MemberOutput, ...]
    locators: tuple[LocatorOutput, ...]
    joints: tuple[JointOutput, ...]
    out: OutOutput | None


def check_output(job: Job, report: ProofReport) -> CheckOutput:
    """The report as it is printed."""
    return CheckOutput(
        job=job.name,
        verdict=report.verdict,
        looked_at=report.looked_at,
        findings=tuple(_finding(one) for one in report.findings if one.kind),
        members=_members(report),
        locators=tuple(
            LocatorOutput(one.placement, round(one.reaction, 3), one.lifts)
            for one in (report.held.locators if report.held is not None else ())
        ),
        joints=_joints(report),
        out=_out(report),
    )


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 3)


def _pair(point: Pair | None) -> Pair | None:
    return None if point is None else (round(point[0], 3), round(point[1], 3))


def _finding(one: Finding) -> FindingOutput:
    assert one.kind
    return FindingOutput(
        id=one.id,
        kind=one.kind,
        level=one.level,
        ids=one.ids,
        where_mm=_pair(one.where),
        what=one.what,
        do=one.do,
        value=_rounded(one.value),
        limit=_rounded(one.limit),
        unit=one.unit,
        source=one.source,
    )


def _members(report: ProofReport) -> tuple[MemberOutput, ...]:
    if report.located is None:
        return ()
    exact = report.exact.members if report.exact is not None else ()
    errors = {one.id: one for one in exact}
    found = []
    for one in report.located.parts:
        made = errors.get(one.id)
        error, angle = (made.error, made.angle) if made is not None else (None, None)
        found.append(
            MemberOutput(
                id=one.id,
                located=one.located,
                motion=_motion(one),
                contacts=one.contacts,
                carried=one.carried.how,
                order=one.order,
                error_mm=None
                if error is None
                else ErrorOutput(round(error.worst, 4), round(error.rss, 4)),
                error_deg=None if angle is None else round(angle.worst, 4),
            )
        )
    return tuple(found)


def _motion(one: Located) -> MotionOutput | None:
    motion: Motion | None = one.motion
    if motion is None:
        return None
    way = motion.direction
    return MotionOutput(
        motion.kind,
        _pair(motion.centre),
        None if way is None else (round(way[0], 6), round(way[1], 6)),
        _rounded(motion.by),
    )


def _joints(report: ProofReport) -> tuple[JointOutput, ...]:
    closed = report.out.joints if report.out is not None else ()
    by_id = {(one.a, one.b, one.nth): one for one in closed}
    found = []
    for one in report.access.joints if report.access is not None else ():
        closing = by_id.get((one.a, one.b, one.nth))
        pair = None if closing is None else (round(closing.low, 3), round(closing.high, 3))
        sides = {side.name: side.state for side in one.sides}
        found.append(JointOutput(one.a, one.b, sides, pair))
    return tuple(found)


def _out(report: ProofReport) -> OutOutput | None:
    """How all that is on the table comes out: the directions are free for every weldment."""
    if report.out is None:
        return None
    ways = [one.directions for one in report.out.weldments]
    return OutOutput(
        report.out.up,
        tuple((round(low, 3), round(high, 3)) for low, high in in_common(ways)),
        report.out.first_off,
        report.out.trapped,
    )


def in_common(ways: Sequence[Sequence[Pair]]) -> tuple[Pair, ...]:
    """The directions that several sets of intervals have in common, degrees.

    An interval runs counter-clockwise from its first end to its second, which is not less.
    """
    if not ways:
        return ()
    found = list(ways[0])
    for others in ways[1:]:
        found = [
            (max(a, c + turn), min(b, d + turn))
            for a, b in found
            for c, d in others
            for turn in (-360.0, 0.0, 360.0)
            if max(a, c + turn) <= min(b, d + turn)
        ]
    return tuple(dict.fromkeys(found))
