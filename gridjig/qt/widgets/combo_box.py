"""A combo box that nothing changes unnoticed: neither the wheel nor a letter meant for a tool."""

from itertools import count

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionComboBox,
    QStylePainter,
    QWidget,
)

from gridjig.qt.tasks.timers import call_later
from gridjig.qt.widgets.lifetime import Surroundings

from .eliding import elided
from .plain import tip
from .styled import apply_style, forget_rules

_ROOM = 4
"""What Qt leaves free round the text of a combo box, px."""
_MANY = 250
"""Boxes after which Qt forgets what it keeps of them."""
_made = count(1)


class NoWheelComboBox(QComboBox):
    """Opened by a click, Enter or the arrow keys; the wheel scrolls what is around it.

    As the focus proxy of a cell it has no frame: the cell shows the focus.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        # Qt's default delegate ignores the style sheet: its lines would be too low for gloves.
        self.setItemDelegate(QStyledItemDelegate(self))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)  # a wheel turn gives it no focus
        self._least = 0
        self._surroundings = Surroundings()
        self.currentTextChanged.connect(lambda words: self.setToolTip(tip(words)))
        app = QApplication.instance()
        if next(_made) % _MANY == 0 and app is not None:
            # What the style sheet says of the frame round a box's list, Qt keeps for good: it does
            # not style that frame, and so does not learn that it is destroyed (700 bytes each).
            call_later(app, forget_rules)

    def setAccessibleName(self, name: str) -> None:
        """Name the box, and with it its list and the text typed into it.

        On Linux Qt gives readers the current text in place of the name, so the name is also the
        description.
        """
        super().setAccessibleName(name)
        if not self.accessibleDescription():
            self.setAccessibleDescription(name)
        self.view().setAccessibleName(name)
        typed = self.lineEdit()
        if typed is not None:
            typed.setAccessibleName(name)

    def give_way(self, letters: int) -> None:
        """Let a crowded row cut the text to this many letters; the tooltip shows it whole."""
        self._least = letters
        self.updateGeometry()

    def minimumSizeHint(self) -> QSize:
        """Return the room for the whole text, or for the letters that are left of it."""
        usual = super().minimumSizeHint()
        if not self._least:
            return usual
        needed = self.spare_width() + _ROOM + self.fontMetrics().averageCharWidth() * self._least
        return QSize(min(usual.width(), needed), usual.height())

    def spare_width(self) -> int:
        """Return how much wider the box is than the text that it has room for, px."""
        return self.width() - self._text_room()

    def _text_room(self) -> int:
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        field = QStyle.SubControl.SC_ComboBoxEditField
        whole = QStyle.ComplexControl.CC_ComboBox
        return self.style().subControlRect(whole, option, field, self).width() - _ROOM

    def shown_text(self) -> str:
        """Return the current text as it is shown while the box is closed."""
        others = (self.itemText(at) for at in range(self.count()))
        return elided(self.fontMetrics(), self.currentText(), others, self._text_room())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box; a text that does not fit is cut where it does not differ from others."""
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        option.currentText = self.shown_text()
        painter = QStylePainter(self)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Ignore the wheel, so that the form scrolls."""
        event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Ignore letters and digits while the list is closed: they are meant for a tool.

        An editable box takes them: Qt gives the keys to the box, which hands them to its edit.
        """
        text = event.text()
        if not self.isEditable() and text.isprintable() and not text.isspace() and text:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Mark the cell as focused."""
        self._surroundings.note(self)
        super().focusInEvent(event)
        self._tell_cell()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Remove the focus mark from the cell."""
        super().focusOutEvent(event)
        if self._surroundings.whole():
            self._tell_cell()

    def _tell_cell(self) -> None:
        cell = self.parentWidget()
        if cell is not None and cell.focusProxy() is self:
            apply_style(cell)
