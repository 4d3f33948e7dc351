"""The list of what the angle finder found: for a wanted angle, and of what an arm can take."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent

from gridjig.qt.widgets.choice_list import ChoiceList


class AnswerList(ChoiceList):
    """A list in which Left and Right step from place to place, and Enter places the answer."""

    stepped = Signal(int)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Step through the places with Left and Right."""
        key = event.key()
        if key in (Qt.Key.Key_Right, Qt.Key.Key_Left):
            self.stepped.emit(1 if key == Qt.Key.Key_Right else -1)
        else:
            super().keyPressEvent(event)

    def go_nowhere(self) -> None:
        """Highlight nothing."""
        self.clearSelection()
        self.setCurrentIndex(self.lines.index(-1))
