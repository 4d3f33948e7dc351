"""Keeps the place of the weldment pane, which is made when it is first needed."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from gridjig.session.desk import Desk

from ..windowstyle import Look

if TYPE_CHECKING:
    from .weldment import WeldmentPane


class WeldmentTab(QWidget):
    """An empty place, then the weldment pane; its signals are those of the pane."""

    said = Signal(str)
    shown = Signal(object, object)
    revealed = Signal(object)
    tooled = Signal(object)
    wanted = Signal(str)

    def __init__(self, desk: Desk, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._look = desk, look
        self._made: WeldmentPane | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)

    @property
    def pane(self) -> "WeldmentPane":
        """The pane, made now if it was not before."""
        if self._made is None:
            from .weldment import WeldmentPane  # noqa: PLC0415 - it loads what counts with arrays

            self._made = made = WeldmentPane(self._desk, self._look)
            made.said.connect(self.said)
            made.shown.connect(self.shown)
            made.revealed.connect(self.revealed)
            made.tooled.connect(self.tooled)
            made.wanted.connect(self.wanted)
            self._column.addWidget(made)
            self.setFocusProxy(made.buttons[0])
        return self._made

    @property
    def topic(self) -> str:
        """The help topic of the page at the front."""
        return self._made.page.topic if self._made is not None else "joints"

    def showEvent(self, event: QShowEvent) -> None:
        """Make the pane when it comes into sight."""
        super().showEvent(event)
        self.pane.show()

    def refresh(self) -> None:
        """Follow the desk."""
        if self._made is not None:
            self._made.refresh()

    def on_tool_left(self) -> None:
        """A tool was put away."""
        if self._made is not None:
            self._made.on_tool_left()

    def set_look(self, look: Look) -> None:
        """Show in another look."""
        self._look = look
        if self._made is not None:
            self._made.set_look(look)

    def close_desk(self) -> None:
        """Stop following the desk; called before the tab goes."""
        if self._made is not None:
            self._made.close_desk()
