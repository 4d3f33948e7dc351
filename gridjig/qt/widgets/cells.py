"""Small parts of panes: lengths that may be left empty, forms and button rows that fold."""

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QPushButton, QSizePolicy, QWidget

from gridjig.units import Display

from .cell_form import CellForm
from .choices import Choices
from .fields import LengthField
from .layout import GAP, inset

_TWO_COLUMNS = 46
"""The width, in letters, from which a form puts cells side by side."""


class OptionalLengthField(LengthField):
    """A length that may be left empty; it then has no value, and the field says what applies.

    If it is `live`, every keystroke that leaves a length applies it.
    """

    def __init__(self, label: str, display: Display, open_words: str, live: bool = True) -> None:
        super().__init__(label, display)
        read = self._read
        self._read = lambda text: read(text) if text.strip() else None
        self.set_open_words(open_words)
        if live:
            self.make_live()

    def set_open_words(self, words: str) -> None:
        """Set the words that are shown while the field is empty."""
        self.edit.setPlaceholderText(words)
        self._describe()

    def _describe(self) -> None:
        super()._describe()
        told = (self.edit.accessibleDescription(), self.edit.placeholderText())
        self.edit.setAccessibleDescription(". ".join(t for t in told if t))

    def mm(self) -> float | None:
        """Return the length in force, or None."""
        value = self.value()
        return float(value) if isinstance(value, int | float) else None


class FoldingForm(CellForm):
    """A form whose cells are stacked if two do not fit side by side."""

    _folded = False
    _spans: tuple[tuple[QWidget, int], ...] = ()

    def minimumSizeHint(self) -> QSize:
        """Return the width of the widest single cell."""
        widths = [cell.minimumSizeHint().width() for cell, _ in self._cells]
        return QSize(max(widths, default=0) + 14, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fold or unfold according to the width in letters, and to what the cells have to show."""
        super().resizeEvent(event)
        pairs = [cell for cell, span in self._spans or self._cells if span == 1]
        folded = (
            self.width() < self.fontMetrics().averageCharWidth() * _TWO_COLUMNS
            or 2 * max(map(wanted_width, pairs), default=0) + 3 * GAP > self.width()
        )
        if folded != self._folded:
            self._folded = folded
            self._spans = self._spans or tuple(self._cells)
            self._cells = [(cell, 2 if folded else span) for cell, span in self._spans]
            self.reflow()


def wanted_width(part: QWidget) -> int:
    """Return the width at which nothing of a part is cut, px."""
    return part.wanted_width() if isinstance(part, Choices) else part.minimumSizeHint().width()


class FoldingRow(QWidget):
    """Parts side by side, or below one another where they do not fit; the first may be wider."""

    def __init__(self, *parts: QWidget, stretch: tuple[int, ...] = ()) -> None:
        super().__init__()
        self.parts = parts
        self._box = inset(QBoxLayout(QBoxLayout.Direction.LeftToRight, self), "none", GAP)
        for index, part in enumerate(parts):
            self._box.addWidget(part, stretch[index] if stretch else 1)

    def minimumSizeHint(self) -> QSize:
        """Return the width of the widest part."""
        wide = max((part.minimumSizeHint().width() for part in self.parts), default=0)
        return QSize(wide, super().minimumSizeHint().height())

    def _fit(self) -> None:
        shown = [part for part in self.parts if not part.isHidden()]
        whole = sum(self._box.stretch(self._box.indexOf(part)) for part in shown) or 1
        room = self.width() - self._box.spacing() * (len(shown) - 1)
        fits = all(
            wanted_width(part) <= room * self._box.stretch(self._box.indexOf(part)) // whole
            for part in shown
        )
        ways = QBoxLayout.Direction
        way = ways.LeftToRight if fits else ways.TopToBottom
        if way != self._box.direction():
            self._box.setDirection(way)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Choose between row and column for the new width."""
        super().resizeEvent(event)
        self._fit()

    def event(self, event: QEvent) -> bool:
        """Look again when a part has been shown or hidden, or has other words."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._fit()
        return done


class ButtonRow(QWidget):
    """Buttons of equal width side by side, or stacked if their text needs the room."""

    def __init__(self, *buttons: QPushButton, role: str = "plain") -> None:
        super().__init__()
        self.buttons = buttons
        self._box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        inset(self._box, "none", GAP)
        for button in buttons:
            button.setObjectName(role)
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            self._box.addWidget(button, 1)

    def minimumSizeHint(self) -> QSize:
        """Return the width of the widest button."""
        hints = [button.sizeHint() for button in self.buttons]
        return QSize(max(h.width() for h in hints), super().minimumSizeHint().height())

    def fit(self) -> None:
        """Choose between row and column; called automatically when the width changes."""
        each = max(button.sizeHint().width() for button in self.buttons)
        wide = len(self.buttons) * each + self._box.spacing() * (len(self.buttons) - 1)
        ways = QBoxLayout.Direction
        way = ways.LeftToRight if wide <= self.width() else ways.TopToBottom
        if way != self._box.direction():
            self._box.setDirection(way)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Choose between row and column for the new width."""
        super().resizeEvent(event)
        self.fit()
