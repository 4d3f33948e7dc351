"""What a sheet is made from: the job with everything that was found out about it, once."""

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from gridjig.checks.finding import Finding
from gridjig.contact.values import JobContacts
from gridjig.geometry.box_index import Box
from gridjig.geometry.display import DisplayList
from gridjig.model import Job
from gridjig.model.accuracy import LinearClass
from gridjig.proof.out.values import OutReport
from gridjig.proof.report import ProofReport, prove
from gridjig.sheets.drawings.plan import box_of_stand, draw_placement
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units.progress import SILENT, Progress
from gridjig.units.series import series

from .numbering import numbers, setting_order
from .paper import SheetChoices
from .shown import Shown, in_units

_NO_CONTACTS = JobContacts({}, {}, (), ())


class KnownFacts(Struct, frozen=True, eq=False):
    """What is known of a job already, so that it need not be worked out again."""

    placed_pieces: Mapping[str, PlacedPiece]
    contacts: JobContacts
    findings: tuple[Finding, ...]
    out: OutReport | None = None
    loading: Mapping[str, tuple[str, ...]] = {}


class SheetFacts(Struct, frozen=True, eq=False, dict=True):
    """A job, what was found about it, the order of setting, and how the sheet is to be."""

    job: Job
    found: KnownFacts
    order: tuple[str, ...]
    numbers: Mapping[str, int]
    choices: SheetChoices
    shown: Shown

    @property
    def linear_class(self) -> LinearClass:
        """The class of ISO 13920 that limits are taken from."""
        return self.job.accuracy.linear

    @cached_property
    def boxes(self) -> Mapping[str, Box]:
        """The box round each piece that stands anywhere, mm on the table."""
        found = ((k, box_of_stand(self.found.placed_pieces[k])) for k in self.order)
        return {k: box for k, box in found if box is not None}

    @cached_property
    def drawings(self) -> Mapping[str, DisplayList]:
        """The drawing of each piece, as on the screen."""
        job = self.job
        made: dict[str, DisplayList] = {}
        for k in self.order:
            placed = self.found.placed_pieces[k]
            pin = job.rack.pin_diameter(placed.piece) if placed.piece is not None else 0.0
            made[k] = draw_placement(placed, job.table, pin)
        return made

    def numbered(self, placements: tuple[str, ...]) -> str:
        """The numbers of some pieces in the order of setting: 1, 2 and 5."""
        several = sorted(self.numbers[one] for one in placements if one in self.numbers)
        return series([str(number) for number in several])


def find_out(job: Job, progress: Progress = SILENT) -> KnownFacts:
    """Return what a sheet needs to know of a job.  Raise Cancelled through `progress`."""
    placed_pieces = PlacedPieces().of(job)
    return known(placed_pieces, prove(job, placed_pieces, progress))


def known(placed_pieces: Mapping[str, PlacedPiece], report: ProofReport) -> KnownFacts:
    """Return what a sheet needs to know out of a job's report."""
    return KnownFacts(
        placed_pieces,
        report.contacts or _NO_CONTACTS,
        report.findings,
        report.out,
        report.located.orders if report.located is not None else {},
    )


def facts_of(job: Job, choices: SheetChoices, found: KnownFacts) -> SheetFacts:
    """Return what a sheet of a job is made from."""
    job = in_units(job, choices.units)
    order = setting_order(job, found.placed_pieces, found.contacts)
    return SheetFacts(job, found, order, numbers(order), choices, Shown(job.display))
