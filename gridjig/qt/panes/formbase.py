"""What every form of the right-hand pane shares: cells in two columns, notes, and doing edits.

A form shows the desk's job and changes it only by `Desk.do`.
"""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QGridLayout,
    QLabel,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from gridjig.model import Job
from gridjig.session.desk import Desk
from gridjig.tools.wording import sentence

from ..fields import TypedField, look_again, restyle
from ..lifetime import Surroundings

Edit = Callable[[Job], Job]


class NoteField(QFrame):
    """A text of several lines; leaving it or Ctrl+Enter applies, Esc restores."""

    applied = Signal(str)

    def __init__(self, label: str, longest: int = 4000, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("cell")
        self._longest = longest
        self._value = ""
        self.label = QLabel(label)
        self.label.setObjectName("cellName")
        self.edit = _NoteEdit(self)
        self.edit.setAccessibleName(label)
        self.edit.setTabChangesFocus(True)
        self.edit.setFixedHeight(self.edit.fontMetrics().lineSpacing() * 3 + 10)
        self.label.setBuddy(self.edit)
        self.complaint = QLabel()
        self.complaint.setObjectName("complaint")
        self.complaint.setWordWrap(True)
        self.complaint.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(5, 2, 5, 2)
        column.setSpacing(0)
        column.addWidget(self.label)
        column.addWidget(self.edit)
        column.addWidget(self.complaint)
        self.setFocusProxy(self.edit)

    def set_value(self, value: str) -> None:
        """Put a text in force; one that is being typed is left alone."""
        changed = value != self._value
        self._value = value
        if changed or not self.edit.hasFocus():
            self.restore()

    def is_changed(self) -> bool:
        """True while another text stands there than the one in force."""
        return self.edit.toPlainText() != self._value

    def restore(self) -> None:
        """Give the old text back."""
        if self.edit.toPlainText() != self._value:
            self.edit.setPlainText(self._value)
        self._complain("")

    def apply(self) -> None:
        """Take the text over, or complain and keep it."""
        text = self.edit.toPlainText().strip()
        if len(text) > self._longest:
            self._complain(
                f"✕ {len(text)} characters are too many; up to {self._longest} are kept."
            )
            return
        self._complain("")
        if text != self._value:
            self._value = text
            self.applied.emit(text)

    def _complain(self, words: str) -> None:
        self.complaint.setText(words)
        self.complaint.setVisible(bool(words))
        restyle(self, "wrong", bool(words))

    def show_focus(self, on: bool) -> None:
        """Draw the frame as focused, and apply when the focus goes."""
        look_again(self)
        if not on:
            self.apply()


class _NoteEdit(QPlainTextEdit):
    def __init__(self, field: NoteField) -> None:
        super().__init__()
        self._field = field
        self._surroundings = Surroundings()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus on the cell."""
        self._surroundings.note(self)
        super().focusInEvent(event)
        self._field.show_focus(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Apply and show that the focus went."""
        super().focusOutEvent(event)
        if self._surroundings.whole():
            self._field.show_focus(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+Enter applies, Esc restores; where nothing is to restore it leaves the form."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._field.apply()
        elif event.key() == Qt.Key.Key_Escape and self._field.is_changed():
            self._field.restore()
        else:
            super().keyPressEvent(event)


class Form(QWidget):
    """A form over a desk; `said` carries what is worth telling."""

    said = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._grid = QGridLayout()
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(3)
        self._grid.setVerticalSpacing(3)
        self._grid.setColumnStretch(0, 1)
        self._grid.setColumnStretch(1, 1)
        self._cells: list[tuple[QWidget, int]] = []
        self._off: set[QWidget] = set()
        self._laid: tuple[tuple[QWidget, int], ...] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(6, 4, 6, 6)
        column.addLayout(self._grid)
        column.addStretch(1)

    def heading(self, words: str = "") -> QLabel:
        """Add a heading across both columns."""
        label = QLabel(words)
        label.setObjectName("heading")
        label.setIndent(0)
        label.setFrameShape(QFrame.Shape.StyledPanel)
        label.setWordWrap(True)
        self.across(label)
        return label

    def words(self, name: str = "") -> QLabel:
        """Add a text across both columns."""
        label = QLabel()
        if name:
            label.setObjectName(name)
        if name == "freedom":
            label.setFrameShape(QFrame.Shape.StyledPanel)
        label.setWordWrap(True)
        self.across(label)
        return label

    def across(self, *widgets: QWidget) -> None:
        """Add widgets that each take a whole row."""
        self._add(widgets, 2)

    def pair(self, *widgets: QWidget) -> None:
        """Add widgets that stand side by side; one that is left alone takes the whole row."""
        self._add(widgets, 1)

    def _add(self, widgets: tuple[QWidget, ...], span: int) -> None:
        for widget in widgets:
            # At once, for a widget without a parent that is shown would be a window of its own.
            widget.setParent(self)
            self._cells.append((widget, span))

    def show_cell(self, widget: QWidget, on: bool) -> None:
        """Show or hide a cell; `reflow` closes the gaps."""
        widget.setVisible(on)
        if on:
            self._off.discard(widget)
        else:
            self._off.add(widget)

    def reflow(self) -> None:
        """Lay the cells out again after some were shown or hidden."""
        here = tuple((w, span) for w, span in self._cells if w not in self._off)
        if here == self._laid:
            return
        self._laid = here
        for widget, _ in self._cells:
            self._grid.removeWidget(widget)
            widget.setVisible(widget not in self._off)
        row, left = 0, True
        top = Qt.AlignmentFlag.AlignTop
        for index, (widget, span) in enumerate(here):
            follows = index + 1 < len(here) and here[index + 1][1] == 1
            if span == 2 or (left and not follows):
                row += 0 if left else 1
                self._grid.addWidget(widget, row, 0, 1, 2, top)
                row, left = row + 1, True
            else:
                self._grid.addWidget(widget, row, 0 if left else 1, 1, 1, top)
                row, left = (row, False) if left else (row + 1, True)

    def do(self, edit: Edit, name: str, field: TypedField | None = None) -> bool:
        """Do an edit as a named step; a refusal in words goes to the field, else it is said."""
        try:
            job = edit(self.desk.job)
        except ValueError as fault:
            words = sentence(str(fault))
            if field is not None:
                field.complain(words)
            else:
                self.said.emit(words)
            return False
        self.desk.do(job, name)
        return True


def boxed(name: str, widget: QWidget) -> QFrame:
    """A widget with its name over it, as a cell."""
    frame = QFrame()
    frame.setObjectName("cell")
    label = QLabel(name)
    label.setObjectName("cellName")
    label.setBuddy(widget)
    column = QVBoxLayout(frame)
    column.setContentsMargins(5, 2, 5, 2)
    column.setSpacing(0)
    column.addWidget(label)
    column.addWidget(widget)
    if isinstance(widget, QComboBox):  # what has a frame of its own shows the focus itself
        frame.setFocusProxy(widget)
    return frame
