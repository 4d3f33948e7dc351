"""The lines of an import, each with a tick: taken or left."""

from msgspec import Struct
from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtWidgets import QAbstractItemView, QListWidgetItem, QWidget

from gridjig.qt.widgets.copying import CopiedList

_KEY = Qt.ItemDataRole.UserRole


class TickLine(Struct, frozen=True):
    """A line: its key, what it is about, and what it would do; a heading has no key."""

    key: str
    head: str
    under: str = ""


class ImportList(CopiedList):
    """Shows lines under headings; `ticked` is emitted when the person ticks or unticks one."""

    ticked = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("lines")
        self.setAccessibleName(name)
        self.setAccessibleDescription("Space ticks or unticks a line")
        self.setWordWrap(True)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.itemChanged.connect(lambda _: self.ticked.emit())

    def show_lines(self, lines: tuple[TickLine, ...], taken: frozenset[str]) -> None:
        """Show these lines, those in `taken` ticked."""
        self.blockSignals(True)
        self.clear()
        for line in lines:
            item = QListWidgetItem("\n".join(t for t in (line.head, line.under) if t))
            item.setData(_KEY, line.key)
            if line.key:
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
                item.setCheckState(_state(line.key in taken))
            else:
                strong = item.font()
                strong.setBold(True)
                item.setFont(strong)
                item.setFlags(Qt.ItemFlag.NoItemFlags | Qt.ItemFlag.ItemIsEnabled)
            self.addItem(item)
        first = next((row for row, line in enumerate(lines) if line.key), -1)
        self.setCurrentRow(first)
        self.blockSignals(False)

    def tick(self, keys: frozenset[str]) -> None:
        """Tick the lines with these keys and untick all others."""
        self.blockSignals(True)
        for item in self._lines():
            item.setCheckState(_state(str(item.data(_KEY)) in keys))
        self.blockSignals(False)
        self.ticked.emit()

    def keys(self) -> frozenset[str]:
        """Return the keys of all lines."""
        return frozenset(str(item.data(_KEY)) for item in self._lines())

    def taken(self) -> frozenset[str]:
        """Return the keys of the lines that are ticked."""
        on = Qt.CheckState.Checked
        return frozenset(str(i.data(_KEY)) for i in self._lines() if i.checkState() == on)

    def moveCursor(
        self, action: QAbstractItemView.CursorAction, modifiers: Qt.KeyboardModifier
    ) -> QModelIndex:
        """Go from line to line, past the headings; stay where there is no other line."""
        row = super().moveCursor(action, modifiers).row()
        up = QAbstractItemView.CursorAction.MoveUp, QAbstractItemView.CursorAction.MovePrevious
        step = -1 if action in up else 1
        while 0 <= row < self.count() and not self.item(row).data(_KEY):
            row += step
        return self.model().index(row, 0) if 0 <= row < self.count() else self.currentIndex()

    def _lines(self) -> list[QListWidgetItem]:
        items = (self.item(row) for row in range(self.count()))
        return [item for item in items if item.data(_KEY)]


def _state(on: bool) -> Qt.CheckState:
    return Qt.CheckState.Checked if on else Qt.CheckState.Unchecked
