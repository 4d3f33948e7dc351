"""What is wrong, or worth a look, in a whole job: what, where, by how much, what to do.

Each finding follows from few things; what follows from the same things is not worked out again.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from gridjig.contact.features import NO_FEATURES, features_of
from gridjig.contact.values import TOUCH
from gridjig.model import Job, Part
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import format_count, format_measure
from gridjig.units.progress import SILENT, Progress, looked_at
from gridjig.units.series import series

from .clash_book import ClashBook
from .clash_findings import clash_finding, crowded
from .conflicts import MOST_PAIRS, Clash
from .finding import LEVELS, Finding, Level, names_of
from .finding_order import weldment_numbers, worst_first
from .needs import shims_left
from .neighbours import placed_part
from .piece_findings import over_the_edge, piece_findings
from .remembered import Remembered, collected
from .whole_findings import shortages, work_findings

if TYPE_CHECKING:
    from gridjig.contact.book import Contacts
    from gridjig.contact.values import Contact, JobContacts, PartContact

__all__ = ["LEVELS", "Finding", "Findings", "Level", "findings", "worst_first"]

NOT_LOOKED_AT = (
    "Not checked: whether the work is located and held, strength, and room for the torch."
)


def findings(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    progress: Progress = SILENT,
    kept: "Contacts | None" = None,
) -> tuple[Finding, ...]:
    """Return all findings, the worst first, or a single finding that all is well.

    `kept` are the contacts of the previous check; what did not change is not searched again.
    Raises Cancelled through `progress`.
    """
    contacts = None
    progress.report(0, 2, "Checking")
    with progress.heeded():
        if job.parts:
            from gridjig.contact.book import Contacts  # noqa: PLC0415  # late: a table needs no numpy

            contacts = (kept or Contacts()).of(job, placed_pieces)
        found = Findings().of(job, placed_pieces, contacts)
    if not found and (job.placements or job.parts):
        found = (fine(job, placed_pieces, contacts, NOT_LOOKED_AT),)
    return worst_first(found, weldment_numbers(job, contacts))


class Findings:
    """Keeps the findings of the last job, and looks again only at what differs.

    Not thread-safe.
    """

    def __init__(self) -> None:
        self._clashes = ClashBook()
        self._said = Remembered()
        self._of_piece = Remembered()
        self._of_contact = Remembered()

    def of(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        contacts: "JobContacts | None" = None,
    ) -> tuple[Finding, ...]:
        """Return what is found; `contacts` are those of this job, None if it has no parts."""
        said, every = self._said, placed_pieces.items()
        basis = (job.table, job.rack, job.display, said.equal("names", names_of(job)))
        found: list[Finding] = []
        with said.round(*basis), self._of_piece.round(*basis):
            for name, placed in looked_at(every, 20):
                found += self._of_piece.of(name, (placed,), piece_findings, job, placed)
            found += self._of_clashes(job, placed_pieces)
            work = (job.parts, job.weldments, job.saw)
            found += said.of("work", work, work_findings, job)
            found += said.of("edges", (job.parts,), _parts_over, job)
            found += shortages(job)
            if contacts is not None:
                with self._of_contact.round(job.parts, *basis):
                    found += self._of_contacts(job, placed_pieces, contacts)
        return tuple(found)

    def _of_clashes(self, job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> Iterator[Finding]:
        """Shared holes, and bodies that overlap each other or the weldment."""
        every = self._clashes.of(placed_pieces, job.parts)
        parts = {part.id for part in job.parts} if every.found else set()
        for clash in every.found:
            key: tuple[object, ...] = (clash, placed_pieces[clash.a].placement)
            with_part = clash.b in parts
            if not with_part:
                key = (placed_pieces[clash.b].placement, *key)
            name = ("clash", clash.a, clash.b)
            yield from self._said.of(name, key, _clash, job, clash, with_part)
        if not every.all:
            yield crowded("crowded", MOST_PAIRS, "pieces and parts")

    def _of_contacts(
        self, job: Job, placed_pieces: Mapping[str, PlacedPiece], contacts: "JobContacts"
    ) -> Iterator[Finding]:
        """What does not touch, what is not carried, what presses on nothing."""
        from gridjig.contact.by_part import by_part  # noqa: PLC0415  # late: a table needs no numpy

        from .contact_findings import findings_of, overlapping_parts  # noqa: PLC0415  # late, too
        from .member_ends import short_ends  # noqa: PLC0415  # late, too

        said, parts = self._of_contact, {part.id: part for part in job.parts}
        shims = said.equal("shims", shims_left(job))
        over = (contacts.part_overlaps,)
        yield from said.of("overlaps", over, overlapping_parts, job, contacts)
        yield from said.of("ends", (), short_ends, job)
        roles, own = contacts.roles, contacts.pieces
        for name, placed in looked_at(placed_pieces.items(), 20):
            key: tuple[object, ...] = (placed, roles[name], own[name])
            if placed.tip is not None and placed.tip.push == "along":
                key = (contacts, *key)  # what is behind the work counts, whatever piece it is
            elif placed.piece is not None and placed.piece.takes_packing:
                key = (shims, *key)  # what is said to be put before it has to be on the rack
            yield from said.of(name, key, findings_of, job, placed, contacts, parts)
        if not job.placements:
            return
        beside = by_part(contacts)
        for part in job.parts:
            touching, joined = beside.own.get(part.id, ()), beside.joined.get(part.id, ())
            given = (part, touching, joined)
            yield from said.of(("part", part.id), given, _carried, job, part, touching, joined)


def _clash(job: Job, clash: Clash, with_part: bool) -> tuple[Finding, ...]:
    return (clash_finding(job, clash, with_part),)


def _carried(
    job: Job, part: Part, own: "Sequence[Contact]", joined: "Sequence[PartContact]"
) -> tuple[Finding, ...]:
    from .carried import carried_finding  # noqa: PLC0415  # late: a table needs no numpy

    one = carried_finding(job, part, own, joined)
    return () if one is None else (one,)


@collected
def _parts_over(job: Job) -> Iterator[Finding]:
    """Parts that hang over an edge of the table."""
    for part in job.parts:
        points = list(placed_part(part).points)
        yield from over_the_edge(
            job, part.id, points, "Move the work in, or support it from below."
        )


def fine(
    job: Job,
    placed_pieces: Mapping[str, PlacedPiece],
    contacts: "JobContacts | None",
    not_looked_at: str,
    also: str = "",
) -> Finding:
    """Say what was checked; a job without a weldment has nothing to touch.

    `also` is what else was found to be well where there are contacts.
    """
    if not job.placements:
        parts = (
            "No parts overlap and none hangs" if len(job.parts) > 1 else "The part does not hang"
        )
        what = f"{parts} over the edge. No piece is placed yet, so nothing else was checked."
        return Finding("fine/parts", "", "fine", what, None, (), "")
    count = len(job.placements)
    holes = sum(len(s.holes) for s in placed_pieces.values())
    pieces = "1 piece sits" if count == 1 else f"{format_count(count)} pieces sit"
    many = "1 hole" if holes == 1 else f"{format_count(holes)} holes"
    stands = f"Nothing overlaps; {pieces} in {many}"
    if not job.parts:
        what = f"{stands}. There is no weldment, so contact with the work was not checked."
        return Finding("fine", "", "fine", what, None, (), "")
    able = sum(features_of(placed) != NO_FEATURES for placed in placed_pieces.values())
    gaps = _accepted_gaps(job, contacts)
    told = [stands, _touch_words(job, count, able, gaps)]
    if any(part.z_low > TOUCH for part in job.parts):
        told.append("every raised part is supported")
    if any(placed.tip is not None for placed in placed_pieces.values()):
        told.append("every clamp has a support behind it")
    trusted = sum(p.clamped_by_hand for p in job.placements)
    if trusted:
        by_hand = "1 piece is" if trusted == 1 else f"{trusted} pieces are"
        told.append(f"{by_hand} trusted to be clamped by hand")
    if also:
        told.append(also)
    what = f"{'; '.join(told)}."
    well = "fine/gaps" if gaps else "fine/contacts"
    return Finding(well, "", "fine", f"{what} {not_looked_at}", None, (), "")


def _accepted_gaps(job: Job, contacts: "JobContacts | None") -> list[float]:
    """The accepted gaps of the pieces that stand off the work by one, mm.

    A piece that touches nevertheless, as after the work was moved to it, is not one of them.
    """
    if contacts is None:
        return []
    off = {name for name, role in contacts.roles.items() if role.what == "stands off"}
    return [p.accepted_gap for p in job.placements if p.id in off]


def _touch_words(job: Job, count: int, able: int, gaps: Sequence[float]) -> str:
    """How many of the pieces that have a face touch the work, and which gaps are accepted."""
    if not able:
        return "none has a face to touch the work with"
    touch = able - len(gaps)
    if touch == count:
        return "each touches the work"
    told = []
    if touch:
        told.append("1 touches the work" if touch == 1 else f"{format_count(touch)} touch the work")
    if gaps:
        widest = format_measure(max(gaps), job.display)
        one = f"1 is within its accepted gap of {widest}"
        many = f"{format_count(len(gaps))} are within their accepted gaps of up to {widest}"
        told.append(one if len(gaps) == 1 else many)
    if able < count:
        told.append("the others have no face to touch it with")
    return series(told)
