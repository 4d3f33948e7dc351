"""The weldment pane: cut list, joints, datum and stops, place, way up, the weldments."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QWidget,
)

from gridjig.model.by_weldment import several
from gridjig.model.titles import weldment_title
from gridjig.qt.panes.picking_pane import PickingPane
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks.timers import call_later
from gridjig.qt.widgets.buttons import VerbButton, scrolled
from gridjig.qt.widgets.choices import Choices
from gridjig.qt.widgets.flow_layout import FlowLayout
from gridjig.qt.widgets.layout import holder, in_column, in_row
from gridjig.session.document import Document

from .cuts_page import CutsPage
from .faces_page import FacesPage
from .joints_page import JointsPage
from .layout_page import LayoutPage
from .way_up_page import WayUpPage
from .weld_order_page import WeldOrderPage
from .weldment_page import WeldmentPage
from .weldments_page import WeldmentsPage

NAMES: tuple[tuple[str, str], ...] = (
    ("Cut list", "What to saw from which stock"),
    ("Joints", "Where parts meet and how they are welded"),
    ("Stops", "Datum faces, and the gap in front of each face"),
    ("Layout", "Move it as one, or find where it needs the least packing"),
    ("Way up", "What lies flush each way up; face down, opposite hand"),
    ("Weldments", "What this job builds, how many of each, which hand, and their parts"),
    ("Weld order", "In which order the joints are tacked and welded"),
)

NOWHERE = (
    "Its other hand fits on no side of it. Choose a line to see what is in the way, or move the"
    " weldment first."
)
"""What is said where no line is free."""


class WeldmentPane(PickingPane):
    """Seven pages about one document; `revealed` carries ids to select and show.

    Where the job has several weldments, all pages are about the current one.
    """

    revealed = Signal(object)

    def __init__(
        self, document: Document, appearance: Appearance, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, parent)
        self.cuts = CutsPage(document, appearance)
        self.joints = JointsPage(document, appearance)
        self.faces = FacesPage(document, appearance)
        self.layout_page = LayoutPage(document, appearance, self.faces)
        self.way_up = WayUpPage(document, appearance)
        self.weld_order = WeldOrderPage(document, appearance)
        self.weldments = WeldmentsPage(document, appearance)
        self.all: tuple[WeldmentPage, ...] = (
            self.cuts,
            self.joints,
            self.faces,
            self.layout_page,
            self.way_up,
            self.weldments,
            self.weld_order,
        )
        self.current = Choices("Weldment")
        self.current.chosen.connect(self._on_current)
        self.pages = QStackedWidget()
        self.buttons: list[QPushButton] = []
        flow = FlowLayout(gap=0)
        group = QButtonGroup(self)
        for index, ((words, about), page) in enumerate(zip(NAMES, self.all, strict=True)):
            button = VerbButton(words, "page", about)
            button.setCheckable(True)
            group.addButton(button, index)
            flow.addWidget(button)
            self.buttons.append(button)
            self.pages.addWidget(scrolled(page))
            page.message.connect(self.message)
            page.shown.connect(self.shown)
            page.revealed.connect(self.revealed)
            page.action_wanted.connect(self.action_wanted)
            page.picking.connect(self.have_picked)
        self.buttons[0].setChecked(True)
        group.idToggled.connect(lambda index, on: self.pages.setCurrentIndex(index) if on else None)
        self.chooser = holder(in_row(self.current, margins="head"))
        in_column(holder(flow), self.chooser, (self.pages, 1), over=self, margins="none", gap=0)
        self._show_current()

    @property
    def page(self) -> WeldmentPage:
        """Return the page at the front."""
        return self.all[self.pages.currentIndex()]

    def turn_to(self, index: int) -> None:
        """Bring a page to the front."""
        self.buttons[index].setChecked(True)

    def offer_beside(self) -> None:
        """Offer to put the other hand beside the weldment, with its button in view and in hand;
        where it fits nowhere, say so.
        """
        self.way_up.turn_to_beside()
        page, area = self.way_up, self.pages.currentWidget()
        assert isinstance(area, QScrollArea)
        if page.do.isEnabled():
            page.do.setFocus(Qt.FocusReason.ShortcutFocusReason)
            area.ensureWidgetVisible(page.do)
            # What was only now put above it is given its height later.
            call_later(page.do, lambda: area.ensureWidgetVisible(page.do))
        elif page.document.job.parts:
            page.message.emit(NOWHERE)

    def refresh(self) -> None:
        """Refresh from the document."""
        self._show_current()
        self.page.refresh()

    def _show_current(self) -> None:
        """Offer the weldments, if there are several."""
        job = self.document.job
        self.chooser.setVisible(several(job))
        self.current.set_choices((weldment_title(job, one.id), one.id) for one in job.weldments)
        self.current.set_value(self.document.weldment)

    def _on_current(self, weldment: object) -> None:
        """Make a weldment the current one; what is selected of another is no longer selected."""
        with self.document.together():
            self.document.select(())
            self.document.work_on(str(weldment))

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        for page in self.all:
            page.set_appearance(appearance)

    def close_document(self) -> None:
        """Stop all searches; called before the pane is destroyed."""
        for page in self.all:
            page.close_document()
