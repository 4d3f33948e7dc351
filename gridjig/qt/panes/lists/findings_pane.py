"""What the check found: how many of each level, each with what to do; a click shows the place, how
much against which limit, and where that limit comes from.
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QWidget

from gridjig.checks.findings import Finding
from gridjig.model import Job
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import in_column, in_row
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Label, explain
from gridjig.sheets.text.finding_groups import FindingOrder, grouped
from gridjig.sheets.text.finding_text import (
    LEVEL_WORDS,
    counts_words,
    detail_words,
    figure_words,
    where_words,
)

if TYPE_CHECKING:
    from gridjig.proof.report import ProofReport

_ORDERS: Mapping[FindingOrder, str] = {
    "level": "Worst first",
    "member": "By member",
    "kind": "By kind",
}
CAUTION = (
    "This program plans; it does not qualify welds, lifts, people or electrical safety, and checks"
    " no strength. Follow the drawing, the shop's procedures and the law that applies."
)
_DETAIL_LINES = 3
"""Lines kept for the figures of a finding, so that the list does not move as they change."""
_MARGIN = 4
_HOW_TO = "Click a finding: its place, how much against which limit, and where that comes from."
_NOTHING_MEASURED = "There is nothing to measure here."
_NOTHING = "Nothing is on the table yet, so there is nothing to check."


class FindingsPane(QWidget):
    """The findings in groups; `chosen` carries those that are selected."""

    chosen = Signal(object)
    wanted = Signal(object)

    def __init__(self, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.findings: tuple[Finding, ...] = ()
        self._job: Job | None = None
        self._by_key: dict[str, Finding] = {}
        self.summary = Label()
        self.summary.setMargin(8)
        self.summary.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.order = Choices("Grouped", ((words, name) for name, words in _ORDERS.items()))
        self.order.set_value("level")
        self.list = EntryListView("What the check found", appearance)
        self.detail = Label("", "small")
        self.detail.setMargin(_MARGIN)
        self.detail.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        lines = self.detail.fontMetrics().lineSpacing() * _DETAIL_LINES
        self.detail.setMinimumHeight(lines + 2 * _MARGIN)
        self.detail.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.footnote = Label("This program plans; it qualifies nothing.", "small")
        explain(self.footnote, CAUTION)
        self.footnote.setMargin(_MARGIN)
        head = in_row((self.summary, 1), (self.order, 1), margins="none", gap=0)
        in_column(head, (self.list, 1), self.detail, self.footnote, over=self, margins="none",
                  gap=0)  # fmt: skip
        self.list.chosen.connect(lambda _: self._on_chosen())
        self.list.opened.connect(self._open)
        self.list.more = self._figures
        self.order.chosen.connect(lambda _: self._fill())
        self.setFocusProxy(self.list)
        self._fill()

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.list.set_appearance(appearance)

    def show_report(self, job: Job, report: "ProofReport") -> None:
        """List what was found in a job; there is nothing only if the table is empty."""
        self._job, self.findings = job, report.findings
        looked = ", ".join(report.looked_at)
        explain(self.summary, f"Looked at: {looked}." if looked else "")
        self._fill()

    def _fill(self) -> None:
        job, findings = self._job, self.findings
        entries: list[ListEntry] = []
        self._by_key = {}
        if job is not None:
            value = self.order.value()
            order: FindingOrder = next((name for name in _ORDERS if name == value), "level")
            for head, some in grouped(job, findings, order):
                entries.append(
                    ListEntry(f"heading {head}", head, right=str(len(some)), heading=True)
                )
                for f in some:
                    key = f"{head} {f.id}"
                    self._by_key[key] = f
                    entries.append(ListEntry(key, f.what, f.do, level=f.level, ids=f.ids))
        counts = counts_words(findings)
        none = _NOTHING if job is not None else "Not checked yet."
        told = f"{counts[:1].upper()}{counts[1:]}." if counts else "Nothing to fix."
        self.summary.setText(told if findings else none)
        for part in (self.list, self.order):
            part.setVisible(bool(findings))
        self.list.show_entries(entries, None)
        self._tell()

    def _figures(self, entry: ListEntry) -> tuple[str, ...]:
        """What is copied with a finding: its level, its place, its figures and their source."""
        job, one = self._job, self._by_key.get(entry.key)
        if job is None or one is None:
            return ()
        place, figures = where_words(job, one), figure_words(one, job.display)
        return (LEVEL_WORDS[one.level], place, figures, one.source)

    def _chosen(self) -> tuple[Finding, ...]:
        chosen = {entry.key for entry in self.list.chosen_entries()}
        return tuple(f for key, f in self._by_key.items() if key in chosen)

    def _on_chosen(self) -> None:
        self._tell()
        self.chosen.emit(self._chosen())

    def _tell(self) -> None:
        """Show the figures of the one finding that is selected, and where its limit comes from."""
        chosen = self._chosen()
        words = _HOW_TO
        if len(chosen) == 1 and self._job is not None:
            words = detail_words(self._job, chosen[0]) or _NOTHING_MEASURED
        elif chosen:
            words = f"{len(chosen)} findings are selected. {_HOW_TO}"
        self.detail.setText(words)
        self.detail.setVisible(bool(self.findings))

    def _open(self, entry: ListEntry) -> None:
        if entry.key in self._by_key:
            self.wanted.emit(self._by_key[entry.key])

    def mark(self, finding: Finding) -> None:
        """Highlight a finding in the list."""
        for key, one in self._by_key.items():
            if one.id == finding.id:
                self.list.go_to(key)
                return
