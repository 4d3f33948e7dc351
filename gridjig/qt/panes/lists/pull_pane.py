"""The pull list: what to pull from the rack, bin by bin in walking order, always up to date.

Selecting a line selects its pieces and shows where they stand.
"""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from gridjig.model import Job
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Button, Label
from gridjig.sheets.lists.pull_list import PullLine, PullList, pull_list
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import format_mass


def pull_entries(pulled: PullList) -> tuple[ListEntry, ...]:
    """Return the pull list as entries: a heading for each bin, then its lines."""
    entries: list[ListEntry] = []
    for group in pulled.groups:
        head = f"Bin {group.bin}" if group.bin else "No bin"
        entries.append(ListEntry(f"bin {group.bin}", head, right="needed / on hand", heading=True))
        entries += [_entry(line) for line in group.lines]
    return tuple(entries)


def _entry(line: PullLine) -> ListEntry:
    count = f"{line.needed} / {line.owned}"
    short = f"short by {line.short}" if line.short else ""
    holes = ", ".join(line.holes)
    under = " · ".join(t for t in (short, line.size, f"for {holes}" if holes else "") if t)
    spoken = ", ".join(
        t
        for t in (
            line.name,
            line.size,
            f"{line.needed} needed",
            f"{line.owned} on hand",
            short,
            holes,
        )
        if t
    )
    return ListEntry(
        line.piece,
        line.name,
        under,
        f"▲ {count}" if line.short else count,
        "look" if line.short else "",
        line.placements,
        spoken=spoken,
    )


class PullPane(QWidget):
    """The pull list with its total, and buttons to copy or save it."""

    chosen = Signal(object)
    shown = Signal(object)
    action_wanted = Signal(str)

    def __init__(self, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._job: Job | None = None
        self.pulled: PullList | None = None
        self.total = Label()
        self.total.setMargin(8)
        self.total.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.list = EntryListView("Pull list", appearance)
        self.copy = self._button("Copy", "pull.copy", "Copy the pull list as a table")
        self.save = self._button("Save CSV…", "pull.save", "Save the pull list as CSV")
        row = in_row(self.copy, self.save, REST, margins="foot")
        in_column(self.total, (self.list, 1), row, over=self, margins="none", gap=0)
        self.list.chosen.connect(self.chosen)
        self.list.opened.connect(lambda entry: self.shown.emit(self.list.ids_with(entry)))
        self.setFocusProxy(self.list)

    def _button(self, words: str, wanted: str, about: str) -> Button:
        button = Button(words, "plain", about=about)
        button.clicked.connect(lambda: self.action_wanted.emit(wanted))
        return button

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.list.set_appearance(appearance)

    def show_job(self, job: Job, placed_pieces: Mapping[str, PlacedPiece]) -> None:
        """Show what this job needs from the rack, and how its pieces are set."""
        last = self._job
        same = last is not None and (
            last.placements is job.placements
            and last.rack is job.rack
            and last.table is job.table
            and last.display == job.display
        )
        self._job = job
        if same:
            return
        self.pulled = pulled = pull_list(job, placed_pieces)
        self.total.setText(total_words(pulled))
        self.list.show_entries(pull_entries(pulled), None)
        self.list.setVisible(bool(pulled.groups))
        for button in (self.copy, self.save):
            button.setEnabled(bool(pulled.groups))


def total_words(pulled: PullList) -> str:
    """Return one line: how much is pulled in all, and what is short."""
    if not pulled.groups:
        return "Nothing to pull yet: no piece is on the table."
    pieces = "1 piece" if pulled.needed == 1 else f"{pulled.needed} pieces"
    head = f"{pieces} to pull from {pulled.rack}, {format_mass(pulled.mass, pulled.display)}."
    if pulled.short:
        return f"▲ Short by {pulled.short}. {head}"
    return f"{head} The rack has enough."
