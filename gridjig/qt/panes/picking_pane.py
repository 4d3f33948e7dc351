"""A pane that lets the person pick edges or holes on the plan by activating a tool."""

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.session.document import Document
from gridjig.tools.pick.angle_pick import EdgePick, HolesPick

PickTool = EdgePick | HolesPick
OnPicked = Callable[[], None]


class PickingPane(QWidget):
    """The base class of the angle and weldment panes: their signals to the window, and picking.

    `shown` carries a drawing for the plan and points to bring into view, `tool_wanted` a tool to
    activate, `action_wanted` an action to run.
    """

    message = Signal(str)
    shown = Signal(object, object)
    tool_wanted = Signal(object)
    action_wanted = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.document = document
        self._pick: tuple[PickTool, OnPicked] | None = None

    def have_picked(self, tool: PickTool, take: OnPicked) -> None:
        """Activate the tool, and call `take` once it has picked everything it needs."""
        self._pick = (tool, take)
        self.tool_wanted.emit(tool)

    def on_tool_left(self) -> None:
        """Take over what the tool picked, if it was picking for this pane and is complete."""
        if self._pick is None:
            return
        tool, take = self._pick
        self._pick = None
        if tool.complete:
            take()
