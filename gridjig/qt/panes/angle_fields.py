"""Small parts of the angle pane: lengths that may be left empty, and lists of choices in a cell."""

from collections.abc import Iterable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QFrame, QLabel, QSizePolicy, QVBoxLayout, QWidget

from gridjig.units import Display

from ..fields import LengthField


class OpenLength(LengthField):
    """A length that may be left empty; then it has no value and `open_words` says what holds."""

    def __init__(
        self, label: str, display: Display, open_words: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(label, display, parent)
        read = self._read
        self._read = lambda text: read(text) if text.strip() else None
        self.set_open_words(open_words)
        self.make_live()

    def set_open_words(self, words: str) -> None:
        """Say what holds while the field is empty."""
        self.edit.setPlaceholderText(words)
        self._describe()

    def _describe(self) -> None:
        super()._describe()
        told = (self.edit.accessibleDescription(), self.edit.placeholderText())
        self.edit.setAccessibleDescription(". ".join(t for t in told if t))

    def mm(self) -> float | None:
        """The length in force, or None."""
        value = self.value()
        return float(value) if isinstance(value, int | float) else None


class Choices(QFrame):
    """A cell with a list of choices, each with a value of its own."""

    chosen = Signal(object)

    def __init__(
        self, label: str, choices: Iterable[tuple[str, object]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("cell")
        self.label = QLabel(label)
        self.label.setObjectName("cellName")
        self.box = QComboBox()
        self.box.setAccessibleName(label)
        self.box.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.box.setMinimumContentsLength(6)
        self.box.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.label.setBuddy(self.box)
        self._values: list[object] = []
        for words, value in choices:
            self.box.addItem(words)
            self._values.append(value)
        column = QVBoxLayout(self)
        column.setContentsMargins(5, 2, 5, 2)
        column.setSpacing(0)
        column.addWidget(self.label)
        column.addWidget(self.box)
        self.setFocusProxy(self.box)
        self.box.activated.connect(lambda at: self.chosen.emit(self._values[at]))

    def value(self) -> object:
        """The value of the choice in force."""
        return self._values[self.box.currentIndex()]

    def set_value(self, value: object) -> None:
        """Put a choice in force without telling."""
        self.box.setCurrentIndex(self._values.index(value))

    def set_choices(self, choices: Iterable[tuple[str, object]]) -> None:
        """Other choices; the one in force stays if it is still among them."""
        held = self.value() if self._values else None
        self.box.clear()
        self._values = []
        for words, value in choices:
            self.box.addItem(words)
            self._values.append(value)
        if held in self._values:
            self.set_value(held)

    def set_words(self, value: object, words: str) -> None:
        """Call a choice by other words."""
        self.box.setItemText(self._values.index(value), words)
