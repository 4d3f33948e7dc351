"""The form for the table: numbers, addresses and marked holes beside a live picture."""

from PySide6.QtWidgets import QScrollArea, QWidget

from gridjig.qt.forms.draft_form import DraftForm
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.buttons import scrolled
from gridjig.qt.widgets.layout import split
from gridjig.qt.widgets.tabs import Tabs
from gridjig.session.document import Document

from .table_holes import TableHoles
from .table_labels import TableLabels
from .table_numbers import TableNumbers
from .table_picture import TablePicture


class TableForm(DraftForm):
    """Changes the job's table."""

    topic = "table"

    def __init__(self, window: QWidget, document: Document, appearance: Appearance) -> None:
        super().__init__(window, document, appearance, "table")
        self.picture = TablePicture(self.draft, appearance)
        self.numbers = TableNumbers(self.draft)
        self.labels = TableLabels(self.draft)
        self.holes = TableHoles(self.draft, appearance)
        self.tabs = Tabs("Parts of the table's form")
        areas: list[QScrollArea] = []
        for page, name in (
            (self.numbers, "Plate and holes"),
            (self.labels, "Addresses"),
            (self.holes, "Marked holes"),
        ):
            page.message.connect(self.show_message)
            areas.append(scrolled(page))
            self.tabs.addTab(areas[-1], name)
        self.numbers.checked.connect(self._on_checked)
        self.tabs.currentChanged.connect(self._on_tab)
        self.holes.tool_made.connect(self._on_tool)
        self.holes.pointed.connect(self.picture.point_out)
        self.picture.hinted.connect(self._on_picture)
        body = split(self.tabs, self.picture, grows=1)
        self.lay_out(body)
        letters = self.fontMetrics().averageCharWidth()
        bar = areas[0].verticalScrollBar().sizeHint().width()
        pages = (self.numbers, self.labels, self.holes)
        least = max(page.minimumSizeHint().width() for page in pages) + bar
        left = min(max(400, letters * 62, least), self.width() * 2 // 3)
        body.setSizes([left, self.width() - left])
        self.numbers.name.setFocus()

    def _on_picture(self, said: str, prompt: str) -> None:
        """Show what was done in the picture, and what the next click there does."""
        self.said.setText(f"{said} {prompt}".strip())

    def _on_checked(self, contradicts: bool) -> None:
        self.update_buttons()
        if contradicts:
            self.show_message("The picture shows the last valid table until the numbers agree.")

    def _on_tab(self, index: int) -> None:
        self.picture.point_out(frozenset())
        if index == self.tabs.count() - 1:
            self.holes.make_tool()
        else:
            self.picture.set_tool(None)

    def _on_tool(self, tool: object) -> None:
        if self.tabs.currentIndex() == self.tabs.count() - 1:
            self.picture.set_tool(tool)  # type: ignore[arg-type]

    def show_draft(self) -> None:
        """Update all pages and the picture from the draft."""
        self.numbers.show_draft()
        self.labels.show_draft()
        self.holes.show_draft()
        self.picture.show_table()

    def unsettled(self) -> bool:
        """True while the numbers contradict each other."""
        return self.numbers.contradicts()

    def undo(self) -> None:
        """Discard contradicting numbers if there are any, else undo the last change."""
        if self.numbers.contradicts():
            self.numbers.restore()
            self.show_message("The numbers are unchanged.")
        else:
            super().undo()

    def settle(self) -> bool:
        """Apply any pending text; focus the first field that is not accepted."""
        faulty = self.numbers.faulty()
        if faulty is None:
            return True
        self.tabs.setCurrentIndex(0)
        faulty.setFocus()
        self.show_message(f"{faulty.label.text()}: {faulty.complaint.text().removeprefix('✕ ')}")
        return False


def open_table(window: QWidget, document: Document, appearance: Appearance) -> None:
    """Open the form for the table over a window."""
    TableForm(window, document, appearance).open()
