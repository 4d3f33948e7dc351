"""The base class of every form and question: a dialog in which F1 opens its own help.

A form covers the window's help and blocks input to the window, so a form's help opens in a
separate sheet beside it.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QWidget
from shiboken6 import isValid

from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.layout import REST, in_column, in_row
from gridjig.qt.widgets.tips import sent_away


class FormDialog(QDialog):
    """A dialog with help.

    `topic` names its help topic.  Without one, the dialog uses the topic of the form below it, or
    `start` if there is none.
    """

    topic = ""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._help: HelpSheet | None = None
        # A shortcut is handled before the focused widget sees the key, so no field can swallow it.
        QShortcut(QKeySequence("F1"), self).activated.connect(self.show_help)

    def ask(self) -> bool:
        """Show the form until it is closed, then remove it.  Return True if it was accepted.

        It is gone already if its window was closed for good meanwhile, as at the end of the
        session; then nothing was accepted.
        """
        accepted = bool(self.exec())
        if not isValid(self):
            return False
        self.deleteLater()
        return accepted

    def set_appearance(self, appearance: Appearance) -> None:
        """Repaint what this form paints itself; called if it is open when the colours change."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Send a tip away by Esc before the form closes by it."""
        if not sent_away(event):
            super().keyPressEvent(event)

    def size_for(self, letters: int, lines: int, least: tuple[int, int] = (0, 0)) -> None:
        """Resize to hold this many letters and lines of the current font, within the screen."""
        metrics, room = self.fontMetrics(), self.screen().availableGeometry()
        wide = max(least[0], letters * metrics.averageCharWidth())
        high = max(least[1], lines * metrics.lineSpacing(), self._whole(wide))
        self.resize(min(wide, room.width() - 24), min(high, room.height() - 60))

    def _whole(self, wide: int) -> int:
        """Return the height that all there is needs at a width, px."""
        layout = self.layout()
        if layout is None:
            return 0
        self.ensurePolished()
        least: int = layout.totalMinimumSize().height()
        return max(least, layout.totalMinimumHeightForWidth(wide))

    def help_topic(self) -> str:
        """Return the help topic of this form."""
        over = self.parentWidget()
        if self.topic:
            return self.topic
        return over.help_topic() if isinstance(over, FormDialog) else "start"

    def show_help(self) -> None:
        """Open this form's help, or bring it to the front."""
        if self._help is None:
            self._help = HelpSheet(self)
        self._help.show_topic(self.help_topic())


class HelpSheet(QDialog):
    """Help beside a form.  Both stay usable; Esc closes the help."""

    def __init__(self, form: QWidget) -> None:
        from .help import HelpPane  # noqa: PLC0415 - most dialogs never show help

        super().__init__(form)
        self.setWindowTitle("Help")
        self.pane = HelpPane()
        close = in_row(REST, make_button("Close", self.reject, plain=False))
        in_column((self.pane, 1), close, over=self)
        letters, lines = self.fontMetrics().averageCharWidth(), self.fontMetrics().lineSpacing()
        room = self.screen().availableGeometry()
        self.resize(
            min(letters * 60, room.width() * 2 // 3), min(lines * 28, room.height() * 3 // 4)
        )
        self.move(room.right() - self.width() - 12, room.top() + 40)

    def show_topic(self, topic: str) -> None:
        """Show a topic and take the focus, so that the keys scroll it."""
        self.pane.show_topic(topic)
        self.show()
        self.raise_()
        self.activateWindow()
        self.pane.setFocus(Qt.FocusReason.OtherFocusReason)
