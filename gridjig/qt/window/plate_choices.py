"""The options while a plate is drawn: its thickness and its height above the table."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.qt.widgets.layout import in_row
from gridjig.tools.core.tool import Tool
from gridjig.tools.draw.plate_tool import PlateTool

from .draw_choices import LengthEdit, OriginBox


class PlateChoices(QWidget):
    """Part of the row under the plan; `said` carries what the tool's field would take."""

    said = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.thickness = LengthEdit("t", "Plate thickness", "Thickness of the next plates")
        self.height_edit = LengthEdit("z", "Height above the table", "Height of its underside")
        self.origin = OriginBox()
        shown = (self.thickness, self.height_edit, self.origin)
        in_row(*shown, over=self, margins="none")
        for one in shown:
            one.said.connect(self.said)
        self.hide()

    def follow(self, tool: Tool) -> None:
        """Update the row to what the active tool draws with."""
        if isinstance(tool, PlateTool):
            job = tool.context.job
            self.thickness.show_length(tool.thickness, job)
            self.height_edit.show_length(tool.z_low, job)
            self.origin.show_origin(job)
