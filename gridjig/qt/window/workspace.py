"""Everything that shows one document: drawer, plan, form and lists; each job gets a new one."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QApplication, QSplitter, QWidget

from gridjig.checks.finding import Finding, marked_ids, sign_places
from gridjig.files.storage.settings import Division
from gridjig.model import Placement
from gridjig.qt.actions.port import Page
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.canvas.covered_points import points_of
from gridjig.qt.dialogs.help import HelpPane
from gridjig.qt.panes.angle.angle_tab import AngleTab
from gridjig.qt.panes.lists.drawer_pane import DrawerPane
from gridjig.qt.panes.lists.findings_pane import FindingsPane
from gridjig.qt.panes.lists.placed_pane import PlacedPane
from gridjig.qt.panes.lists.pull_pane import PullPane
from gridjig.qt.panes.properties.properties_pane import PropertiesPane
from gridjig.qt.panes.weldment.weldment_tab import WeldmentTab
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.tasks.checker import Checker
from gridjig.qt.tasks.timers import call_later, due
from gridjig.qt.widgets.acts import ActPlace
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import in_column
from gridjig.qt.widgets.pages import Pages
from gridjig.qt.widgets.plan_frame import PlanFrame
from gridjig.session.document import Document
from gridjig.tools.core.tool import Tool

from .columns import SIDE_PAGES, DivisionPart, FormShare, Shares, column_sizes, divided
from .proofs import ProofOverlays

if TYPE_CHECKING:
    from gridjig.proof.report import ProofReport

_LINES, _TARGETS = 30, 12
"""How many lines, and how many targets, the side must have room for to show form and list."""
_DRAGGING_MS = 40
"""How often the form updates during a drag; the lists wait for its end."""
_DIVIDED_MS = 300
"""How long after the last step a division is stored."""


class Workspace(ActPlace):
    """The middle of the window for one document."""

    changed = Signal()
    stepped = Signal()
    message = Signal(str)
    picked = Signal(str)
    action_wanted = Signal(str)
    checked = Signal(object)
    fronted = Signal()
    tool_wanted = Signal(object)
    divided = Signal(object)

    def __init__(
        self,
        document: Document,
        appearance: Appearance,
        division: Division | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.division = division or Division()
        self.findings: tuple[Finding, ...] = ()
        self.looked_at: tuple[str, ...] = ()
        self.canvas = Canvas(document, appearance.theme, appearance.metrics)
        self.drawer = DrawerPane(appearance)
        self.properties = PropertiesPane(document)
        self.placed = PlacedPane(appearance)
        self.pull_list = PullPane(appearance)
        self.checks = FindingsPane(appearance)
        self.angle = AngleTab(document, appearance)
        self.weldment = WeldmentTab(document, appearance)
        self.help = HelpPane()
        self.checker = Checker(document, self)
        self.proofs = ProofOverlays(self)
        self._sharing = due(self, self._share_room)
        self._sizing = due(self, self._size_columns)
        self._lay_out(appearance)
        self._connect()
        self._job = self._acted_on = document.job
        self._timer = due(self, self.refresh)
        self._unsubscribe = document.subscribe(self._on_document)
        self.refresh()

    def _lay_out(self, appearance: Appearance) -> None:
        # From the outside in: what is moved into another widget is styled again with all in it.
        self.outer = QSplitter(Qt.Orientation.Horizontal)
        in_column(self.outer, over=self, margins="none")
        self.inner = QSplitter(Qt.Orientation.Horizontal)
        self.side = QSplitter(Qt.Orientation.Vertical)
        self.side.setObjectName("side")
        self.outer.addWidget(self.inner)
        self.outer.addWidget(self.side)
        self.inner.addWidget(self.drawer)
        self.middle = PlanFrame()
        self.inner.addWidget(self.middle)
        in_column(self.canvas, over=self.middle, margins="none")
        self.lists = pages = Pages("Lists")
        self.tabs = pages.tabs
        self.tabs.tabBar().setObjectName("lists")  # before it is styled by that name
        self.side.addWidget(pages)
        self.side.addWidget(self.properties)
        self.pages: dict[Page, QWidget] = {}
        panes = (self.placed, self.pull_list, self.checks, self.angle, self.weldment, self.help)
        for pane, (page, name, about) in zip(panes, SIDE_PAGES, strict=True):
            self.pages[page] = pane
            pages.add(pane, name, about)
        for splitter in (self.inner, self.outer, self.side):
            splitter.setChildrenCollapsible(False)
        self.inner.setStretchFactor(0, 0)
        self.inner.setStretchFactor(1, 1)
        self.outer.setStretchFactor(0, 1)
        self.outer.setStretchFactor(1, 0)
        self.set_appearance(appearance)

    def _connect(self) -> None:
        self.drawer.picked.connect(self.picked)
        self.drawer.message.connect(self.message)
        self.drawer.left.connect(lambda: self.action_wanted.emit("go.plan"))
        self.properties.message.connect(self.message)
        self.properties.action_wanted.connect(self.action_wanted)
        self.placed.chosen.connect(self.document.select)
        self.placed.shown.connect(self.show_ids)
        self.placed.removing.connect(lambda: self.action_wanted.emit("edit.delete"))
        self.pull_list.chosen.connect(self.document.select)
        self.pull_list.shown.connect(self.show_ids)
        self.pull_list.action_wanted.connect(self.action_wanted)
        self.checks.chosen.connect(self._select_found)
        self.checks.wanted.connect(self.show_finding)
        for tab in (self.angle, self.weldment):
            tab.message.connect(self.message)
            tab.action_wanted.connect(self.action_wanted)
            tab.tool_wanted.connect(self.tool_wanted)
            tab.shown.connect(self._show_aside)
            self.canvas.tool_left.connect(tab.on_tool_left)
        self.weldment.revealed.connect(self.show_ids)
        self.tabs.currentChanged.connect(lambda _: self._share_side())
        for splitter in (self.outer, self.inner, self.side):
            splitter.splitterMoved.connect(lambda *_, moved=splitter: self._on_divided(moved))
        self._divided_timer = due(self, lambda: self.divided.emit(self.division), _DIVIDED_MS)
        self.checker.found.connect(self._on_found)
        self.proofs.drawn.connect(self.canvas.show_proof)

    def close_document(self) -> None:
        """Stop following the document; called before the workspace is deleted."""
        self._timer.stop()
        self._unsubscribe()
        self.angle.close_document()
        self.weldment.close_document()
        self.checker.stop()
        self.proofs.stop()

    # -- following the document ------------------------------------------------------------------

    def _on_document(self) -> None:
        job, self._job = self._job, self.document.job
        if job is not self._job:
            self.stepped.emit()
            if QApplication.activeModalWidget() is not None:
                self.focus_plan()  # a form over the window has acted: the plan comes next
        # Panes update after pending events, so that they never hold up a drag.
        if not self._timer.isActive():
            self._timer.start(_DRAGGING_MS if self.document.previewing else 0)
        elif not self.document.previewing and self._timer.interval():
            self._timer.start(0)

    def begin_act(self) -> None:
        """A button was pressed; if it changes the job, the plan has the focus afterwards."""
        self._acted_on = self.document.job
        call_later(self, self._end_act)

    def _end_act(self) -> None:
        if self.document.job is not self._acted_on:
            self.focus_plan()

    def refresh(self) -> None:
        """Update every pane to the document."""
        document = self.document
        self.properties.refresh()
        self.weldment.refresh()
        if not document.previewing:
            self.drawer.show_job(document.job)
            found = self.findings if self.looked_at else None
            self.placed.show_job(document.job, document.placed_pieces, found, document.selection)
            self.pull_list.show_job(document.job, document.placed_pieces)
            self.angle.refresh()
            self.checker.look()
        self.changed.emit()

    def _on_found(self, report: "ProofReport") -> None:
        self.looked_at = report.looked_at
        self.findings = findings = report.findings
        job = self.document.job
        self.canvas.set_findings(*marked_ids(findings), sign_places(findings))
        self.checks.show_report(job, report)
        self.proofs.show_report(job, report)
        document = self.document
        if not document.previewing:
            self.placed.show_job(job, document.placed_pieces, findings, document.selection)
        self.checked.emit(report.looked_at)

    # -- going to places -------------------------------------------------------------------------

    def show_ids(self, ids: frozenset[str]) -> None:
        """Select these things and bring them into view."""
        self.document.select(ids)
        self.reveal(ids)

    def reveal(self, ids: frozenset[str]) -> None:
        """Scroll things into view if they are outside it; the selection stays."""
        self.canvas.show_points(points_of(self.document, ids))

    def show_finding(self, finding: Finding) -> None:
        """Select what a finding is about and bring its place into view."""
        self._select_found((finding,))
        points = points_of(self.document, frozenset(finding.ids))
        if finding.where is not None:
            points = [*points, finding.where]
        self.canvas.show_points(points)
        self.message.emit(f"{finding.what} {finding.do}")

    def _select_found(self, findings: tuple[Finding, ...]) -> None:
        """Select what findings are about.

        Of a piece and the work it fouls, select the piece: it is what can move, and the form shows
        one thing.
        """
        found: list[str] = []
        for finding in findings:
            pieces = [i for i in finding.ids if isinstance(self.document.job.find(i), Placement)]
            found += pieces if len(pieces) == 1 else finding.ids
        self.document.select(found)

    def turn_to(self, pane: QWidget) -> None:
        """Bring a list to the front."""
        self.side.show()
        self.tabs.setCurrentWidget(pane)

    def front_list(self) -> EntryListView | None:
        """Return the list in front, or None if there is none, or nothing in it."""
        lists = self.tabs.currentWidget().findChildren(EntryListView)
        return next((one for one in lists if one.isVisible() and one.given), None)

    def turn_part(self, page: Page, part: int) -> None:
        """Bring one part of a list to the front and focus it."""
        tab = self.pages[page]
        assert isinstance(tab, AngleTab | WeldmentTab)
        tab.show_part(part)

    def show_beside(self) -> None:
        """Offer to put the other hand of the weldment beside it."""
        self.weldment.show_beside()

    def check_now(self) -> tuple[Finding, ...]:
        """Check at once and return the findings."""
        return self.checker.check_now()

    def focus_plan(self, why: Qt.FocusReason = Qt.FocusReason.OtherFocusReason) -> None:
        """Put the focus on the plan."""
        self.canvas.setFocus(why)

    @property
    def tool(self) -> Tool:
        """The active tool."""
        return self.canvas.tool

    def set_tool(self, tool: Tool) -> None:
        """Activate another tool on the plan."""
        self.canvas.set_tool(tool)

    def set_letters(self, on: bool) -> None:
        """Set whether single letters do anything on the sheet."""
        self.canvas.set_letters(on)
        self.help.set_letters(on)

    def offer_sections(self) -> None:
        """Offer the current list of sections in the form."""
        self.properties.member_form.offer_sections()

    def show_form(self) -> None:
        """Bring the form into view, for the current selection."""
        self.side.show()
        if self.form_is_page():
            self.tabs.setCurrentWidget(self.properties)
        self.properties.refresh()

    def focus_form(self) -> None:
        """Put the focus on the first field of the form."""
        self.show_form()
        self.properties.focus_first()

    def _share_side(self) -> None:
        """Divide the side between list and form as the page in front needs it."""
        if not self.form_is_page():
            self.side.setSizes(list(self._shares()[2]))

    def _shares(self) -> tuple[Shares, Shares, Shares]:
        upright, size = self.outer.orientation() != Qt.Orientation.Horizontal, self.size().toTuple()
        return column_sizes(size, self.fontMetrics(), self.division, upright, self._below())

    def _below(self) -> FormShare:
        """Return which share the form has: below a list, or below a pane that needs more room."""
        lists = (self.placed, self.pull_list)
        return "form" if self.tabs.currentWidget() in lists else "form_by_work"

    def form_is_page(self) -> bool:
        """Return True while the form is one of the pages, as there is no room for it above them."""
        return self.tabs.indexOf(self.properties) >= 0

    def _share_room(self) -> None:
        """Make the form one of the pages where form and list would each have too little room.

        With large letters or large targets half of a small screen shows no more than two lines.
        A workspace that has no size yet decides later: moving the form takes long.
        """
        if not self.testAttribute(Qt.WidgetAttribute.WA_Resized):
            return
        lines, targets = self.fontMetrics().lineSpacing(), self.canvas.metrics.target
        least = max(_LINES * lines, _TARGETS * targets)
        tight = self.outer.orientation() == Qt.Orientation.Horizontal and self.height() < least
        if tight == self.form_is_page():
            return
        if tight:
            self.lists.add_first(self.properties, "Form", "The exact values of what is selected")
        else:
            self.lists.remove(self.properties)
            self.side.addWidget(self.properties)
            self.properties.show()
            self._share_side()

    def _show_aside(self, drawing: object, points: object) -> None:
        self.fronted.emit()
        self.canvas.show_aside(drawing)  # type: ignore[arg-type]
        self.canvas.show_points(points)  # type: ignore[arg-type]

    def stations(self) -> list[QWidget]:
        """Return the widgets that the focus goes to from part to part of the window, in order."""
        return [self.drawer.list, self.canvas, self.tabs, self.properties]

    # -- appearance and layout -------------------------------------------------------------------

    def set_appearance(self, appearance: Appearance) -> None:
        """Use another appearance everywhere."""
        self.canvas.set_theme(appearance.theme)
        self.canvas.set_metrics(appearance.metrics)
        lists = (self.drawer, self.placed, self.pull_list, self.checks)
        for pane in (*lists, self.angle, self.weldment):
            pane.set_appearance(appearance)
        self._size_columns()

    def _size_columns(self) -> None:
        self._share_room()
        self.drawer.setMinimumWidth(180)
        self.side.setMinimumSize(QSize(0, 0))
        self.tabs.setMinimumSize(220, 120)
        self.properties.setMinimumWidth(220)
        self.canvas.expect_room()
        splitters = (self.outer, self.inner, self.side)
        for splitter, shares in zip(splitters, self._shares(), strict=True):
            splitter.setSizes(list(shares))

    def _on_divided(self, splitter: QSplitter) -> None:
        """Remember what the person has divided; the layout of an upright window is not kept."""
        if self.outer.orientation() != Qt.Orientation.Horizontal:
            return
        names: dict[QSplitter, DivisionPart] = {self.inner: "drawer", self.outer: "side"}
        part, sizes = names.get(splitter) or self._below(), splitter.sizes()
        self.division = divided(self.division, part, sizes)
        self._divided_timer.start()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put the form and the lists under the plan if the window is taller than wide."""
        super().resizeEvent(event)
        upright = event.size().height() > event.size().width()
        wanted = Qt.Orientation.Vertical if upright else Qt.Orientation.Horizontal
        if self.outer.orientation() != wanted:
            self.outer.setOrientation(wanted)
            across = Qt.Orientation.Horizontal if upright else Qt.Orientation.Vertical
            self.side.setOrientation(across)
            self._size_columns()
        else:
            self._sharing.start()
        if event.oldSize().width() <= 0 or abs(event.oldSize().width() - self.width()) > 200:
            self._size_columns()

    def changeEvent(self, event: QEvent) -> None:
        """Widen the columns for a larger font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "outer"):
            # Later: while Qt goes through the widgets to style them, none may change its parent.
            self._sizing.start()
