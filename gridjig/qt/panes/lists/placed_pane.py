"""The list of everything placed, with place and state: the whole table without a pointer."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from gridjig.checks.findings import Finding
from gridjig.model import Job
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import in_column
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Label
from gridjig.sheets.text.finding_text import LEVEL_WORDS
from gridjig.sheets.text.placed_text import placed_lines
from gridjig.solve.placed.placed_piece import PlacedPiece


class PlacedPane(QWidget):
    """Everything on the table as a list; selecting a line selects the thing on the plan."""

    chosen = Signal(object)
    shown = Signal(object)
    removing = Signal()

    def __init__(self, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.list = EntryListView("What is placed", appearance)
        self.empty = Label("Nothing is on the table yet. Take a piece out of the rack drawer.")
        self.empty.setMargin(8)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        in_column(self.empty, (self.list, 1), over=self, margins="none")
        self.list.chosen.connect(self.chosen)
        self.list.opened.connect(lambda entry: self.shown.emit(self.list.ids_with(entry)))
        self.list.removing.connect(self.removing)
        self.setFocusProxy(self.list)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.list.set_appearance(appearance)

    def show_job(
        self,
        job: Job,
        placed_pieces: Mapping[str, PlacedPiece],
        findings: tuple[Finding, ...] | None,
        selected: frozenset[str],
    ) -> None:
        """List what is on this job's table, and mark what is selected.

        Nothing is called fine before the first check, while `findings` is None.
        """
        entries: list[ListEntry] = []
        group = ""
        for line in placed_lines(job, placed_pieces, findings or ()):
            if line.group != group:
                group = line.group
                key = f"heading {line.sort} {group}"
                entries.append(ListEntry(key, group, heading=True))
            word = "" if line.level == "fine" else f"{LEVEL_WORDS[line.level]}: "
            entries.append(
                ListEntry(
                    line.id,
                    line.name,
                    f"{word}{line.state}",
                    line.place,
                    "" if findings is None and line.level == "fine" else line.level,
                    (line.id,),
                )
            )
        self.empty.setVisible(not entries)
        self.list.setVisible(bool(entries))
        self.list.show_entries(entries, selected)
