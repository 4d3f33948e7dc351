"""What a sheet is made from: the job with everything that was found out about it, once."""

from collections.abc import Mapping

from msgspec import Struct

from gridjig.checks.findings import Finding, findings
from gridjig.contact.book import Contacts
from gridjig.contact.values import JobContacts
from gridjig.model import Job
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.solve.tolerance import LinearClass
from gridjig.units.progress import SILENT, Progress

from .numbering import numbers, setting_order
from .paper import SheetChoices
from .shown import Shown

CLASS: LinearClass = "B"
"""The class of ISO 13920 that limits are taken from if the sheet is asked for no other."""


class KnownFacts(Struct, frozen=True, eq=False):
    """What is known of a job already, so that it need not be worked out again."""

    placed_pieces: Mapping[str, PlacedPiece]
    contacts: JobContacts
    findings: tuple[Finding, ...]


class SheetFacts(Struct, frozen=True, eq=False):
    """A job, what was found about it, the order of setting, and how the sheet is to be."""

    job: Job
    found: KnownFacts
    order: tuple[str, ...]
    numbers: Mapping[str, int]
    choices: SheetChoices
    shown: Shown
    linear_class: LinearClass = CLASS

    def numbered(self, placements: tuple[str, ...]) -> str:
        """The numbers of some pieces in the order of setting: 1, 2 and 5."""
        several = sorted(self.numbers[one] for one in placements if one in self.numbers)
        told = [str(number) for number in several]
        if len(told) < 2:
            return "".join(told)
        return f"{', '.join(told[:-1])} and {told[-1]}"


def find_out(job: Job, progress: Progress = SILENT) -> KnownFacts:
    """Return what a sheet needs to know of a job.  Raise Cancelled through `progress`."""
    placed_pieces = PlacedPieces().of(job)
    progress.report(1, 4, "Looking for contacts")
    book = Contacts()
    with progress.heeded():
        contacts = book.of(job, placed_pieces)
    found = findings(job, placed_pieces, progress.part(1, 3), book)
    return KnownFacts(placed_pieces, contacts, found)


def facts_of(job: Job, choices: SheetChoices, found: KnownFacts) -> SheetFacts:
    """Return what a sheet of a job is made from."""
    order = setting_order(job, found.placed_pieces, found.contacts)
    shown = Shown(job.display, choices.units == "both")
    return SheetFacts(job, found, order, numbers(order), choices, shown)
