"""A list whose highlighted line is shown on the plan; Enter does what the line offers."""

from PySide6.QtCore import QItemSelectionModel, QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QWidget

from gridjig.qt.style.appearance import Appearance

from .entry_list import ENTER, EntryListView
from .tips import sent_away


class ChoiceList(EntryListView):
    """Signals which line is highlighted; Enter does what it offers, Esc goes back."""

    highlighted = Signal(str)
    setting = Signal()
    backed = Signal()

    def __init__(
        self, name: str, appearance: Appearance, parent: QWidget | None = None, single: bool = True
    ) -> None:
        super().__init__(name, appearance, parent)
        if single:
            self.setSelectionMode(EntryListView.SelectionMode.SingleSelection)
        self.selectionModel().currentChanged.connect(self._on_current)

    def _on_current(self, now: QModelIndex, _: QModelIndex) -> None:
        """Select the line that became the current one, unless others are selected.

        Qt makes a line the current one when the list takes the focus, but does not select it;
        Enter would then do nothing.
        """
        if now.isValid() and not self.selectionModel().hasSelection():
            self.selectionModel().select(now, QItemSelectionModel.SelectionFlag.Select)
        self.highlighted.emit(self.current_key())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Do what the line offers on Enter, go back on Esc; in a form, Esc is the form's."""
        if event.key() in ENTER and self.listened_to("setting"):
            self.setting.emit()
        elif event.key() in ENTER:
            event.ignore()
        elif event.key() == Qt.Key.Key_Escape and not sent_away(event):
            self.backed.emit()
            if isinstance(self.window(), QDialog):
                event.ignore()
        else:
            super().keyPressEvent(event)

    def go_first(self) -> None:
        """Highlight the first line that is not a heading."""
        for entry in self.lines.entries:
            if not entry.heading:
                self.go_to(entry.key)
                return
