"""A list of choices that the wheel leaves alone: scrolling past it must change nothing unseen."""

from PySide6.QtGui import QFocusEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QStyledItemDelegate, QWidget

from gridjig.qt.widgets.lifetime import Surroundings

from .styled import look_again


class NoWheelComboBox(QComboBox):
    """Opened by a click, Enter or the arrow keys; the wheel goes to what it lies in.

    In a cell that has it for its focus proxy it wears no frame: the cell shows the focus.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        # Qt's own delegate knows no style sheet: its lines would be too low for a glove.
        self.setItemDelegate(QStyledItemDelegate(self))
        self._surroundings = Surroundings()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the form scroll."""
        event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the focus on the cell too."""
        self._surroundings.note(self)
        super().focusInEvent(event)
        self._tell_cell()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the focus mark off the cell."""
        super().focusOutEvent(event)
        if self._surroundings.whole():
            self._tell_cell()

    def _tell_cell(self) -> None:
        cell = self.parentWidget()
        if cell is not None and cell.focusProxy() is self:
            look_again(cell)
