"""Labels that give way to their neighbours: what has no room is cut, and shown on hover."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QSizePolicy


class ElidedLabel(QLabel):
    """Takes the room that is left over."""

    def __init__(self, words: str = "") -> None:
        super().__init__()
        self._words = ""
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.setMinimumWidth(0)
        self.show_words(words)

    def show_words(self, words: str) -> None:
        """Show a text; the whole of it stays in the tooltip."""
        if words != self._words:
            self._words = words
            self.setToolTip(words)
            self.updateGeometry()
            self._cut()

    def words(self) -> str:
        """The whole text."""
        return self._words

    def _room(self) -> int:
        return max(self.width(), 0)

    def _cut(self) -> None:
        mode = Qt.TextElideMode.ElideRight
        self.setText(self.fontMetrics().elidedText(self._words, mode, self._room()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the text anew."""
        super().resizeEvent(event)
        self._cut()


class RoomyLabel(ElidedLabel):
    """Asks for the room of its whole text, within reason, and never less than `least` px."""

    def __init__(self, least: int, stretch: bool = False) -> None:
        self._least = least
        super().__init__()
        policy = QSizePolicy.Policy.Ignored if stretch else QSizePolicy.Policy.Preferred
        self.setSizePolicy(policy, QSizePolicy.Policy.Preferred)
        self.setMinimumWidth(least)

    def _room(self) -> int:
        return max(self.width(), self._least)

    def sizeHint(self) -> QSize:
        """Room for the whole text, within reason."""
        wide = self.fontMetrics().horizontalAdvance(self._words) + 4
        return QSize(min(max(wide, self._least), 260), super().sizeHint().height())
