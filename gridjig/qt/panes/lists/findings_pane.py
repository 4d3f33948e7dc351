"""What the check found: each finding says what to do, and a click on it shows the place."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from gridjig.checks.findings import Finding
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import in_column
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Label
from gridjig.sheets.text.placed_text import LEVEL_WORDS


class FindingsPane(QWidget):
    """The findings by level, worst first; `chosen` carries those that are selected."""

    chosen = Signal(object)
    wanted = Signal(object)

    def __init__(self, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.findings: tuple[Finding, ...] = ()
        self.summary = Label("Nothing is on the table yet, so there is nothing to check.")
        self.summary.setMargin(8)
        self.summary.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.list = EntryListView("What the check found", appearance)
        self.footnote = Label(
            "A plan only: nothing here is a check of strength. Follow the drawing, the shop's"
            " procedures and the law that applies.",
            "small",
        )
        self.footnote.setMargin(8)
        in_column(self.summary, (self.list, 1), self.footnote, over=self, margins="none", gap=0)
        self.list.chosen.connect(lambda _: self.chosen.emit(self._chosen()))
        self.list.opened.connect(self._open)
        self.setFocusProxy(self.list)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.list.set_appearance(appearance)

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """List these findings; there are none only if the table is empty."""
        self.findings = findings
        entries: list[ListEntry] = []
        for level, head in LEVEL_WORDS.items():
            of_level = [f for f in findings if f.level == level]
            if of_level:
                count = str(len(of_level))
                entries.append(ListEntry(f"heading {level}", head, right=count, heading=True))
            entries += [
                ListEntry(f.id, f.what, f.do, level=f.level, ids=tuple(f.ids)) for f in of_level
            ]
        self.summary.setVisible(not findings)
        self.list.setVisible(bool(findings))
        self.list.show_entries(entries, None)

    def _chosen(self) -> tuple[Finding, ...]:
        keys = {entry.key for entry in self.list.chosen_entries()}
        return tuple(finding for finding in self.findings if finding.id in keys)

    def _open(self, entry: ListEntry) -> None:
        for finding in self.findings:
            if finding.id == entry.key:
                self.wanted.emit(finding)

    def mark(self, finding: Finding) -> None:
        """Highlight a finding in the list."""
        self.list.go_to(finding.id)
