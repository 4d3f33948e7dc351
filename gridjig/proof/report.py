"""Everything that is checked, put together: what was looked at, and what was found.

Nothing here is worked out twice: each room keeps what follows from the same objects, so that an
edit of one thing costs little.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any, Literal

from msgspec import Struct, structs

from gridjig.checks.finding import Finding, names_of
from gridjig.checks.finding_order import weldment_numbers
from gridjig.checks.findings import Findings, fine, worst_first
from gridjig.checks.remembered import Remembered
from gridjig.contact.book import Contacts
from gridjig.contact.values import JobContacts
from gridjig.model import Job
from gridjig.rack.same import alike
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import SILENT, Progress

from .access.findings import joint_findings, turned_findings
from .access.report import Access
from .access.values import AccessReport
from .allowance.findings import allowance_findings
from .allowance.report import Allowing
from .allowance.values import AllowanceReport
from .exact.findings import exact_findings
from .exact.report import Exactness
from .exact.values import ExactReport
from .heights.findings import heights_findings
from .heights.report import heights
from .heights.values import HeightsReport
from .held.findings import held_findings
from .held.report import HeldBook
from .held.values import HeldReport
from .located.findings import located_findings
from .located.report import Locating
from .located.values import LocatedReport
from .out.findings import out_findings
from .out.report import Ways
from .out.values import OutReport
from .supply.findings import supply_findings
from .supply.report import supply
from .supply.values import SupplyReport

ProofVerdict = Literal["stop", "look", "fine", "nothing to check"]

NOT_PROVED = (
    "Not checked: strength, the quality of welds, lifting gear, electrical safety. This program"
    " plans; it qualifies nothing."
)
"""What no report claims."""


class ProofReport(Struct, frozen=True, eq=False):
    """What was looked at in a job, and what was found; the worst first.

    The reports of the rooms are None where there is nothing for them to look at: no weldment, or
    no piece yet.  `supply` is None as well where only what is quick was asked for.
    """

    verdict: ProofVerdict
    looked_at: tuple[str, ...]
    findings: tuple[Finding, ...]
    contacts: JobContacts | None = None
    located: LocatedReport | None = None
    held: HeldReport | None = None
    exact: ExactReport | None = None
    heights: HeightsReport | None = None
    access: AccessReport | None = None
    out: OutReport | None = None
    allowance: AllowanceReport | None = None
    supply: SupplyReport | None = None

    @property
    def more_to_find(self) -> bool:
        """True if something is short and nothing has been looked for in its place yet."""
        short = any(one.id.startswith("short/") for one in self.findings)
        return short and self.supply is None


_DOING = "Checking"
_STEPS = 9
"""Contacts, what is wrong in itself, and the seven rooms."""

NOTHING = ProofReport("nothing to check", (), ())
"""The report of an empty table."""


def prove(
    job: Job, placed_pieces: Mapping[str, PlacedPiece], progress: Progress = SILENT
) -> ProofReport:
    """Look at everything in a job.  Raises Cancelled through `progress`."""
    return Prover().of(job, placed_pieces, progress)


class Prover:
    """Keeps the report of the last job, and looks again only at what differs.  Not thread-safe."""

    def __init__(self) -> None:
        self._contacts = Contacts()
        self._findings = Findings()
        self._located = Locating()
        self._held = HeldBook()
        self._exact = Exactness()
        self._access = Access()
        self._ways = Ways()
        self._allowing = Allowing()
        self._said = Remembered()
        self._told = Remembered()
        self._held_said = Remembered()
        self._supplied: tuple[tuple[object, ...], SupplyReport] | None = None
        self._last: tuple[Job, bool, ProofReport] | None = None

    def of(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        progress: Progress = SILENT,
        *,
        quick: bool = False,
    ) -> ProofReport:
        """Return the report of a job.

        With `quick`, nothing is looked for that takes longer than an edit may: what can be used in
        place of pieces that are short, unless that is known already.
        """
        last = self._last
        if last is not None and last[0] is job and (quick or not last[1]):
            return last[2]
        with progress.heeded():
            report = self._of(job, placed_pieces, progress, quick)
        self._last = (job, quick, report)
        return report

    def _of(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], progress: Progress, quick: bool
    ) -> ProofReport:
        if not job.parts and not job.placements:
            return NOTHING
        progress.report(0, _STEPS, _DOING)
        contacts = self._contacts.of(job, placed_pieces) if job.parts else None
        progress.report(1, _STEPS, _DOING)
        found = {one.id: one for one in self._findings.of(job, placed_pieces, contacts)}
        report = ProofReport("fine", tuple(_looked_at(job)), (), contacts)
        if contacts is not None and job.placements:
            report, more = self._proved(job, placed_pieces, contacts, report, progress)
            found |= {one.id: one for one in more}
        if any(one.id.startswith("short/") for one in found.values()):
            supplied = self._supply(job, placed_pieces, contacts, quick)
            if supplied is not None:
                report = _with(report, supply=supplied)
                found |= {one.id: one for one in supply_findings(job, supplied)}
        progress.report(_STEPS, _STEPS, _DOING)
        every = worst_first(tuple(found.values()), weldment_numbers(job, contacts))
        levels = {one.level for one in every}
        verdict: ProofVerdict = (
            "stop" if "stop" in levels else "look" if "look" in levels else "fine"
        )
        if verdict == "fine":
            every = (*every, fine(job, placed_pieces, contacts, NOT_PROVED, _well(report, every)))
        return _with(report, verdict=verdict, findings=every)

    def _proved(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        contacts: JobContacts,
        report: ProofReport,
        progress: Progress,
    ) -> tuple[ProofReport, Iterable[Finding]]:
        rooms: dict[str, Callable[[], object]] = {
            "located": lambda: self._located.of(job, placed_pieces, contacts),
            "held": lambda: self._held.of(job, placed_pieces, contacts),
            "exact": lambda: self._exact.of(job, placed_pieces, contacts),
            "heights": lambda: heights(job, contacts),
            "access": lambda: self._access.of(job, placed_pieces),
            "out": lambda: self._ways.of(job, placed_pieces, contacts),
            "allowance": lambda: self._allowing.of(job, contacts),
        }
        looked: dict[str, object] = {}
        for step, (name, look) in enumerate(rooms.items(), start=2):
            progress.report(step, _STEPS, _DOING)
            looked[name] = look()
        report = _with(report, **looked)
        return report, list(self._said_of(job, report))

    def _said_of(self, job: Job, report: ProofReport) -> Iterator[Finding]:
        """What the reports of the rooms come to in words."""
        if report.located is not None:
            yield from located_findings(job, report.located, self._told)
        if report.held is not None:
            yield from held_findings(job, report.held, self._held_said)
        if report.exact is not None:
            yield from exact_findings(job, report.exact)
        if report.out is not None:
            yield from out_findings(job, report.out)
        if report.allowance is not None:
            yield from allowance_findings(job, report.allowance)
        if report.heights is not None:
            yield from heights_findings(job, report.heights)
        if report.access is None:
            return
        names = self._said.equal("names", names_of(job))
        with self._said.round(names, job.parts, job.rack, job.display, job.shop):
            for joint in report.access.joints:
                name = (joint.id, joint.nth)
                yield from self._said.of(name, (joint,), joint_findings, job, joint)
        yield from turned_findings(job, report.access)

    def _supply(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        contacts: JobContacts | None,
        quick: bool,
    ) -> SupplyReport | None:
        given = (job.placements, job.parts, job.rack, job.table)
        kept = self._supplied
        if kept is not None and alike(kept[0], given):
            return kept[1]
        if quick:
            return None
        found = supply(job, placed_pieces, contacts)
        self._supplied = (given, found)
        return found


def _with(report: ProofReport, **fields: Any) -> ProofReport:
    return structs.replace(report, **fields)


def _looked_at(job: Job) -> Iterator[str]:
    """What is looked at in a job with what it has, as short phrases."""
    if job.placements:
        yield "holes"
    yield "overlaps"
    yield "table edges"
    if job.parts:
        yield "saw cuts"
    if job.placements:
        yield "the rack"
    if job.parts and job.placements:
        yield from ("contact", "loading order", "located", "held", "exactness")
        yield from ("risers and heights", "weight", "room for the torch")
        yield from ("the way out", "shrinkage")


def _well(report: ProofReport, found: Sequence[Finding]) -> str:
    """What was found to be well besides contact; nothing that a finding contradicts."""
    if report.located is None:
        return ""
    well = "the work is located, held and exact enough"
    access = [one.id.startswith("turn/") for one in found if one.kind == "access"]
    if not all(access):
        return f"{well}, and comes out again"
    turned = ", some once it is turned over" if access else ""
    return f"{well}, comes out again, and the torch gets to every weld{turned}"
