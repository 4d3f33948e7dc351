"""A stack of loose pieces, such as risers below or shims in front: its contents, add, remove."""

from collections.abc import Mapping

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QComboBox, QWidget

from gridjig.qt.widgets.cell import Cell
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.labels import NoteLabel
from gridjig.qt.widgets.layout import in_row
from gridjig.qt.widgets.plain import Button, Label
from gridjig.rack import Piece


class StackField(Cell):
    """Shows a stack, bottom or nearest piece first; `changed` carries the new piece ids.

    Of what was done `added` carries the piece that goes on, and `dropped` says that the last one
    comes off: for several stacks that are shown as one.
    """

    changed = Signal(object)
    added = Signal(str)
    dropped = Signal()

    def __init__(self, label: str, add: str, parent: QWidget | None = None) -> None:
        self._stack: tuple[str, ...] = ()
        self._add_words = add
        self.note = NoteLabel()
        self.shown = Label()
        self.add = NoWheelComboBox()
        self.add.setMinimumContentsLength(8)
        self.add.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.add.setIconSize(QSize(0, 0))
        self.off = Button("Take off", "plain")
        self.off.setAccessibleName(f"{label}: take the last one off")
        below = in_row((self.add, 1), self.off)
        super().__init__(label, self.shown, below, note=self.note, focus=self.add, parent=parent)
        self.add.setAccessibleName(f"{label}: {add}")
        self.add.activated.connect(self._on_add)
        self.off.clicked.connect(self._on_off)

    def show_stack(
        self,
        stack: tuple[str, ...],
        offers: tuple[Piece, ...],
        left: Mapping[str, int],
        height: str,
    ) -> None:
        """Show a stack and its `height`, and offer these pieces with how many of each are left."""
        self._stack = stack
        names = {p.id: p.full_name for p in offers}
        self.shown.setText(" + ".join(names.get(i, i) for i in stack) or "none")
        self.note.setText(height)
        self.off.setEnabled(bool(stack))
        words = [f"{self._add_words}…"] + [
            f"{p.full_name}  ({left.get(p.id, p.owned)} left)" for p in offers
        ]
        if words != [self.add.itemText(i) for i in range(self.add.count())]:
            self.add.clear()
            self.add.addItem(words[0], "")
            for piece, text in zip(offers, words[1:], strict=True):
                self.add.addItem(text, piece.id)
        self.add.setCurrentIndex(0)

    def show_differing(
        self, offers: tuple[Piece, ...], left: Mapping[str, int], height: str
    ) -> None:
        """Show that the stacks it stands for differ; one more can go on each, and one come off."""
        self.show_stack((), offers, left, height)
        self.shown.setText("not the same")
        self.off.setEnabled(True)

    def _on_add(self, index: int) -> None:
        piece_id = self.add.itemData(index)
        if piece_id:
            self.changed.emit((*self._stack, piece_id))
            self.added.emit(piece_id)
        self.add.setCurrentIndex(0)

    def _on_off(self) -> None:
        self.changed.emit(self._stack[:-1])
        self.dropped.emit()
