"""Shows one page of paper on the screen, as large as its room allows, exactly as it is printed."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from gridjig.geometry.page import SheetPage
from gridjig.qt.paint.page_painter import PagePainter

_PAPER = QColor("#FFFFFF")
_MARGIN = 6.0


class PageView(QWidget):
    """A page on the desk.  Paper is white in every theme: it is what comes out of the printer."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(240, 240)
        self._page: SheetPage | None = None
        self._painting = PagePainter()
        self._picture: QImage | None = None

    def show_page(self, page: SheetPage | None, spoken: str = "") -> None:
        """Show a page, or nothing; `spoken` describes it for screen readers."""
        self.setAccessibleDescription(spoken)
        if page is not self._page:
            self._page, self._picture = page, None
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the page in the middle of the widget."""
        page = self._page
        if page is None:
            return
        dots = float(self.devicePixelRatioF())
        scale = min(
            (self.width() - 2 * _MARGIN) / page.width, (self.height() - 2 * _MARGIN) / page.height
        )
        if scale <= 0:
            return
        size = QSize(round(page.width * scale * dots), round(page.height * scale * dots))
        if self._picture is None or self._picture.size() != size:
            self._picture = self._painted(page, size)
        left = (self.width() - size.width() / dots) / 2
        top = (self.height() - size.height() / dots) / 2
        with QPainter(self) as painter:
            at = QRectF(QPointF(left, top), QPointF(self.width() - left, self.height() - top))
            painter.drawImage(at, self._picture)
            painter.setPen(self.palette().color(self.foregroundRole()))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(at.adjusted(-1, -1, 0, 0))

    def _painted(self, page: SheetPage, size: QSize) -> QImage:
        picture = QImage(size, QImage.Format.Format_RGB32)
        picture.fill(_PAPER)
        with QPainter(picture) as painter:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
            painter.scale(size.width() / page.width, size.height() / page.height)
            self._painting.paint(painter, page)
        return picture
