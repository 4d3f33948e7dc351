"""A picture that fills its widget as far as its proportions allow."""

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget


class PictureView(QWidget):
    """Shows one picture, made smaller if there is no room for it."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(240, 200)
        self.picture: QImage | None = None

    def show_picture(self, picture: QImage | None, spoken: str = "") -> None:
        """Show a picture, or nothing; `spoken` describes it for screen readers."""
        self.picture = picture
        self.setAccessibleDescription(spoken)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the picture in the middle."""
        if self.picture is None:
            return
        size = self.picture.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        room = QRect(
            (self.width() - size.width()) // 2,
            (self.height() - size.height()) // 2,
            size.width(),
            size.height(),
        )
        with QPainter(self) as painter:
            painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
            painter.drawImage(room, self.picture)

    def sizeHint(self) -> QSize:
        """Return a size at which a plan can be read."""
        return QSize(420, 380)
