"""What every form and question is: a dialog whose F1 opens the help that belongs to it.

The window's own help lies behind a form, and a form keeps the window from being used, so the help
comes in a sheet of its own beside it.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QWidget

from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.layout import REST, in_column, in_row


class FormDialog(QDialog):
    """A dialog with help.  `topic` names its help; one without has the help of what it lies over.

    The window's topic is `start`, which is the last resort.
    """

    topic = ""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._help: HelpSheet | None = None
        # A shortcut comes before what has the focus, so that no field keeps the key to itself.
        QShortcut(QKeySequence("F1"), self).activated.connect(self.show_help)

    def size_for(self, letters: int, lines: int, least: tuple[int, int] = (0, 0)) -> None:
        """Take room for so many letters and lines, however large they are, within the screen."""
        metrics, room = self.fontMetrics(), self.screen().availableGeometry()
        wide = max(least[0], letters * metrics.averageCharWidth())
        high = max(least[1], lines * metrics.lineSpacing())
        self.resize(min(wide, room.width() - 24), min(high, room.height() - 60))

    def help_topic(self) -> str:
        """The help topic of this form."""
        over = self.parentWidget()
        if self.topic:
            return self.topic
        return over.help_topic() if isinstance(over, FormDialog) else "start"

    def show_help(self) -> None:
        """Open the help of this form, or bring it to the front."""
        if self._help is None:
            self._help = HelpSheet(self)
        self._help.show_topic(self.help_topic())


class HelpSheet(QDialog):
    """Help beside a form; both can be used, and Esc closes it."""

    def __init__(self, form: QWidget) -> None:
        from .help import HelpPane  # noqa: PLC0415 - questions are made before it is needed

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
        """Show a topic, and take the focus so that the keys scroll it."""
        self.pane.show_topic(topic)
        self.show()
        self.raise_()
        self.activateWindow()
        self.pane.setFocus(Qt.FocusReason.OtherFocusReason)
