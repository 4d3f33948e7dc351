"""How exact the jig is: every measure in all its states, and how far out it can be."""

from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from gridjig.proof.allowance.report import allowance
from gridjig.proof.exact.report import exact
from gridjig.proof.exact.sampling import COUNT
from gridjig.proof.exact.tries import Tried, tried
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.panes.weldment.weldment_page import PageList
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks.runner import TaskRunner
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.layout import in_column, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.session.document import Document
from gridjig.sheets.text.exact_lines import exact_lines
from gridjig.units import format_count

_TRY = f"Try {format_count(COUNT)} set-ups"


class ExactForm(FormDialog):
    """Lists the measures; a button tries random set-ups beside the window."""

    topic = "check"

    def __init__(self, parent: QWidget, document: Document, appearance: Appearance) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("How exact")
        self._job = document.job
        self._placed, self._contacts = document.placed_pieces, document.contacts
        self._report = exact(self._job, self._placed, self._contacts)
        self._allowed = allowance(self._job, self._contacts)
        self.tasks = TaskRunner(self)
        self.tasks.progressed.connect(self._on_progress)
        self.tasks.answered.connect(lambda answer: self._show(cast(Tried, answer)))
        self.tasks.ended.connect(self._on_end)
        about = Label(
            "Each measure as drawn, as set in the jig and as expected after welding, and how far"
            " the jig lets it be out. Bars and cuts that are off come on top of that.",
            "small",
        )
        self.list = PageList("Measures and how exact they are", appearance)
        self.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 14)
        self.told = Label("", "small")
        self.tries = make_button(_TRY, self._on_try, plain=False)
        self.close_ = make_button("Close", self.reject, plain=False)
        self.close_.setDefault(True)
        row = in_row((self.told, 1), self.tries, self.close_)
        in_column(about, (self.list, 1), row, over=self)
        self.finished.connect(lambda _: self.tasks.close())
        self._show(None)
        self.size_for(72, 30, (460, 460))
        self.list.setFocus()

    def _show(self, found: Tried | None) -> None:
        lines = exact_lines(self._job, self._report, self._allowed, found)
        self.list.show_lines(lines)
        self.list.go_first()
        self.tries.setEnabled(bool(self._report.dimensions))

    def _on_try(self) -> None:
        if self.tasks.busy:
            self.tasks.cancel()
            return
        self.tries.setText("Stop")
        self.tasks.start(lambda progress: tried(self._job, self._placed, self._contacts, progress))

    def _on_progress(self, done: int, total: int | None, words: str) -> None:
        of = f" {done} of {total}" if total else ""
        self.told.setText(f"{words}{of}…")

    def _on_end(self) -> None:
        self.tries.setText(_TRY)
        self.told.setText("")


def open_exact(parent: QWidget, document: Document, appearance: Appearance) -> None:
    """Open the form over the window."""
    ExactForm(parent, document, appearance).open()
