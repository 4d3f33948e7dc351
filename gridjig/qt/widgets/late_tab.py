"""Holds the place of a pane that is created when it is first needed.

The libraries of such panes take a tenth of a second to load, and the window can be shown without
them.
"""

from typing import Protocol

from PySide6.QtCore import Signal, SignalInstance
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from gridjig.qt.style.appearance import Appearance
from gridjig.session.document import Document

from .layout import in_column


class _Late(Protocol):
    """The signals and methods of a pane that is created late."""

    message: SignalInstance
    shown: SignalInstance
    tool_wanted: SignalInstance
    action_wanted: SignalInstance

    def refresh(self) -> None: ...
    def on_tool_left(self) -> None: ...
    def set_appearance(self, appearance: Appearance) -> None: ...
    def close_document(self) -> None: ...


class LateTab(QWidget):
    """Empty at first, then holds the pane, whose signals it repeats."""

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
        """Create the pane if it does not exist yet."""
        raise NotImplementedError

    def keep(self, late: _Late, shown: QWidget, focused: QWidget) -> None:
        """Show the pane in this tab; `focused`, a widget in it, receives the focus."""
        self._late = late
        late.message.connect(self.message)
        late.shown.connect(self.shown)
        late.tool_wanted.connect(self.tool_wanted)
        late.action_wanted.connect(self.action_wanted)
        self._column.addWidget(shown)
        self.setFocusProxy(focused)

    def showEvent(self, event: QShowEvent) -> None:
        """Create the pane when the tab is first shown."""
        super().showEvent(event)
        self.make()

    def refresh(self) -> None:
        """Refresh from the document."""
        if self._late is not None:
            self._late.refresh()

    def on_tool_left(self) -> None:
        """Tell the pane that a tool was put away."""
        if self._late is not None:
            self._late.on_tool_left()

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.appearance = appearance
        if self._late is not None:
            self._late.set_appearance(appearance)

    def close_document(self) -> None:
        """Stop following the document; called before the tab is destroyed."""
        if self._late is not None:
            self._late.close_document()
