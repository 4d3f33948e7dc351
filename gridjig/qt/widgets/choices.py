"""A cell with a list of choices, each with a value of its own."""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QSizePolicy, QWidget

from .cell import Cell
from .combo_box import NoWheelComboBox


class Choices(Cell):
    """`chosen` carries the value of what the person chose."""

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

    def value(self) -> object:
        """The value of the choice in force; None if none is."""
        at = self.box.currentIndex()
        return self._values[at] if at >= 0 else None

    def set_value(self, value: object) -> None:
        """Put a choice in force without telling; none if there is no such one."""
        self.box.setCurrentIndex(self._values.index(value) if value in self._values else -1)

    def set_choices(self, choices: Iterable[tuple[str, object]]) -> None:
        """Other choices; the one in force stays if it is still among them."""
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
        """Call a choice by other words."""
        self.box.setItemText(self._values.index(value), words)
