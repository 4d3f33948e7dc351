"""A pane that has edges or holes picked on the sheet: a tool goes out, what it took comes back."""

from collections.abc import Callable

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.session.desk import Desk
from gridjig.tools.angle_pick import EdgePick, HolesPick

Pick = EdgePick | HolesPick
Take = Callable[[], None]


class PickingPane(QWidget):
    """What panes of angles and of the weldment tell the window, and how they have a thing picked.

    `shown` carries a drawing for the sheet and points to bring into view, `tooled` a tool to take
    in hand, `wanted` an action.
    """

    said = Signal(str)
    shown = Signal(object, object)
    tooled = Signal(object)
    wanted = Signal(str)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._pick: tuple[Pick, Take] | None = None

    def have_picked(self, tool: Pick, take: Take) -> None:
        """Have the tool taken in hand; `take` is called once it has picked all that it is to."""
        self._pick = (tool, take)
        self.tooled.emit(tool)

    def on_tool_left(self) -> None:
        """A tool was put away: if it was picking for this pane and has all, take that over."""
        if self._pick is None:
            return
        tool, take = self._pick
        self._pick = None
        if tool.complete:
            take()
