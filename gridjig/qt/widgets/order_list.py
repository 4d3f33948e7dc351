"""A short list that can be reordered with buttons, keys and by dragging, with ticks if wanted."""

from msgspec import Struct
from PySide6.QtCore import QItemSelectionModel, Qt, Signal
from PySide6.QtGui import QDropEvent, QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListWidgetItem,
    QWidget,
)

from gridjig.qt.tasks.timers import call_later

from .buttons import make_button
from .copying import CopiedList
from .layout import in_column, in_row

_KEY = Qt.ItemDataRole.UserRole


class OrderEntry(Struct, frozen=True):
    """An entry: its key, its text, and whether it is ticked, or None if it has no tick."""

    key: str
    words: str
    ticked: bool | None = None


class _List(CopiedList):
    """A list whose entries are moved with Alt+Up and Alt+Down, or dragged."""

    moving = Signal(int)
    dropped = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)

    def dropEvent(self, event: QDropEvent) -> None:
        """Let what was dragged down among the others, and tell it once the drop is done."""
        super().dropEvent(event)
        call_later(self, self.dropped.emit)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the entry with Alt and an arrow, the highlight with an arrow alone."""
        step = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}.get(Qt.Key(event.key()))
        if step is not None and event.modifiers() & Qt.KeyboardModifier.AltModifier:
            self.moving.emit(step)
        else:
            super().keyPressEvent(event)


class OrderList(QWidget):
    """Shows entries in order; `ordered` carries all keys, `ticked` those that are ticked."""

    ordered = Signal(object)
    ticked = Signal(object)

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._entries: tuple[OrderEntry, ...] = ()
        self.list = _List()
        self.list.setObjectName("lines")
        self.list.setAccessibleName(name)
        self.list.setAccessibleDescription(
            "Alt with the up or down arrow moves an entry; so does dragging it"
        )
        self.list.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.list.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.moving.connect(self.move_by)
        self.list.dropped.connect(self._on_dropped)
        self.list.itemChanged.connect(self._on_ticked)
        self.list.itemSelectionChanged.connect(self._update_enabled)
        self.earlier = make_button("Earlier", lambda: self.move_by(-1), about="or press Alt+Up")
        self.later = make_button("Later", lambda: self.move_by(1), about="or press Alt+Down")
        row = in_row(self.earlier, self.later)
        in_column((self.list, 1), row, over=self, margins="none")
        self.setFocusProxy(self.list)

    def show_entries(self, entries: tuple[OrderEntry, ...]) -> None:
        """Show these entries; the current one stays current."""
        if entries == self._entries:
            return
        held, chosen = self.current(), self.chosen()
        self._entries = entries
        self.list.blockSignals(True)
        self.list.clear()
        for entry in entries:
            item = QListWidgetItem(entry.words)
            item.setData(_KEY, entry.key)
            if entry.ticked is not None:
                state = Qt.CheckState.Checked if entry.ticked else Qt.CheckState.Unchecked
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
                item.setCheckState(state)
            self.list.addItem(item)
        keys = [entry.key for entry in entries]
        chosen &= set(keys)
        flag = QItemSelectionModel.SelectionFlag
        self.list.setCurrentRow(
            keys.index(held) if held in keys else min(0, len(keys) - 1),
            flag.NoUpdate if chosen else flag.ClearAndSelect,
        )
        for row, key in enumerate(keys):
            if key in chosen:
                self.list.item(row).setSelected(True)
        self.list.blockSignals(False)
        self._update_enabled()

    def keys(self) -> tuple[str, ...]:
        """Return all keys in order."""
        return tuple(entry.key for entry in self._entries)

    def current(self) -> str:
        """Return the key of the current entry, or ""."""
        item = self.list.currentItem()
        return str(item.data(_KEY)) if item is not None else ""

    def chosen(self) -> frozenset[str]:
        """Return the keys of the selected entries."""
        return frozenset(str(item.data(_KEY)) for item in self.list.selectedItems())

    def move_by(self, step: int) -> None:
        """Move the selected entries up (-1) or down (1); those at the end stay there."""
        keys, chosen = list(self.keys()), self.chosen()
        rows = range(len(keys)) if step < 0 else range(len(keys) - 1, -1, -1)
        for at in rows:
            to = at + step
            if keys[at] in chosen and 0 <= to < len(keys) and keys[to] not in chosen:
                keys[at], keys[to] = keys[to], keys[at]
        if tuple(keys) != self.keys():
            self.ordered.emit(tuple(keys))

    def _on_dropped(self) -> None:
        """Take over the order that dragging left in the list."""
        shown = [str(self.list.item(row).data(_KEY)) for row in range(self.list.count())]
        by_key = {entry.key: entry for entry in self._entries}
        if sorted(shown) == sorted(by_key) and tuple(shown) != self.keys():
            self._entries = tuple(by_key[key] for key in shown)
            self.ordered.emit(tuple(shown))

    def _on_ticked(self, _: QListWidgetItem) -> None:
        items = (self.list.item(row) for row in range(self.list.count()))
        on = Qt.CheckState.Checked
        self.ticked.emit(tuple(str(i.data(_KEY)) for i in items if i.checkState() == on))

    def _update_enabled(self) -> None:
        keys, chosen = self.keys(), self.chosen()
        many = len(chosen)
        self.earlier.setEnabled(chosen != frozenset(keys[:many]))
        self.later.setEnabled(chosen != frozenset(keys[len(keys) - many :]))
