"""Labels that give way to their neighbours: text that does not fit is cut, and shown on hover."""

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import (
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QResizeEvent,
    QTextLayout,
    QTextOption,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from gridjig.units.unbroken import unbroken

from .plain import Label, tip

_INDENT = 4
_BESIDE = 6
_MOST = 34
"""The most letters that a label asks room for."""
_SMALLER = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5)
"""How much smaller a text is written, step by step, until it fits."""
_LEAST_PT = 7.0
"""No letters are smaller than this, points."""


class ElidedLabel(Label):
    """A label that takes the room that is left over."""

    def __init__(self, words: str = "") -> None:
        super().__init__()
        self.setWordWrap(False)
        self._words = ""
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.setMinimumWidth(0)
        self.show_words(words)

    def show_words(self, words: str) -> None:
        """Show a text; the tooltip and screen readers get it whole."""
        if words != self._words:
            self._words = words
            self.setToolTip(tip(words))
            self.setAccessibleDescription(words)
            self.updateGeometry()
            self._cut()

    def words(self) -> str:
        """Return the whole text."""
        return self._words

    def is_cut(self) -> bool:
        """True while the text is cut."""
        return " ".join(self.text().split()) != " ".join(self._words.split())

    def _room(self) -> int:
        return max(self.width(), 0)

    def _cut(self) -> None:
        mode = Qt.TextElideMode.ElideRight
        self.setText(self.fontMetrics().elidedText(self._words, mode, self._room()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cut the text to the new width."""
        super().resizeEvent(event)
        self._cut()

    def changeEvent(self, event: QEvent) -> None:
        """Cut the text again when the font changes."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._cut()


class NoteLabel(Label):
    """A note about a field: what it accepts, its unit.  It wraps and is never cut."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("note")
        self.setWordWrap(True)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def show_words(self, words: str) -> None:
        """Show a text."""
        if words != self.text():
            self.setText(words)
            self.updateGeometry()

    def words(self) -> str:
        """Return the text."""
        return self.text()


class HeadRow(QWidget):
    """A name with a note to its right, or below it where the two do not fit side by side.

    It places them itself: a layout that changed its direction with its width would make a scroll
    area around it show and hide its bar without end.
    """

    def __init__(self, name: Label, note: Label) -> None:
        super().__init__()
        self._name, self._note = name, note
        for label in (name, note):
            label.setParent(self)
        # Not of a fixed height: that would be the name's alone, and hide a note below it.
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def below(self) -> bool:
        """Return True while the note is below the name."""
        return self._is_below(self.width())

    def _is_below(self, width: int) -> bool:
        words = self._note.text()
        note = self._note.fontMetrics().horizontalAdvance(words)
        return bool(words) and self._name.sizeHint().width() + _BESIDE + note > width

    def hasHeightForWidth(self) -> bool:
        """Return True: in a narrow row the note takes a line of its own, or several."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Return the height at a width."""
        name = self._name.sizeHint().height()
        return name + self._note.heightForWidth(width) if self._is_below(width) else name

    def sizeHint(self) -> QSize:
        """Return the size of the name alone."""
        return self._name.sizeHint()

    def minimumSizeHint(self) -> QSize:
        """Return the same."""
        return self._name.sizeHint()

    def _place(self) -> None:
        wide, name = self.width(), self._name.sizeHint()
        if self._is_below(wide):
            self._name.setGeometry(0, 0, wide, name.height())
            self._note.setGeometry(0, name.height(), wide, self._note.heightForWidth(wide))
            side = Qt.AlignmentFlag.AlignLeft
        else:
            left = name.width() + _BESIDE
            self._name.setGeometry(0, 0, name.width(), self.height())
            self._note.setGeometry(left, 0, max(wide - left, 0), self.height())
            side = Qt.AlignmentFlag.AlignRight
        if not self._note.alignment() & side:
            self._note.setAlignment(side | Qt.AlignmentFlag.AlignVCenter)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Place both for the new width."""
        super().resizeEvent(event)
        self._place()

    def event(self, event: QEvent) -> bool:
        """Place both again when a text or the font has changed."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self.updateGeometry()
            self._place()
        return done


class LinesLabel(ElidedLabel):
    """A label with room for a given number of lines; a text that needs more is written smaller.

    Only what does not fit even in its smallest letters is cut, at the end.
    """

    def __init__(self, lines: int) -> None:
        self._lines = lines
        self._letters: QFont | None = None
        super().__init__()
        self.setIndent(_INDENT)
        self.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)

    def _room(self) -> int:
        return max(self.width() - _INDENT, 0)

    def minimumSizeHint(self) -> QSize:
        """Return room for all lines, used or not, so that neighbours never jump with the text."""
        return QSize(0, self.fontMetrics().lineSpacing() * self._lines)

    def sizeHint(self) -> QSize:
        """Return no more than the minimum."""
        return self.minimumSizeHint()

    def _cut(self) -> None:
        high = self.fontMetrics().lineSpacing() * self._lines
        font, starts, most = self.font(), [0], self._lines
        for size in _SMALLER:
            font = QFont(self.font())
            usual = self.font().pointSizeF()
            font.setPointSizeF(max(usual * size, min(usual, _LEAST_PT)))
            most = max(1, high // QFontMetrics(font).lineSpacing())
            starts = _line_starts(self._words, font, self._room())
            if len(starts) <= most:
                break
        self._letters = font
        starts = starts[:most]
        shown = [
            self._words[a:b].strip()
            for a, b in zip(starts, [*starts[1:], len(self._words)], strict=True)
        ]
        if shown:
            # The last line gets the rest of the text, and is cut if that is too long.
            mode = Qt.TextElideMode.ElideRight
            shown[-1] = QFontMetrics(font).elidedText(shown[-1], mode, self._room())
        self.setText("\n".join(shown))
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Write the lines in letters in which they fit."""
        with QPainter(self) as painter:
            painter.setFont(self._letters or self.font())
            painter.setPen(self.palette().color(self.foregroundRole()))
            painter.drawText(self.rect().adjusted(_INDENT, 0, 0, 0), self.alignment(), self.text())


def _line_starts(words: str, font: QFont, room: int) -> list[int]:
    """Return where the lines begin if a text is wrapped at words to this width."""
    layout = QTextLayout(unbroken(words), font)
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WordWrap)
    layout.setTextOption(option)
    layout.beginLayout()
    starts: list[int] = []
    while (line := layout.createLine()).isValid():
        line.setLineWidth(room)
        starts.append(line.textStart())
    layout.endLayout()
    return starts


class RoomyLabel(ElidedLabel):
    """A label that asks for room for its whole text, between `least` letters and a fixed maximum.

    With `whole`, the text is not cut below that maximum.
    """

    def __init__(self, least: int, stretch: bool = False, whole: bool = False) -> None:
        self._letters = least
        super().__init__()
        policy = QSizePolicy.Policy.Minimum if whole else QSizePolicy.Policy.Preferred
        policy = QSizePolicy.Policy.Ignored if stretch else policy
        self.setSizePolicy(policy, QSizePolicy.Policy.Preferred)

    def _px(self, letters: int) -> int:
        return self.fontMetrics().averageCharWidth() * letters

    def _room(self) -> int:
        return max(self.width(), self._px(self._letters))

    def minimumSizeHint(self) -> QSize:
        """Return room for `least` letters of the current font."""
        return QSize(self._px(self._letters), super().minimumSizeHint().height())

    def sizeHint(self) -> QSize:
        """Return room for the whole text, up to the maximum."""
        wide = self.fontMetrics().horizontalAdvance(self._words) + 4
        least, most = self._px(self._letters), self._px(_MOST)
        return QSize(min(max(wide, least), most), super().sizeHint().height())
