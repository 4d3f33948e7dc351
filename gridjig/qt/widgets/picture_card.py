"""A small picture with a few words under it, which is chosen like a button."""

from PySide6.QtCore import QEvent, QRect, QSize, Qt, Signal
from PySide6.QtGui import (
    QEnterEvent,
    QFont,
    QFontMetrics,
    QImage,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from gridjig.qt.style.appearance import Appearance

from .lifetime import Surroundings

_FRAME, _CHOSEN = 1, 4
"""How thick the frame is, px; the chosen one is told by it, not by colour alone."""
_LEAST = 0.65
"""How much smaller the words may be than usual, so that they are whole in large letters."""


class PictureCard(QAbstractButton):
    """One of several pictures to choose from.

    `hovered` says whether the pointer is on it.
    """

    hovered = Signal(bool)

    def __init__(self, appearance: Appearance, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._appearance = appearance
        self._surroundings = Surroundings()
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.picture: QImage | None = None
        self.show_lines(())

    def show_lines(self, lines: tuple[str, ...]) -> None:
        """Show these words under the picture, one line each."""
        self.lines: tuple[str, ...] = lines
        self.setAccessibleName(". ".join(lines) or "Nothing found yet")
        self.update()

    def show_picture(self, picture: QImage | None) -> None:
        """Show a picture; without one the room stays empty."""
        self.picture = picture
        self.update()

    def sizeHint(self) -> QSize:
        """Return a size at which stops and clamps can be told apart."""
        letters = self.fontMetrics()
        return QSize(letters.averageCharWidth() * 34, letters.lineSpacing() * 12)

    def minimumSizeHint(self) -> QSize:
        """Return a size at which the first words can still be read."""
        letters = self.fontMetrics()
        return QSize(letters.averageCharWidth() * 10, letters.lineSpacing() * 5)

    def enterEvent(self, event: QEnterEvent) -> None:
        """Tell that the pointer is on it."""
        super().enterEvent(event)
        self._surroundings.note(self)
        self.hovered.emit(True)

    def leaveEvent(self, event: QEvent) -> None:
        """Tell that the pointer has left it."""
        super().leaveEvent(event)
        if self._surroundings.whole():
            self.hovered.emit(False)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the picture, the words and the frame."""
        theme, letters = self._appearance.theme, self.fontMetrics()
        inner = self.rect().adjusted(_CHOSEN, _CHOSEN, -_CHOSEN, -_CHOSEN)
        words = letters.lineSpacing() * len(self.lines)
        with QPainter(self) as painter:
            painter.fillRect(self.rect(), theme.colour("paper"))
            room = inner.adjusted(0, 0, 0, -words)
            if self.picture is not None and room.height() > 0:
                painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
                painter.drawImage(_fitted(self.picture.size(), room), self.picture)
            painter.setPen(theme.colour("ink"))
            font = self.font_in(inner.width() - 4)
            painter.setFont(font)
            letters = QFontMetrics(font)
            for n, line in enumerate(self.lines):
                top = inner.bottom() + 1 - words + n * letters.lineSpacing()
                box = QRect(inner.left() + 2, top, inner.width() - 4, letters.lineSpacing())
                cut = letters.elidedText(line, Qt.TextElideMode.ElideRight, box.width())
                painter.drawText(box, int(Qt.AlignmentFlag.AlignLeft), cut)
            self._paint_frame(painter)

    def font_in(self, room: int) -> QFont:
        """Return the font in which every line fits into a width in px, or the smallest allowed."""
        wide = max((self.fontMetrics().horizontalAdvance(line) for line in self.lines), default=0)
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * max(min(0.97 * room / max(wide, 1), 1.0), _LEAST))
        return font

    def _paint_frame(self, painter: QPainter) -> None:
        theme, thick = self._appearance.theme, _CHOSEN if self.isChecked() else _FRAME
        colour = theme.colour("selected" if self.hasFocus() else "ink")
        painter.setPen(QPen(colour, thick, j=Qt.PenJoinStyle.MiterJoin))
        half = thick // 2
        painter.drawRect(self.rect().adjusted(half, half, -half - 1, -half - 1))


def _fitted(size: QSize, room: QRect) -> QRect:
    """The largest box of these proportions in the middle of a room."""
    fits = size.scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
    x = room.left() + (room.width() - fits.width()) // 2
    y = room.top() + (room.height() - fits.height()) // 2
    return QRect(x, y, fits.width(), fits.height())
