"""The options while a member is drawn: the stock it is cut from, and its side of the line."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.edits.members import Hold
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.layout import in_row
from gridjig.qt.widgets.section_box import SectionBox
from gridjig.tools.core.tool import Tool
from gridjig.tools.draw.member_tool import LIES, LIES_WORDS, MemberTool


class MemberChoices(QWidget):
    """Part of the row under the sheet; `side` carries the side of the line."""

    side = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.section = SectionBox()
        self.lies = NoWheelComboBox()
        self.lies.setAccessibleName("Side of the line")
        self.lies.setToolTip("On which side of its line the member lies  (S)")
        for lies in LIES:
            self.lies.addItem(LIES_WORDS[lies], lies)
        in_row(self.section, self.lies, over=self, margins="none")
        self.lies.activated.connect(lambda: self.side.emit(self.lies.currentData()))
        self.hide()

    def follow(self, tool: Tool) -> None:
        """Update the row to what the active tool draws with."""
        if isinstance(tool, MemberTool):
            self.section.ready(tool.context.job.display.unit)
            self.section.show_section(tool.section)
            lies: Hold = tool.lies
            self.lies.setCurrentIndex(LIES.index(lies))
