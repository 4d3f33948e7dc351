"""Keeps the place of a pane that is made when it is first needed.

What such panes count with takes a tenth of a second to load, and a window can be shown without it.
"""

from typing import Protocol

from PySide6.QtCore import Signal, SignalInstance
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from gridjig.qt.style.appearance import Appearance
from gridjig.session.document import Document

from .layout import in_column


class _Late(Protocol):
    """What a pane made late tells, and is asked for."""

    message: SignalInstance
    shown: SignalInstance
    tool_wanted: SignalInstance
    action_wanted: SignalInstance

    def refresh(self) -> None: ...
    def on_tool_left(self) -> None: ...
    def set_appearance(self, appearance: Appearance) -> None: ...
    def close_document(self) -> None: ...


class LateTab(QWidget):
    """An empty place, then the pane; its signals are those of the pane."""

    message = Signal(str)
    shown = Signal(object, object)
    tool_wanted = Signal(object)
    action_wanted = Signal(str)

    def __init__(
        self, document: Document, appearance: Appearance, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document, self.appearance = document, appearance
        self._late: _Late | None = None
        self._column = in_column(over=self, margins="none")

    def make(self) -> None:
        """Make the pane if it was not made before."""
        raise NotImplementedError

    def keep(self, late: _Late, shown: QWidget, focused: QWidget) -> None:
        """Show the pane in the place kept for it; the focus goes to a widget of it."""
        self._late = late
        late.message.connect(self.message)
        late.shown.connect(self.shown)
        late.tool_wanted.connect(self.tool_wanted)
        late.action_wanted.connect(self.action_wanted)
        self._column.addWidget(shown)
        self.setFocusProxy(focused)

    def showEvent(self, event: QShowEvent) -> None:
        """Make the pane when it comes into sight."""
        super().showEvent(event)
        self.make()

    def refresh(self) -> None:
        """Follow the document."""
        if self._late is not None:
            self._late.refresh()

    def on_tool_left(self) -> None:
        """A tool was put away."""
        if self._late is not None:
            self._late.on_tool_left()

    def set_appearance(self, appearance: Appearance) -> None:
        """Show in another look."""
        self.appearance = appearance
        if self._late is not None:
            self._late.set_appearance(appearance)

    def close_document(self) -> None:
        """Stop following the document; called before the tab goes."""
        if self._late is not None:
            self._late.close_document()
