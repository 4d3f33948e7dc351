"""Every list of a job that can leave the program as a table, by a short name.

Each is comma-separated values: numbers in mm, degrees and kg, so that a spreadsheet can compute
with them, and the same rows with tabs for the clipboard.
"""

import csv
import io
from collections.abc import Callable, Sequence

from msgspec import Struct

from gridjig.contact.book import contacts
from gridjig.model import Job
from gridjig.model.by_weldment import only, parts_of
from gridjig.model.labels import address
from gridjig.model.titles import title, weldment_title
from gridjig.proof.report import prove
from gridjig.sheets.lists.csv_text import csv_text
from gridjig.sheets.text.contact_text import contact_text, placed_text, role_text
from gridjig.sheets.text.hole_states import HOLE_STATES
from gridjig.sheets.text.layout_text import LOOKS, packing_words
from gridjig.sheets.text.placed_text import freedom_words, place_words
from gridjig.solve.layout.faults import LayoutFault
from gridjig.solve.layout.remainders import remainders, the_stop
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.units import data_number
from gridjig.words.layout_fault_text import layout_fault_text

from . import bar_list, cut_list, pull_list, weld_list
from .piece_settings import piece_settings

Rows = list[Sequence[str]]


class NamedList(Struct, frozen=True):
    """A list: its short name, what it is called, and its comma-separated values for a job.

    What makes them raises ValueError with a sentence if there is no such list of the job.
    """

    name: str
    title: str
    csv: Callable[[Job], str]

    def text(self, job: Job) -> str:
        """Return the list as tab-separated values, as spreadsheets paste it."""
        rows = csv.reader(io.StringIO(self.csv(job)))
        return "".join("\t".join(" ".join(cell.split()) for cell in row) + "\n" for row in rows)

    def count(self, job: Job) -> int:
        """Return how many lines it has, without its headings."""
        return sum(1 for _ in csv.reader(io.StringIO(self.csv(job)))) - 1


def _pieces(job: Job) -> str:
    placed = PlacedPieces().of(job)
    settings = {one.placement: one for one in piece_settings(job, placed)}
    rows: Rows = [
        (
            "Name", "Piece", "Size", "Holes", "Turn", "Turned over", "Face mm", "From hole",
            "Arm angle", "Reach mm", "Packing", "Stands on", "Held", "Note", "Piece id", "Id",
        )
    ]  # fmt: skip
    for placement in job.placements:
        piece, one = job.rack.find(placement.piece), settings.get(placement.id)
        rows.append(
            (
                title(job, placement.id),
                piece.name if piece else "",
                piece.size if piece else "",
                place_words(job.table, placement),
                _degrees(one.turn) if one else "",
                "yes" if placement.flipped else "no",
                _mm(one.face if one else None),
                one.face_hole if one else "",
                _degrees(one.leaf) if one and one.leaf is not None else "",
                _mm(one.reach if one else None),
                ", ".join(one.packing) if one else "",
                ", ".join(one.lift) if one else "",
                freedom_words(job, placed[placement.id]),
                placement.note,
                placement.piece,
                placement.id,
            )
        )
    return csv_text(rows)


def _checks(job: Job) -> str:
    rows: Rows = [("Level", "What", "Do", "X mm", "Y mm", "Ids")]
    for one in prove(job, PlacedPieces().of(job)).findings:
        x, y = (None, None) if one.where is None else one.where
        rows.append((one.level, one.what, one.do, _mm(x), _mm(y), " ".join(one.ids)))
    return csv_text(rows)


def _contacts(job: Job) -> str:
    found = contacts(job, PlacedPieces().of(job))
    rows: Rows = [("Piece", "Does", "Contact", "Means", "Gap mm", "Length mm", "Id", "Part id")]
    for piece, own in found.pieces.items():
        first = (placed_text(job, piece), role_text(job, found.roles[piece]))
        rows += [
            (
                *first,
                contact_text(job, one),
                one.means,
                _mm(one.gap),
                _mm(one.length),
                piece,
                one.part,
            )
            for one in own.contacts
        ] or [(*first, "", "", "", "", piece, "")]
    return csv_text(rows)


def _gaps(job: Job) -> str:
    """In front of each face, for the stop that is proposed and class B of ISO 13920.

    Raise ValueError with a sentence if the rack has no stop.
    """
    try:
        stop = the_stop(job.rack, None)
    except LayoutFault as fault:
        raise ValueError(layout_fault_text(fault.reason)) from fault
    rows: Rows = [
        (
            "Weldment", "Faces", "Looks", "From datum mm", "Gap mm", "Packing", "Residual mm",
            "Verdict", "Stop id",
        )
    ]  # fmt: skip
    for one in job.weldments:
        if not parts_of(job, one.id):
            continue
        mine = only(job, one.id)
        found = remainders(mine, stop)
        for gap in found.found:
            line = gap.line
            names = dict.fromkeys(title(job, face.of.part) for face in line.faces)
            rows.append(
                (
                    weldment_title(job, one.id),
                    ", ".join(names),
                    LOOKS[line.axis, line.sign],
                    _mm(gap.dimension),
                    _mm(gap.left),
                    packing_words(mine, gap.packing),
                    _mm(gap.packing.residual),
                    gap.verdict,
                    found.stop.piece,
                )
            )
    return csv_text(rows)


def _holes(job: Job) -> str:
    words = {state: name for state, name, _ in HOLE_STATES}
    rows: Rows = [("Hole", "State", "Size mm", "X mm", "Y mm")]
    for mark in job.table.marks:
        x, y = job.table.at(mark.hole)
        size = _mm(mark.size or None)
        rows.append((address(job.table, mark.hole), words[mark.state], size, _mm(x), _mm(y)))
    return csv_text(rows)


def _mm(value: float | None) -> str:
    return "" if value is None else data_number(value, 3)


def _degrees(value: float) -> str:
    return data_number(value, 4)


LISTS: tuple[NamedList, ...] = (
    NamedList("pull", "Pull list", lambda job: pull_list.to_csv(pull_list.pull_list(job))),
    NamedList("cuts", "Cut list", lambda job: cut_list.to_csv(cut_list.cut_list(job))),
    NamedList("bars", "Bars to buy", lambda job: bar_list.to_csv(bar_list.bar_list(job))),
    NamedList("welds", "Weld list", lambda job: weld_list.to_csv(weld_list.weld_list(job))),
    NamedList("pieces", "Pieces on the table", _pieces),
    NamedList("contacts", "Contacts", _contacts),
    NamedList("gaps", "Gaps from stop to face", _gaps),
    NamedList("checks", "Checks", _checks),
    NamedList("holes", "Marked holes", _holes),
)
