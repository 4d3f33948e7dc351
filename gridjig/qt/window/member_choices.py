"""The options while a member is drawn: its section, how it lies, on which side, how high."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from gridjig.edits.members import Hold
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.layout import in_row
from gridjig.qt.widgets.plain import explain
from gridjig.qt.widgets.section_box import SectionBox
from gridjig.sheets.text.bar_orientation import listed_way, lying_in_words, ways_up
from gridjig.tools.core.tool import Tool
from gridjig.tools.core.wording import capital
from gridjig.tools.draw.member_tool import LIES, LIES_WORDS, MemberTool

from .draw_choices import LengthEdit, OriginBox

_LEAST = 7
"""Letters of a choice that stay where large letters leave no room."""


class MemberChoices(QWidget):
    """Part of the row under the plan.

    `side` carries the side of the line, `way` the way up, `said` what the tool's field would take.
    """

    side = Signal(str)
    way = Signal(int)
    said = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.section = SectionBox()
        self.way_up = NoWheelComboBox()
        self.way_up.setAccessibleName("Way up")
        explain(self.way_up, "How the section lies  (R turns it; F is the other hand)")
        self.lies = NoWheelComboBox()
        self.lies.setAccessibleName("Side of the line")
        explain(self.lies, "On which side of its line the member lies  (S)")
        for lies in LIES:
            self.lies.addItem(LIES_WORDS[lies], lies)
        self.height_edit = LengthEdit("z", "Height above the table", "Height of its underside")
        self.origin = OriginBox()
        shown = (self.section, self.way_up, self.lies, self.height_edit, self.origin)
        in_row(*shown, over=self, margins="none")
        for box in (self.section, self.way_up, self.lies, self.origin):
            box.give_way(_LEAST)
        self.lies.activated.connect(lambda: self.side.emit(self.lies.currentData()))
        self.way_up.activated.connect(lambda: self.way.emit(self.way_up.currentData()))
        for one in (self.height_edit, self.origin):
            one.said.connect(self.said)
        self.hide()

    def follow(self, tool: Tool) -> None:
        """Update the row to what the active tool draws with."""
        if not isinstance(tool, MemberTool):
            return
        job, section = tool.context.job, tool.section
        self.section.ready(job.display.unit)
        self.section.show_section(section)
        ways = ways_up(section)
        words = [capital(lying_in_words(section, way, tool.mirrored, job.display)) for way in ways]
        if words != [self.way_up.itemText(k) for k in range(self.way_up.count())]:
            self.way_up.clear()
            for way, told in zip(ways, words, strict=True):
                self.way_up.addItem(told, way)
        self.way_up.setCurrentIndex(ways.index(listed_way(section, tool.way_up)))
        self.way_up.setEnabled(len(ways) > 1)
        lies: Hold = tool.lies
        self.lies.setCurrentIndex(LIES.index(lies))
        self.height_edit.show_length(tool.z_low, job)
        self.origin.show_origin(job)
