"""The walking order of the bins, the rack's name, and a piece described in words."""

from collections import Counter

from msgspec import structs
from PySide6.QtWidgets import QWidget

from gridjig.checks.needs import needs, short_by
from gridjig.edits.rack import set_walk
from gridjig.model import Job
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.fields import TextField
from gridjig.qt.widgets.order_list import OrderEntry, OrderList
from gridjig.rack import Piece
from gridjig.session.document import Document
from gridjig.sheets.text.sorting import natural
from gridjig.units import format_length, format_mass


class RackWalk(CellForm):
    """The bins in walking order; bins in use that have no place in the order come last."""

    def __init__(self, draft: Document, parent: QWidget | None = None) -> None:
        super().__init__(draft, parent)
        self.name = self.field(
            TextField("Name of the rack", needed=True),
            lambda job: job.rack.name,
            _named,
            "Name the rack",
            wide=True,
        )
        self.words("small", "The pull list follows this order of the bins.")
        self.order = OrderList("Bins in walking order")
        self.order.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 22)
        self.order.ordered.connect(self._on_order)
        self.across(self.order)
        self.by_name = self.button("Order by name", self.sort)
        self.empty = self.button("Leave out empty bins", self.leave_out_empty)
        self.reflow()

    def _bins(self, job: Job) -> tuple[str, ...]:
        used = [p.bin for p in job.rack.pieces if p.bin]
        return tuple(dict.fromkeys((*job.rack.walk, *used)))

    def show_draft(self) -> None:
        """Show the draft's bins."""
        job = self.document.job
        self.show_values(job)
        hang = Counter(p.bin for p in job.rack.pieces if p.bin)
        self.order.show_entries(
            tuple(OrderEntry(b, f"{b}: {_kinds(hang[b])}") for b in self._bins(job))
        )
        self.empty.setEnabled(any(not hang[b] for b in self._bins(job)))

    def _on_order(self, keys: tuple[str, ...]) -> None:
        moved = sorted(self.order.chosen(), key=keys.index)
        self.document.do(
            set_walk(self.document.job, keys), "Change the walking order", merge_key="walk"
        )
        told = (f"{one} is number {keys.index(one) + 1}" for one in moved)
        self.message.emit(f"{', '.join(told)} of {len(keys)}.")

    def sort(self) -> None:
        """Sort the bins by name, with numbers compared by value."""
        bins = tuple(sorted(self._bins(self.document.job), key=natural))
        self.document.do(set_walk(self.document.job, bins), "Order the bins by name")

    def leave_out_empty(self) -> None:
        """Remove empty bins from the walking order."""
        hang = {p.bin for p in self.document.job.rack.pieces}
        bins = tuple(b for b in self._bins(self.document.job) if b in hang)
        self.document.do(set_walk(self.document.job, bins), "Leave out empty bins")


def _named(job: Job, name: str) -> Job:
    return structs.replace(job, rack=structs.replace(job.rack, name=name))


def _kinds(count: int) -> str:
    if not count:
        return "empty"
    return "1 kind of piece" if count == 1 else f"{count} kinds of piece"


def piece_words(job: Job, piece: Piece) -> str:
    """Return a few lines about a piece: counts, mass and height, pins, hand."""
    need = needs(job).get(piece.id)
    used = need.count if need else 0
    place = f"bin {piece.bin}" if piece.bin else "no bin"
    count = f"{piece.owned} on hand, {used} in use, {place}."
    short = short_by(piece, need) if need else 0
    if short:
        count = f"▲ Short by {short}. {count}"
    word = "thick" if piece.thickness else "high"
    high = format_length(piece.height, job.display)
    body = f"{high} {word}, {format_mass(piece.mass, job.display)}."
    extra: list[str] = []
    if piece.needs_pin:
        pin = job.rack.locking_pin(piece)
        extra.append(f"Pinned with {pin.name}." if pin else "▲ No pin on this rack fits it.")
    if piece.hand != "none":
        extra.append(f"{piece.hand.capitalize()} hand.")
    if piece.flips:
        extra.append("Can be turned over.")
    return "\n".join(t for t in (piece.full_name, count, " ".join((body, *extra))))
