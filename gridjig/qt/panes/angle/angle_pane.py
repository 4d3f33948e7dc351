"""The angle pane: holes for an angle, the angle of two holes, and an arm's reach.

What is highlighted is shown on the plan, and edges and holes are picked there.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QWidget,
)

from gridjig.angle.question import middle_of
from gridjig.model import Part
from gridjig.qt.panes.picking_pane import OnPicked, PickingPane, PickTool
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks.timers import call_later
from gridjig.qt.widgets.buttons import scrolled
from gridjig.qt.widgets.cells import ButtonRow
from gridjig.qt.widgets.foot import LeastArea
from gridjig.qt.widgets.layout import REST, holder, in_column, indent
from gridjig.qt.widgets.lifetime import Surroundings
from gridjig.qt.widgets.plain import Button, Label
from gridjig.rack import Point
from gridjig.rack.same import Same
from gridjig.session.document import Document
from gridjig.solve.angles.answers import AngleResult
from gridjig.solve.angles.faults import AngleFault
from gridjig.words.angle_fault_text import angle_fault_text

from .angle_answers import FEW_ROWS, ROWS, AngleAnswers
from .angle_ask import AngleQuestionForm
from .arm_reach import ArmReachList
from .finder import AngleFinder
from .two_holes import TwoHolesForm

_PAGES = (
    ("Find holes", "Which holes give an angle"),
    ("Two holes", "Which angle two holes make"),
    ("Arm angles", "Every angle that the selected arm can be set to"),
)


class AnglePane(PickingPane):
    """Three pages about one document."""

    def __init__(
        self, document: Document, appearance: Appearance, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, parent)
        self._asked: object = None
        self._surroundings = Surroundings()
        self.ask = AngleQuestionForm(document)
        self.answers = AngleAnswers(document, appearance)
        self.two_holes = TwoHolesForm(document)
        self.reach = ArmReachList(document, appearance)
        self.finder = AngleFinder(self)
        self.fault = Label(role="complaint")
        self.fault.hide()
        self.chart = Button(
            "Angle chart…", "plain", about="Best pair for every half degree, as PDF or CSV"
        )
        self.pages = QStackedWidget()
        self.buttons: list[QPushButton] = []
        self._lay_out()
        self._connect()
        self.set_appearance(appearance)

    def _lay_out(self) -> None:
        group = QButtonGroup(self)
        for index, (words, about) in enumerate(_PAGES):
            button = Button(words, about=about)
            button.setCheckable(True)
            group.addButton(button, index)
            self.buttons.append(button)
        self.buttons[0].setChecked(True)
        row = ButtonRow(*self.buttons, role="page")
        indent(row, "head")
        group.idToggled.connect(lambda index, on: self._turn(index) if on else None)
        find = in_column(
            self.ask, self.ask.opened, self.fault, (self.answers, 1), margins="none", gap=2
        )
        back = in_column(self.two_holes, self.chart, REST, margins="none", gap=2)
        self.pages.addWidget(LeastArea(find))
        for page in (holder(back), self.reach):
            self.pages.addWidget(scrolled(page))
        in_column(row, (self.pages, 1), over=self, margins="none", gap=0)

    def _connect(self) -> None:
        self.ask.changed.connect(self.look)
        self.ask.entered.connect(self._on_entered)
        self.ask.fold.toggled.connect(lambda on: self.answers.show_rows(FEW_ROWS if on else ROWS))
        self.answers.backed.connect(self.focus_first)
        self.reach.backed.connect(self.focus_first)
        self.finder.answered.connect(self._on_answered)
        self.answers.plate_wanted.connect(lambda: self.action_wanted.emit("angle.plate"))
        self.chart.clicked.connect(lambda: self.action_wanted.emit("angle.chart"))
        for part in (self.ask, self.two_holes):
            part.picking.connect(self._on_picking)
            part.message.connect(self.message)
        for page in (self.answers, self.two_holes, self.reach):
            page.shown.connect(lambda drawing, points, page=page: self._show(page, drawing, points))
        self.answers.message.connect(self.message)
        self.reach.message.connect(self.message)

    # -- pages -------------------------------------------------------------------------------------

    def _turn(self, index: int) -> None:
        self.pages.setCurrentIndex(index)
        self.refresh()
        if index == 1:
            self.two_holes.show_lines()

    def turn_to(self, index: int) -> None:
        """Bring a page to the front."""
        self.buttons[index].setChecked(True)

    def _page(self) -> QWidget:
        return (self.answers, self.two_holes, self.reach)[self.pages.currentIndex()]

    def focus_first(self) -> None:
        """Put the focus where the question is typed."""
        first = (self.ask.angle, self.two_holes.first, self.reach.near)[self.pages.currentIndex()]
        area = self.pages.currentWidget()
        assert isinstance(area, QScrollArea)
        area.ensureWidgetVisible(first)
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)
        first.edit.selectAll()

    def _show(self, page: QWidget, drawing: object, points: object) -> None:
        if page is self._page() and self.isVisible():
            self.shown.emit(drawing, points)

    def showEvent(self, event: QShowEvent) -> None:
        """Refresh from the document, and show what is highlighted on the plan."""
        super().showEvent(event)
        self._surroundings.note(self)
        self._asked = None
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Remove this pane's drawing from the plan."""
        super().hideEvent(event)
        if self._surroundings.whole():
            self.shown.emit((), ())

    # -- asking ------------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Refresh from the document, if this pane is visible."""
        if not self.isVisible() or self.document.previewing:
            return
        self.ask.show_job()
        self.two_holes.show_job()
        if self.pages.currentIndex() == 2:
            self.reach.refresh()
        else:
            self.look()

    def look(self) -> None:
        """Ask the finder, unless nothing has changed since the last question."""
        job = self.document.job
        try:
            question = self.ask.question()
            if question is None:
                self.answers.hold(None)
                self.answers.clear()
                self._asked = None
                return
            wanted = question.wanted(job.display.unit)
            limits = question.limits_on(job, self._near())
        except AngleFault as fault:
            self._asked = None
            self._show_fault(fault)
            return
        # The placed pieces and the weldment are obstacles to the answers.
        things = (*job.parts, *job.placements)
        asked = (job.table, job.rack, wanted, limits, tuple(map(Same, things)))
        if self._asked == asked:
            return
        self._asked = asked
        self.ask.show_wanted(wanted)
        self.answers.hold(self.ask.limits.held(), question.limits)
        self.finder.ask(job, self.document.placed_pieces, wanted, limits)

    def _near(self) -> Point:
        """Return where answers should stand: near the selected part, else mid-table."""
        job = self.document.job
        for thing_id in self.document.selection:
            thing = job.find(thing_id)
            if isinstance(thing, Part):
                return middle_of(thing)
        return (job.table.width / 2, job.table.depth / 2)

    def _on_answered(self, found: object) -> None:
        if isinstance(found, AngleFault):
            self._asked = None
            self._show_fault(found)
        elif isinstance(found, AngleResult):
            self._show_fault(None)
            self.answers.show_answers(found)

    def _show_fault(self, fault: AngleFault | None) -> None:
        placed = self.ask.show_fault(fault)
        job, words = self.document.job, ""
        if fault is not None and not placed:
            words = f"✕ {angle_fault_text(fault, job.table, job.display)}"
        self.fault.setText(words)
        self.fault.setVisible(bool(words))

    def _on_entered(self) -> None:
        if self._listed():
            area = self.pages.currentWidget()
            assert isinstance(area, QScrollArea)
            area.ensureWidgetVisible(self.answers.set)
            area.ensureWidgetVisible(self.answers.list)
            self.answers.list.setFocus(Qt.FocusReason.OtherFocusReason)
            if not self.answers.list.current_key():
                self.answers.list.go_first()

    def _listed(self) -> bool:
        """True if the answers to what is asked are listed."""
        asked = self._page() is self.answers and self._asked is not None
        return asked and self.answers.answers is not None and not self.ask.angle.has_complaint()

    # -- picking -----------------------------------------------------------------------------------

    def _on_picking(self, tool: PickTool, take: OnPicked) -> None:
        def then() -> None:
            take()
            if self._listed() and not self.finder.busy:
                self._on_entered()  # so that Enter sets the best answer to what was picked
                call_later(self.answers, self.answers.tell_next)  # after the tool's hint
            else:
                self.focus_first()

        self.have_picked(tool, then)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.answers.set_appearance(appearance)
        self.reach.set_appearance(appearance)

    def close_document(self) -> None:
        """Stop asking; called before the pane is destroyed."""
        self.finder.stop()
