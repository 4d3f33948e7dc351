"""A list of two-line entries with a sign, used for placed pieces, the pull list and findings.

Each entry is a value; the list knows nothing about jobs.
"""

from collections.abc import Callable, Iterable, Set

from PySide6.QtCore import (
    QItemSelectionModel,
    QModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QWidget,
)

from gridjig.qt.style.appearance import Appearance

from .entry_rows import EntryListDelegate, EntryListModel
from .list_ends import go_to_end
from .list_entry import ListEntry, ListOrder, as_table, in_order, no_more

ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_SHIFT, _CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


class EntryListView(QListView):
    """A list of entries; `chosen` carries the selected ids, `opened` the entry opened.

    Several entries are selected with Shift or Ctrl.  They can be shown in another order than the
    list has them, and copied as a table, with what `more` gives for each.  `does` says what Enter
    does, for the prompt.
    """

    does = "Enter shows it on the plan"

    chosen = Signal(object)
    opened = Signal(object)
    removing = Signal()

    def __init__(self, name: str, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("lines")
        self.setAccessibleName(name)
        self.lines = EntryListModel(self)
        self.setModel(self.lines)
        self.delegate = EntryListDelegate(appearance, self)
        self.setItemDelegate(self.delegate)
        self.setMouseTracking(True)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self._showing = False
        self._held = Qt.KeyboardModifier.NoModifier
        self._pressed = False
        self.given: tuple[ListEntry, ...] = ()  # the entries as the list has them
        self.order: ListOrder = "listed"
        self.more: Callable[[ListEntry], tuple[str, ...]] = no_more
        self.selectionModel().selectionChanged.connect(self._tell)
        self.selectionModel().currentChanged.connect(self._open_out)
        self.activated.connect(self._on_click)
        self.clicked.connect(self._on_click)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.delegate.appearance = appearance
        self.scheduleDelayedItemsLayout()

    def show_entries(self, entries: Iterable[ListEntry], selected: frozenset[str] | None) -> None:
        """Show entries and select those with all ids in `selected`; None keeps the selection."""
        self._showing = True
        held, chosen = self.current_key(), {entry.key for entry in self.chosen_entries()}
        self.given = tuple(entries)
        made_anew = self.lines.show(in_order(self.given, self.order))
        if made_anew:
            self._set_current(held)
            if chosen:
                self._choose(chosen)
        if selected is not None:
            self._mark(selected)
        self._showing = False
        self._open_out(self.currentIndex(), QModelIndex())
        if self.hasFocus() and self.currentIndex().isValid():
            self.scrollTo(self.currentIndex())  # entries above it may be taller than before

    def sort(self, order: ListOrder) -> None:
        """Show the entries in this order; what is selected stays so."""
        if order == self.order:
            return
        self.order = order
        self.show_entries(self.given, None)
        self.scrollTo(self.currentIndex())

    def _choose(self, keys: Set[str]) -> None:
        """Select the lines with these keys, and no others."""
        flag = QItemSelectionModel.SelectionFlag.Select
        self.clearSelection()  # of what became selected by being the current one
        for row, entry in enumerate(self.lines.entries):
            if entry.key in keys:
                self.selectionModel().select(self.lines.index(row), flag)

    def listened_to(self, signal: str) -> bool:
        """Return True if somebody does something about a signal of this list, given by its name."""
        # `QMetaMethod.fromSignal` would find it at once, but leaks a reference to this list.
        known = self.metaObject()
        methods = map(known.method, range(known.methodCount()))
        return any(m.name() == signal.encode() and self.isSignalConnected(m) for m in methods)

    def chosen_entries(self) -> tuple[ListEntry, ...]:
        """Return the selected entries, from the top."""
        rows = sorted(i.row() for i in self.selectionModel().selectedIndexes())
        return tuple(self.lines.entries[row] for row in rows)

    def chosen_ids(self) -> frozenset[str]:
        """Return the ids of the selected entries."""
        return frozenset(i for entry in self.chosen_entries() for i in entry.ids)

    def ids_with(self, opened: ListEntry) -> frozenset[str]:
        """Return the ids of the selected entries, or of the one opened if none is selected."""
        return self.chosen_ids() or frozenset(opened.ids)

    def copy(self) -> int:
        """Put the selected entries on the clipboard as a table, or all if at most one is selected;
        return how many there are.
        """
        chosen = self.chosen_entries()
        keys = {entry.key for entry in chosen}
        entries = [
            entry
            for entry in self.lines.entries
            if len(chosen) < 2 or entry.heading or entry.key in keys
        ]
        QGuiApplication.clipboard().setText(as_table(entries, self.more))
        return sum(not entry.heading for entry in entries)

    def current_key(self) -> str:
        """Return the key of the current entry, or ""."""
        index = self.currentIndex()
        return self.lines.entries[index.row()].key if index.isValid() else ""

    def go_to(self, key: str) -> bool:
        """Highlight the line with this key; return False if there is none."""
        for row, entry in enumerate(self.lines.entries):
            if entry.key == key and not entry.heading:
                # Not setCurrentIndex: with Ctrl held for a shortcut, it would extend the selection.
                self.selectionModel().setCurrentIndex(
                    self.lines.index(row), QItemSelectionModel.SelectionFlag.ClearAndSelect
                )
                return True
        return False

    def _set_current(self, key: str) -> None:
        for row, entry in enumerate(self.lines.entries):
            if entry.key == key:
                self.selectionModel().setCurrentIndex(
                    self.lines.index(row), QItemSelectionModel.SelectionFlag.NoUpdate
                )

    def _mark(self, selected: frozenset[str]) -> None:
        if self.chosen_ids() == selected:
            return  # its own lines say it; others with some of the same pieces were not clicked
        flag = QItemSelectionModel.SelectionFlag
        model = self.selectionModel()
        first = True
        for row, entry in enumerate(self.lines.entries):
            index = self.lines.index(row)
            wanted = bool(entry.ids) and selected.issuperset(entry.ids)
            if wanted != model.isSelected(index):
                model.select(index, flag.Select if wanted else flag.Deselect)
            if wanted and first and not self.hasFocus():
                first = False
                model.setCurrentIndex(index, flag.NoUpdate)
                self.scrollTo(index)

    def _open_out(self, now: QModelIndex, _: QModelIndex) -> None:
        """Show the current entry in full, and bring all of it into view.

        Not while a button is held: the lines would move, and its release would be on another one.
        """
        if self._pressed:
            return
        before, self.delegate.open_row = self.delegate.open_row, now.row()
        if before != now.row():
            self.scheduleDelayedItemsLayout()  # the one that was open is low again
        if now.isValid() and self.delegate.opens_out(self.lines.entries[now.row()]):
            self.doItemsLayout()
            self.scrollTo(now)

    def _tell(self) -> None:
        if self._showing:
            return
        self.chosen.emit(self.chosen_ids())

    def _on_click(self, index: QModelIndex) -> None:
        """Open the entry clicked; with Shift or Ctrl the click only selects."""
        if not self._held & (_SHIFT | _CTRL):
            self._open(index)

    def _open(self, index: QModelIndex) -> None:
        entry = self.lines.entries[index.row()]
        if not entry.heading:
            self.opened.emit(entry)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Note which keys are held with a click."""
        self._held = event.modifiers()
        super().mouseReleaseEvent(event)
        self._pressed = False
        self._open_out(self.currentIndex(), QModelIndex())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Keep the lines where they are until the button is let go."""
        self._pressed = True
        super().mousePressEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Remove on Del, open on Enter, go to the ends on Home and End.

        Copy on Ctrl+C where the window has no other use of it.
        """
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.removing.emit()
        elif event.matches(QKeySequence.StandardKey.Copy):
            self.copy()
        elif event.key() in ENTER and self.listened_to("opened"):
            if self.currentIndex().isValid():
                self._open(self.currentIndex())
        elif event.key() in ENTER:
            event.ignore()  # it presses the bold button of a form
        elif not go_to_end(self, event):
            super().keyPressEvent(event)
