"""A cell with a list of choices, each with its own value."""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QSizePolicy, QWidget

from .cell import Cell
from .combo_box import NoWheelComboBox
from .plain import tip

_FRAME = 16
"""The frame and the margins of a cell, both sides, px."""


class Choices(Cell):
    """A combo box in a cell; `chosen` carries the value that the person chose."""

    chosen = Signal(object)

    def __init__(
        self,
        label: str,
        choices: Iterable[tuple[str, object]] = (),
        parent: QWidget | None = None,
    ) -> None:
        self.box = NoWheelComboBox()
        self.box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.box.setMinimumContentsLength(6)
        self.box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        super().__init__(label, self.box, focus=self.box, parent=parent)
        self._values: list[object] = []
        self.set_choices(choices)
        self.box.activated.connect(lambda at: self.chosen.emit(self._values[at]))

    def wanted_width(self) -> int:
        """Return the width at which no choice is cut, px."""
        letters = self.box.fontMetrics()
        words = (self.box.itemText(at) for at in range(self.box.count()))
        widest = max(map(letters.horizontalAdvance, words), default=0)
        return widest + self.box.spare_width() + self.contentsMargins().left() + _FRAME

    def value(self) -> object:
        """Return the value of the current choice, or None if there is none."""
        at = self.box.currentIndex()
        return self._values[at] if at >= 0 else None

    def set_value(self, value: object) -> None:
        """Select a choice without emitting `chosen`; select none if there is no such choice."""
        self.box.setCurrentIndex(self._values.index(value) if value in self._values else -1)

    def set_choices(self, choices: Iterable[tuple[str, object]]) -> None:
        """Replace the choices; keep the current one if it is still among them."""
        offered, held = tuple(choices), self.value()
        shown = [self.box.itemText(at) for at in range(self.box.count())]
        if offered == tuple(zip(shown, self._values, strict=True)):
            return
        self.box.clear()
        self._values = [value for _, value in offered]
        self.box.addItems([words for words, _ in offered])
        if held in self._values:
            self.set_value(held)

    def set_words(self, value: object, words: str) -> None:
        """Change the text of a choice."""
        self.box.setItemText(self._values.index(value), words)
        self.box.setToolTip(tip(self.box.currentText()))
