"""The edits of typed fields, with one line or several: when they are left, and their keys."""

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QMouseEvent
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QToolButton, QWidget

from gridjig.qt.widgets.lifetime import Surroundings

from .tips import sent_away

_STAYS = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
"""Reasons for losing the focus that do not count as leaving: the field soon has it again."""


def undoes_the_job(edit: QLineEdit, event: QKeyEvent) -> bool:
    """True for the undo and redo keys while nothing is being typed: they then act on the job."""
    undo, redo = QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo
    return (event.matches(undo) or event.matches(redo)) and not edit.isModified()


def _tell_left(edit: "WatchedEdit | NoteEdit", event: QFocusEvent) -> None:
    edit.focused.emit(False)
    if event.reason() not in _STAYS:
        edit.left.emit()


def make_clearable(edit: QLineEdit) -> None:
    """Give an edit a button that clears it, with a name for screen readers."""
    edit.setClearButtonEnabled(True)
    for button in edit.findChildren(QToolButton):
        button.setAccessibleName("Clear")


class ClickedEdit(QLineEdit):
    """A line edit whose text is selected by the click that gives it the focus: what is typed next
    replaces it.

    Qt gives the focus before it delivers the press, so only the reason tells which click it was.
    """

    _fresh = False

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Note whether a click gave the focus."""
        super().focusInEvent(event)
        self._fresh = event.reason() == Qt.FocusReason.MouseFocusReason

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Select the whole text on the first click."""
        fresh, self._fresh = self._fresh or not self.hasFocus(), False
        super().mousePressEvent(event)
        if fresh:
            self.selectAll()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Keep the whole text selected after the first click."""
        kept = self.selectedText() == self.text()
        super().mouseReleaseEvent(event)
        if kept:
            self.selectAll()


class WatchedEdit(ClickedEdit):
    """A line edit that signals when it gets the focus and when it is left.

    `left` replaces Qt's `editingFinished`, which is also emitted while the form around the edit is
    being destroyed.
    """

    left = Signal()
    focused = Signal(bool)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._surroundings = Surroundings()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Emit `focused`."""
        self._surroundings.note(self)
        super().focusInEvent(event)
        self.focused.emit(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Emit `left`, unless the focus went to a menu or to another window."""
        super().focusOutEvent(event)
        if self._surroundings.whole():
            _tell_left(self, event)


class FieldEdit(WatchedEdit):
    """The line edit of a typed field: signals Enter, Esc and leaving."""

    entered = Signal()
    escaped = Signal()
    refused = False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Pass Enter and Esc to the field."""
        if sent_away(event):
            return
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
            event.accept()
        elif event.key() == Qt.Key.Key_Escape and self.differs:
            self.escaped.emit()
            event.accept()
        else:
            super().keyPressEvent(event)

    @property
    def differs(self) -> bool:
        """True while the text differs from the value in force."""
        return self.isModified() or self.refused

    def event(self, event: QEvent) -> bool:
        """Claim the keys that the edit handles before the window's shortcuts do."""
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Escape and self.differs:
                event.accept()
                return True
            if undoes_the_job(self, event):
                event.ignore()
                return False
        return super().event(event)


class NoteEdit(QPlainTextEdit):
    """An edit with several lines that signals Ctrl+Enter, Esc and leaving, as a line edit does.

    If there is nothing to restore, Esc goes to the form.
    """

    entered = Signal()
    escaped = Signal()
    left = Signal()
    focused = Signal(bool)
    textEdited = Signal(str)  # noqa: N815 - the name used by QLineEdit
    refused = False

    def __init__(self) -> None:
        super().__init__()
        self._surroundings = Surroundings()
        self._written = ""
        self.setTabChangesFocus(True)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * 3 + 10)
        self.textChanged.connect(lambda: self.textEdited.emit(self.text()))

    def text(self) -> str:
        """Return the whole text."""
        return self.toPlainText()

    def setText(self, text: str) -> None:
        """Set the text."""
        self.setPlainText(text)

    def isModified(self) -> bool:
        """Return True if the text has been changed since it was set."""
        return self.text() != self._written

    def setModified(self, on: bool) -> None:
        """Mark the current text as unchanged if `on` is False."""
        if not on:
            self._written = self.text()

    def setCursorPosition(self, at: int) -> None:
        """Put the cursor before the letter at an index."""
        cursor = self.textCursor()
        cursor.setPosition(at)
        self.setTextCursor(cursor)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Emit `focused`."""
        self._surroundings.note(self)
        super().focusInEvent(event)
        self.focused.emit(True)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Emit `left`, unless the focus went to a menu or to another window."""
        super().focusOutEvent(event)
        if self._surroundings.whole():
            _tell_left(self, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Pass Ctrl+Enter to the field and, if there is something to restore, Esc."""
        if sent_away(event):
            return
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.entered.emit()
        elif event.key() == Qt.Key.Key_Escape and (self.isModified() or self.refused):
            self.escaped.emit()
        else:
            super().keyPressEvent(event)
