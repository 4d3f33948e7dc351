"""A part below others that scrolls by itself: as high as its contents, or less where room is short.

So that a long text, or a form that was opened, does not push what is above it out of its place.
"""

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QLayout, QScrollArea, QSizePolicy, QWidget


class _Part(QWidget):
    """Tells when its height may have changed."""

    changed = Signal()

    def event(self, event: QEvent) -> bool:
        """Tell after Qt has noted that the layout needs another size."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self.changed.emit()
        return done


class Foot(QScrollArea):
    """Holds a layout; it asks for the layout's height at its own width."""

    def __init__(self, layout: QLayout) -> None:
        super().__init__()
        self._part = _Part()
        self._part.setLayout(layout)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.setWidget(self._part)
        self._part.changed.connect(self.updateGeometry)

    def sizeHint(self) -> QSize:
        """Return the height of the layout at the present width."""
        wide = self.viewport().width()
        high = self._part.heightForWidth(wide) if self._part.hasHeightForWidth() else -1
        return QSize(80, high if high >= 0 else self._part.sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """Return the layout's least width; the height may be nothing."""
        return QSize(self._part.minimumSizeHint().width(), 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Ask for the height at a new width."""
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()


class LeastArea(QScrollArea):
    """Holds a page that scrolls only if it does not fit at its least height.

    Qt's own areas that resize their page give it the height that it would like, as soon as any text
    in it wraps; parts that can scroll by themselves would then never do so.
    """

    def __init__(self, layout: QLayout) -> None:
        super().__init__()
        self._part = _Part()
        self._part.setLayout(layout)
        self._column = layout
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.setWidget(self._part)
        self._part.changed.connect(self._fit)

    def _fit(self) -> None:
        layout = self._column
        least = layout.minimumSize()
        room = self.contentsRect().size()
        wide = max(room.width(), least.width())
        high = _least_high(layout, wide)
        if high > room.height():
            wide = max(room.width() - self.verticalScrollBar().sizeHint().width(), least.width())
            high = _least_high(layout, wide)
        self._part.resize(wide, max(high, room.height()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the page to the new size."""
        super().resizeEvent(event)
        self._fit()


def _least_high(layout: QLayout, width: int) -> int:
    high = layout.minimumHeightForWidth(width) if layout.hasHeightForWidth() else -1
    return max(high, layout.minimumSize().height())
