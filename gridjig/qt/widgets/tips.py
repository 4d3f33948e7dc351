"""Tips can be sent away by Esc, which then does nothing else."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QToolTip, QWidget


def sent_away(event: QKeyEvent) -> bool:
    """Hide the tip that is shown, if the key is Esc; return True if one was."""
    if event.key() != Qt.Key.Key_Escape or not QToolTip.isVisible():
        return False
    QToolTip.hideText()
    event.accept()
    return True


class TipPlace(QWidget):
    """A widget with others in it, among which a tip is sent away by Esc wherever the focus is."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Take a key that nothing in it has used."""
        if not sent_away(event):
            super().keyPressEvent(event)
