"""What touches a part, as lines in its form; a click on a name selects that thing."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from gridjig.qt.widgets.layout import in_column
from gridjig.qt.widgets.plain import Button, Label, tip
from gridjig.sheets.text.contact_text import ContactLine


class NameButton(Button):
    """A button as wide as its room; a longer name is cut, and shown whole in the tooltip."""

    def __init__(self) -> None:
        super().__init__(role="plain")
        self._name = ""
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)

    def show_name(self, name: str) -> None:
        """Show a name."""
        self._name = name
        self.setToolTip(tip(f"{name}\nSelect it"))
        self.setStatusTip(f"Select {name}")
        self.setAccessibleName(f"Select {name}")
        self._cut()

    def name(self) -> str:
        """Return the whole name."""
        return self._name

    def minimumSizeHint(self) -> QSize:
        """Return a small width, so that a long name does not widen the form."""
        return QSize(0, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the name to the new width."""
        super().resizeEvent(event)
        self._cut()

    def changeEvent(self, event: QEvent) -> None:
        """Cut the name again when the font changes."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_name"):
            self._cut()

    def _cut(self) -> None:
        letters = self.fontMetrics()
        room = self.width() - 4 * letters.averageCharWidth()
        # Names of parts and pieces differ at the end as often as at the beginning.
        self.setText(letters.elidedText(self._name, Qt.TextElideMode.ElideMiddle, max(room, 0)))


class _Row(QWidget):
    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._id = ""
        self.button = NameButton()
        self.words = Label("", "small")
        self.button.clicked.connect(lambda: self.chosen.emit(self._id))
        in_column(self.button, self.words, over=self, margins="none", gap=0)

    def show_line(self, line: ContactLine) -> None:
        """Show a line."""
        self._id = line.id
        self.button.show_name(line.name)
        self.button.setAccessibleDescription(line.words)
        self.words.setText(line.words)


class ContactLines(QWidget):
    """The lines; `chosen` carries the id of the thing to select."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.head = Label("")
        self.rows: list[_Row] = []
        self._lines: tuple[ContactLine, ...] | None = None
        self._column = in_column(self.head, over=self, margins="none")

    def lines(self) -> tuple[ContactLine, ...]:
        """Return the lines shown."""
        return self._lines or ()

    def show_lines(self, lines: Sequence[ContactLine]) -> None:
        """Show these lines, reusing existing rows."""
        shown = tuple(lines)
        if shown == self._lines:
            return
        self._lines = shown
        self.head.setText("Touches it:" if shown else "Nothing touches it.")
        while len(self.rows) < len(shown):
            row = _Row()
            row.chosen.connect(self.chosen)
            self._column.addWidget(row)
            self.rows.append(row)
        for index, row in enumerate(self.rows):
            if index < len(shown):
                row.show_line(shown[index])
            row.setVisible(index < len(shown))
