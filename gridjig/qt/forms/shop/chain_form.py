"""A chain of dimensions as distances from its datum: typed or pasted, added up, and checked.

It does not change the job.
"""

import re

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QHeaderView,
    QPlainTextEdit,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from gridjig.edits.dimensions import Chain, chain
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.announce import announce
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.copying import let_copy
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.plain import Label
from gridjig.qt.widgets.styled import restyle
from gridjig.session.document import Document
from gridjig.units import Display, ParseError, format_length, parse_length

_PARTED = re.compile(r"\s+\+\s*|\s*\+\s+|[;\n\t]+|,\s+")


def read_chain(text: str, display: Display) -> tuple[list[float], float | None]:
    """Return the dimensions of a chain, mm, and the total after `=`, or None if there is none.

    They are separated by `+`, `;`, tabs or line breaks.  Raise ParseError if any is unreadable.
    """
    sums, equals, total = text.partition("=")
    values = [
        parse_length(part.strip(), display.unit) for part in _PARTED.split(sums) if part.strip()
    ]
    if not values:
        raise ParseError(
            text, None, "type dimensions one after another, such as 3-1/2 + 12 + 8-1/2 = 24"
        )
    return values, parse_length(total.strip(), display.unit) if equals else None


class ChainForm(FormDialog):
    """Shows the distances from the datum while the chain is typed."""

    topic = "member"

    def __init__(self, window: QWidget, document: Document, appearance: Appearance) -> None:
        super().__init__(window)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle("Chain of dimensions")
        self._display = document.job.display
        self.chain: Chain | None = None
        head = Label("Chain of dimensions", "heading")
        metric = self._display.unit == "millimetres"
        example = "90 + 300 + 215 = 605" if metric else "3-1/2 + 12 + 8-1/2 = 24"
        about = Label(
            f"Type or paste the dimensions as the drawing has them, such as {example}. Separate "
            "them with +, semicolons, tabs or new lines; put the total after =."
        )
        self.edit = QPlainTextEdit()
        self.edit.setAccessibleName("Chain of dimensions")
        self.edit.setTabChangesFocus(True)
        self.edit.setPlaceholderText(example)
        lines = self.edit.fontMetrics().lineSpacing() * 3 + 12
        self.edit.setFixedHeight(max(lines, appearance.metrics.target))
        self.told = Label(role="freedom")
        self.told.setMinimumHeight(self.told.fontMetrics().lineSpacing() * 2 + 6)
        self.table = QTableWidget(0, 2)
        self.table.setHorizontalHeaderLabels(["Dimension", "From the datum"])
        self.table.setAccessibleName("Distances from the datum")
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QTableWidget.SelectionBehavior.SelectRows)
        let_copy(self.table)
        self.table.horizontalHeader().setSectionsClickable(False)
        self.table.horizontalHeader().setStretchLastSection(True)
        self.table.horizontalHeader().setSectionResizeMode(
            0, QHeaderView.ResizeMode.ResizeToContents
        )
        self.copy_button = make_button("Copy the distances", self.copy, plain=False)
        close = make_button("Close", self.close, plain=False)
        buttons = in_row(REST, self.copy_button, close)
        in_column(head, about, self.edit, self.told, (self.table, 1), buttons, over=self)
        self.size_for(58, 26, (460, 480))
        self.edit.textChanged.connect(self._on_text)
        self._on_text()

    def _on_text(self) -> None:
        text = self.edit.toPlainText()
        self.chain = None
        wrong = False
        if not text.strip():
            self.told.setText("Nothing typed yet.")
        else:
            try:
                values, total = read_chain(text, self._display)
            except ParseError as parse_error:
                self.told.setText(f"✕ {parse_error}")
                wrong = True
            else:
                self.chain = chain(values, total, self._display)
                self._tell(values, total)
        restyle(self.edit, "wrong", wrong)
        self._fill()

    def _tell(self, values: list[float], total: float | None) -> None:
        assert self.chain is not None
        if self.chain.says:
            self.told.setText(f"▲ {self.chain.says}")
            announce(self, self.chain.says)
            return
        sum_ = self._shown(self.chain.ordinates[-1])
        closes = "; the chain closes" if total is not None else "; no total was given"
        self.told.setText(f"● {len(values)} dimensions add up to {sum_}{closes}.")

    def _fill(self) -> None:
        ordinates = self.chain.ordinates if self.chain is not None else ()
        self.table.setRowCount(len(ordinates))
        for row, ordinate in enumerate(ordinates):
            step = self._shown(ordinate - ordinates[row - 1]) if row else "datum"
            for column, text in enumerate((step, self._shown(ordinate))):
                self.table.setItem(row, column, QTableWidgetItem(text))
        self.copy_button.setEnabled(bool(ordinates))

    def _shown(self, mm: float) -> str:
        return format_length(mm, self._display)

    def copy(self) -> None:
        """Copy the distances to the clipboard, one per line."""
        assert self.chain is not None
        lines = "\n".join(self._shown(ordinate) for ordinate in self.chain.ordinates)
        QGuiApplication.clipboard().setText(lines)
        announce(self, f"{len(self.chain.ordinates)} distances are on the clipboard.")


def open_chain(window: QWidget, document: Document, appearance: Appearance) -> None:
    """Open the form over a window."""
    ChainForm(window, document, appearance).open()
