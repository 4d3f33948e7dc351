"""The entries of typed fields, of one line or several: when they are left, what Enter and Esc say,
and whose undo is meant.
"""

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QMouseEvent
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from gridjig.qt.widgets.lifetime import Surroundings

_STAYS = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
"""Ways to lose the focus that do not leave a field: it has it again a moment later."""


def undoes_the_job(edit: QLineEdit, event: QKeyEvent) -> bool:
    """True for the keys of undo and redo while nothing is being typed: then they mean the job."""
    undo, redo = QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo
    return (event.matches(undo) or event.matches(redo)) and not edit.isModified()


class WatchedEdit(QLineEdit):
    """A line edit that says when it gets the focus and when it is left.

    `left` stands in for Qt's `editingFinished`, which is also emitted while the form that the edit
    lies in is being destroyed.
    """

    left = Signal()
    focused = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._surroundings = Surroundings()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell of the focus."""
        self._surroundings.note(self)
        super().focusInEvent(event)
        self.focused.emit(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell of being left, but not to a menu or to another window."""
        super().focusOutEvent(event)
        if not self._surroundings.whole():
            return
        self.focused.emit(False)
        if event.reason() not in _STAYS:
            self.left.emit()


class FieldEdit(WatchedEdit):
    """The line edit of a typed field: tells it of Enter, Esc and of being left."""

    entered = Signal()
    escaped = Signal()
    refused = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and Esc are the field's."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
            event.accept()
        elif event.key() == Qt.Key.Key_Escape and self.astray:
            self.escaped.emit()
            event.accept()
        else:
            super().keyPressEvent(event)

    @property
    def astray(self) -> bool:
        """True while another text stands here than the value in force."""
        return self.isModified() or self.refused

    def event(self, event: QEvent) -> bool:
        """Which keys are taken here before they are shortcuts of the window."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Escape and self.astray:
                event.accept()
                return True
            if undoes_the_job(self, event):
                event.ignore()
                return False
        return super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A first click chooses the whole text."""
        fresh = not self.hasFocus()
        super().mousePressEvent(event)
        if fresh:
            self.selectAll()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """What was chosen whole stays so."""
        kept = self.selectedText() == self.text()
        super().mouseReleaseEvent(event)
        if kept:
            self.selectAll()


class NoteEdit(QPlainTextEdit):
    """Several lines that tell their field of Ctrl+Enter, Esc and of being left, as one line does.

    Where nothing is to be restored, Esc leaves the form.
    """

    entered = Signal()
    escaped = Signal()
    left = Signal()
    focused = Signal(bool)
    textEdited = Signal(str)  # noqa: N815 - as a line edit calls it
    refused = False

    def __init__(self) -> None:
        super().__init__()
        self._surroundings = Surroundings()
        self._written = ""
        self.setTabChangesFocus(True)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * 3 + 10)
        self.textChanged.connect(lambda: self.textEdited.emit(self.text()))

    def text(self) -> str:
        """The whole text."""
        return self.toPlainText()

    def setText(self, text: str) -> None:
        """Put another text there."""
        self.setPlainText(text)

    def isModified(self) -> bool:
        """True while another text stands there than was put there."""
        return self.text() != self._written

    def setModified(self, on: bool) -> None:
        """Take what stands there for what was put there."""
        if not on:
            self._written = self.text()

    def setCursorPosition(self, at: int) -> None:
        """Put the cursor before a letter."""
        cursor = self.textCursor()
        cursor.setPosition(at)
        self.setTextCursor(cursor)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Tell of the focus."""
        self._surroundings.note(self)
        super().focusInEvent(event)
        self.focused.emit(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Tell of being left, but not to a menu or to another window."""
        super().focusOutEvent(event)
        if not self._surroundings.whole():
            return
        self.focused.emit(False)
        if event.reason() not in _STAYS:
            self.left.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ctrl+Enter and, where something is to be restored, Esc are the field's."""
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.entered.emit()
        elif event.key() == Qt.Key.Key_Escape and (self.isModified() or self.refused):
            self.escaped.emit()
        else:
            super().keyPressEvent(event)
