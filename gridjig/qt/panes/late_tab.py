"""Keeps the place of a pane that is made when it is first needed.

What such panes count with takes a tenth of a second to load, and a window can be shown without it.
"""

from typing import Protocol

from PySide6.QtCore import Signal, SignalInstance
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from gridjig.session.desk import Desk

from ..widgets.layout import in_column
from ..windowstyle import Look


class _Late(Protocol):
    """What a pane made late tells, and is asked for."""

    said: SignalInstance
    shown: SignalInstance
    tooled: SignalInstance
    wanted: SignalInstance

    def refresh(self) -> None: ...
    def on_tool_left(self) -> None: ...
    def set_look(self, look: Look) -> None: ...
    def close_desk(self) -> None: ...


class LateTab(QWidget):
    """An empty place, then the pane; its signals are those of the pane."""

    said = Signal(str)
    shown = Signal(object, object)
    tooled = Signal(object)
    wanted = Signal(str)

    def __init__(self, desk: Desk, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.look = desk, look
        self._late: _Late | None = None
        self._column = in_column(over=self, margins="none")

    def make(self) -> None:
        """Make the pane if it was not made before."""
        raise NotImplementedError

    def keep(self, late: _Late, shown: QWidget, focused: QWidget) -> None:
        """Show the pane in the place kept for it; the focus goes to a widget of it."""
        self._late = late
        late.said.connect(self.said)
        late.shown.connect(self.shown)
        late.tooled.connect(self.tooled)
        late.wanted.connect(self.wanted)
        self._column.addWidget(shown)
        self.setFocusProxy(focused)

    def showEvent(self, event: QShowEvent) -> None:
        """Make the pane when it comes into sight."""
        super().showEvent(event)
        self.make()

    def refresh(self) -> None:
        """Follow the desk."""
        if self._late is not None:
            self._late.refresh()

    def on_tool_left(self) -> None:
        """A tool was put away."""
        if self._late is not None:
            self._late.on_tool_left()

    def set_look(self, look: Look) -> None:
        """Show in another look."""
        self.look = look
        if self._late is not None:
            self._late.set_look(look)

    def close_desk(self) -> None:
        """Stop following the desk; called before the tab goes."""
        if self._late is not None:
            self._late.close_desk()
