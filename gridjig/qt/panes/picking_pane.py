"""A pane that has edges or holes picked on the sheet: a tool goes out, what it took comes back."""

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.session.document import Document
from gridjig.tools.pick.angle_pick import EdgePick, HolesPick

PickTool = EdgePick | HolesPick
OnPicked = Callable[[], None]


class PickingPane(QWidget):
    """What panes of angles and of the weldment tell the window, and how they have a thing picked.

    `shown` carries a drawing for the sheet and points to bring into view, `tooled` a tool to take
    in hand, `wanted` an action.
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
        """Have the tool taken in hand; `take` is called once it has picked all that it is to."""
        self._pick = (tool, take)
        self.tool_wanted.emit(tool)

    def on_tool_left(self) -> None:
        """A tool was put away: if it was picking for this pane and has all, take that over."""
        if self._pick is None:
            return
        tool, take = self._pick
        self._pick = None
        if tool.complete:
            take()
