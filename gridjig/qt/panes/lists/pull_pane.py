"""The pull list: what to pull from the rack, bin by bin in walking order, always up to date.

Selecting a line selects its pieces and shows where they stand.
"""

from collections import Counter
from collections.abc import Mapping

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.model import Job
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.columns import Column, in_columns
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import GAP, in_column, in_row
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Button, Label
from gridjig.sheets.lists.pull_list import PullLine, PullList, pull_list
from gridjig.solve.placed.placed_piece import PlacedPiece
from gridjig.units import format_mass

_COLUMNS = (
    Column("Bin"),
    Column("Piece", wraps=True),
    Column("Needed", right=True),
    Column("On hand", right=True),
)


def pull_entries(pulled: PullList) -> tuple[ListEntry, ...]:
    """Return the pull list as entries, bin by bin in walking order."""
    names = Counter(line.name for group in pulled.groups for line in group.lines)
    return tuple(
        _entry(group.bin, line, names[line.name] == 1)
        for group in pulled.groups
        for line in group.lines
    )


def _entry(bin_name: str, line: PullLine, named: bool) -> ListEntry:
    """Return a line; the piece's size is in its row only if the name does not tell it apart."""
    short = f"short by {line.short}" if line.short else ""
    holes = ", ".join(line.holes)
    size = line.size if named else ""
    under = " · ".join(t for t in (short, size, f"for {holes}" if holes else "") if t)
    place = f"bin {bin_name}" if bin_name else "no bin"
    spoken = ", ".join(
        t
        for t in (
            line.name,
            line.size,
            place,
            f"{line.needed} needed",
            f"{line.owned} on hand",
            short,
            holes,
        )
        if t
    )
    piece = line.name if named else ", ".join(t for t in (line.name, line.size) if t)
    return ListEntry(
        line.piece,
        piece,
        under,
        f"{line.needed} / {line.owned}",
        "look" if line.short else "",
        line.placements,
        spoken=spoken,
        brief=short,
        cells=(bin_name or "–", piece, str(line.needed), str(line.owned)),
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
        self.list = EntryListView("Pull list", appearance)
        self.heads = in_columns(self.list, _COLUMNS, opens=True)
        self.copy = self._button("Copy", "pull.copy", "Copy the pull list as a table")
        self.save = self._button("Save CSV…", "pull.save", "Save the pull list as CSV")
        row = in_row((self.total, 1), self.copy, self.save, margins="foot", gap=GAP)
        in_column(self.heads, (self.list, 1), row, over=self, margins="none", gap=0)
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
        for part in (self.heads, self.list):
            part.setVisible(bool(pulled.groups))
        for button in (self.copy, self.save):
            button.setEnabled(bool(pulled.groups))


def total_words(pulled: PullList) -> str:
    """Return one line: how much is pulled in all, and what is short."""
    if not pulled.groups:
        return "Nothing to pull yet: no piece is on the table."
    pieces = "1 piece" if pulled.needed == 1 else f"{pulled.needed} pieces"
    head = f"{pieces} to pull, {format_mass(pulled.mass, pulled.display)}."
    if pulled.short:
        return f"▲ Short by {pulled.short}. {head}"
    return f"{head} The rack has enough."
