"""Keeps the place of the angle pane, which is made when it is first needed.

What it counts with takes a tenth of a second to load, and a window can be shown without it.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from gridjig.session.desk import Desk

from ..windowstyle import Look

if TYPE_CHECKING:
    from .angle import AnglePane


class AngleTab(QWidget):
    """An empty place, then the angle pane; its signals are those of the pane."""

    said = Signal(str)
    shown = Signal(object, object)
    tooled = Signal(object)
    wanted = Signal(str)

    def __init__(self, desk: Desk, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._look = desk, look
        self._made: AnglePane | None = None
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)

    @property
    def pane(self) -> "AnglePane":
        """The pane, made now if it was not before."""
        if self._made is None:
            from .angle import AnglePane  # noqa: PLC0415 - it loads what counts with arrays

            self._made = made = AnglePane(self._desk, self._look)
            made.said.connect(self.said)
            made.shown.connect(self.shown)
            made.tooled.connect(self.tooled)
            made.wanted.connect(self.wanted)
            self._column.addWidget(made)
            self.setFocusProxy(made.ask.angle)
        return self._made

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
