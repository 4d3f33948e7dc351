"""The window on the screen: it shows the bare table at once, and takes the rest once loaded.

Loading everything in the window takes several times as long as showing a table; meanwhile the user
sees the table.  All it knows of its contents is that they are asked before it closes.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QCloseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from .startup_view import StartupView

_AT_LATEST_MS = 1000
"""A window opened out of sight is not painted; after this delay the rest is loaded anyway."""


class StartupFrame(QWidget):
    """One window.  `shown` is emitted once, when the first picture is on the screen."""

    shown = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setWindowTitle("GridJig")
        self.resize(1280, 800)
        self._bare: StartupView | None = None
        self._inside: QWidget | None = None
        self._waiting = QTimer(self)
        self._waiting.setSingleShot(True)
        self._waiting.timeout.connect(self.shown)

    def appear(self) -> None:
        """Show the window, maximised on a small screen."""
        room = self.screen().availableGeometry()
        if room.width() <= 1300 or room.height() <= 820:
            self.showMaximized()
        else:
            self.show()

    def show_startup_view(self, bare: "StartupView") -> None:
        """Show a bare table until the rest is loaded."""
        self._bare = bare
        self._waiting.start(_AT_LATEST_MS)
        self.update()

    def take(self, inside: QWidget) -> None:
        """Fill the window; when it is closed, its contents are closed first."""
        from gridjig.qt.widgets.layout import in_column  # noqa: PLC0415 - the first picture needs none

        self._waiting.stop()
        self._inside = inside
        self._bare = None
        in_column(inside, over=self, margins="none")
        inside.show()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the bare table."""
        bare = self._bare
        if bare is None:
            return
        with QPainter(self) as painter:
            bare.paint(painter, self.rect(), self.devicePixelRatioF())
        if self._waiting.isActive():  # as soon as this picture is on the screen
            self._waiting.start(0)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close the contents first, unless they refuse."""
        self._waiting.stop()
        if self._inside is not None and not self._inside.close():
            event.ignore()
            return
        event.accept()
