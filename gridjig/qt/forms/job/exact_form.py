"""How exact the jig is: every measure in all its states, and how far out it can be."""

from typing import cast

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from gridjig.edits.allowances import name_point, remove_point
from gridjig.model import ChosenPoint
from gridjig.proof.allowance.report import allowance
from gridjig.proof.exact.report import exact, whole_errors
from gridjig.proof.exact.sampling import COUNT
from gridjig.proof.exact.tries import Tried, tried
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.panes.weldment.weldment_page import PageList
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks.runner import TaskRunner
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.fields import TextField
from gridjig.qt.widgets.layout import in_column, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.session.document import Document
from gridjig.sheets.text.exact_lines import exact_lines, point_key
from gridjig.units import format_count

_TRY = f"Try {format_count(COUNT)} set-ups"


class ExactForm(FormDialog):
    """Lists the measures; a button tries random set-ups beside the window."""

    topic = "check"

    def __init__(self, parent: QWidget, document: Document, appearance: Appearance) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("How exact")
        self._document = document
        self._placed, self._contacts = document.placed_pieces, document.contacts
        self._allowed = allowance(document.job, self._contacts)
        self._tacked = whole_errors(document.job, self._placed, self._contacts)
        self._read()
        self.tasks = TaskRunner(self)
        self.tasks.progressed.connect(self._on_progress)
        self.tasks.answered.connect(lambda answer: self._show(cast(Tried, answer)))
        self.tasks.ended.connect(self._on_end)
        about = Label(
            "Each measure as drawn, as set in the jig and as expected after welding, and how far"
            " the jig lets it be out. Bars and cuts that are off come on top of that. Points that"
            " matter are marked on the plan: Check, Mark points that matter.",
            "small",
        )
        self.list = PageList("Measures and how exact they are", appearance, single=False)
        self.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 14)
        self.told = Label("", "small")
        self.name = TextField("Name of the point", accepts="optional")
        self.name.applied.connect(lambda text: self.rename_point(str(text)))
        self.delete = make_button("Delete the point", self.delete_point, plain=False)
        self.tries = make_button(_TRY, self._on_try, plain=False)
        self.close_ = make_button("Close", self.reject, plain=False)
        self.close_.setDefault(True)
        row = in_row((self.told, 1), self.delete, self.tries, self.close_)
        in_column(about, (self.list, 1), self.name, row, over=self)
        self.list.highlighted.connect(lambda _: self._show_point())
        self.finished.connect(lambda _: self.tasks.close())
        self._show(None)
        self.size_for(72, 30, (460, 460))
        self.list.setFocus()

    def _read(self) -> None:
        self._job = self._document.job
        self._report = exact(self._job, self._placed, self._contacts)

    def _point(self) -> ChosenPoint | None:
        """The point that matters on the current line."""
        key = self.list.current_key()
        keys = [point_key(one) for one in self._report.points]
        known = [p for p in self._job.accuracy.points if self._job.find(p.part) is not None]
        return known[keys.index(key)] if key in keys else None

    def _show_point(self) -> None:
        point = self._point()
        self.delete.setVisible(point is not None)
        self.name.setVisible(point is not None)
        self.name.set_value("" if point is None else point.name)

    def rename_point(self, name: str) -> None:
        """Give the point of the current line another name; it is one step."""
        point, key = self._point(), self.list.current_key()
        if point is None:
            return
        self._document.do(name_point(self._job, point, name), "Name a point that matters")
        self._read()
        self._show(None)
        self.list.go_to(key)

    def delete_point(self) -> None:
        """Delete the point of the current line; it is one step."""
        point = self._point()
        if point is None:
            return
        self._document.do(remove_point(self._job, point), "Clear a point that matters")
        self._read()
        self._show(None)

    def _show(self, found: Tried | None) -> None:
        lines = exact_lines(self._job, self._report, self._allowed, found, self._tacked)
        self.list.show_lines(lines)
        self.list.go_first()
        self._show_point()
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
