"""Everything that shows one desk: drawer, sheet, form and lists, kept in step with it.

Another job gets another workspace; nothing here is ever moved from one desk to another.
"""

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSplitter, QWidget

from gridjig.checks.findings import Finding
from gridjig.model import Placement
from gridjig.session.desk import Desk
from gridjig.tools.tool import Tool

from .actions.port import Page
from .canvas import Canvas
from .checker import Checker
from .help import HelpPane
from .pages import Pages
from .panes.angle_tab import AngleTab
from .panes.bill import BillPane
from .panes.findings import FindingsPane
from .panes.outline import OutlinePane
from .panes.properties import PropertiesPane
from .panes.rack import RackPane
from .panes.weldment_tab import WeldmentTab
from .points import points_of
from .widgets.layout import in_column
from .widgets.sheet_frame import SheetFrame
from .windowstyle import Look

_DRAWER, _SIDE = 232, 318
_DRAGGING_MS = 40
"""While something is dragged the form follows this often; the lists wait for the end."""


class Workspace(QWidget):
    """The middle of the window for one desk."""

    changed = Signal()
    said = Signal(str)
    picked = Signal(str)
    wanted = Signal(str)
    checked = Signal(object)
    tooled = Signal(object)

    def __init__(self, desk: Desk, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.findings: tuple[Finding, ...] = ()
        self.canvas = Canvas(desk, look.theme, look.metrics)
        self.rack = RackPane(look)
        self.properties = PropertiesPane(desk)
        self.placed = OutlinePane(look)
        self.bill = BillPane(look)
        self.checks = FindingsPane(look)
        self.angle = AngleTab(desk, look)
        self.weldment = WeldmentTab(desk, look)
        self.help = HelpPane()
        self.checker = Checker(desk, self)
        self._lay_out(look)
        self._connect()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.refresh)
        self._unsubscribe = desk.subscribe(self._on_desk)
        self.refresh()

    def _lay_out(self, look: Look) -> None:
        pages = Pages("Lists")
        self.tabs = pages.tabs
        self.pages: dict[Page, QWidget] = {}
        for page, pane, name, about in self._lists():
            self.pages[page] = pane
            pages.add(pane, name, about)
        self.tabs.tabBar().setObjectName("lists")
        self.side = QSplitter(Qt.Orientation.Vertical)
        self.side.setObjectName("side")
        self.side.addWidget(self.properties)
        self.side.addWidget(pages)
        self.side.setStretchFactor(0, 5)
        self.side.setStretchFactor(1, 4)
        self.side.setChildrenCollapsible(False)
        self.middle = SheetFrame()
        in_column(self.canvas, over=self.middle, margins="none")
        self.inner = QSplitter(Qt.Orientation.Horizontal)
        self.inner.addWidget(self.rack)
        self.inner.addWidget(self.middle)
        self.outer = QSplitter(Qt.Orientation.Horizontal)
        self.outer.addWidget(self.inner)
        self.outer.addWidget(self.side)
        for splitter in (self.inner, self.outer):
            splitter.setChildrenCollapsible(False)
            splitter.setHandleWidth(1)
        self.side.setHandleWidth(1)
        self.inner.setStretchFactor(0, 0)
        self.inner.setStretchFactor(1, 1)
        self.outer.setStretchFactor(0, 1)
        self.outer.setStretchFactor(1, 0)
        in_column(self.outer, over=self, margins="none")
        self.set_look(look)

    def _lists(self) -> tuple[tuple[Page, QWidget, str, str], ...]:
        weldment = "Cut list, joints, stops, where it lies, which way up"
        return (
            ("placed", self.placed, "Placed", "Everything on the table, with place and state"),
            ("pull", self.bill, "Pull", "What to pull from the rack"),
            ("check", self.checks, "Check", "What the check found"),
            ("angle", self.angle, "Angle", "Which holes give an angle"),
            ("weldment", self.weldment, "Weldment", weldment),
            ("help", self.help, "Help", "Help for the thing in hand"),
        )

    def _connect(self) -> None:
        self.rack.picked.connect(self.picked)
        self.rack.said.connect(self.said)
        self.rack.left.connect(lambda: self.wanted.emit("go.sheet"))
        self.properties.said.connect(self.said)
        self.properties.wanted.connect(self.wanted)
        self.placed.chosen.connect(self.desk.select)
        self.placed.shown.connect(self.show_ids)
        self.placed.removing.connect(lambda: self.wanted.emit("edit.delete"))
        self.bill.chosen.connect(self.desk.select)
        self.bill.shown.connect(self.show_ids)
        self.bill.wanted.connect(self.wanted)
        self.checks.wanted.connect(self.show_finding)
        for tab in (self.angle, self.weldment):
            tab.said.connect(self.said)
            tab.wanted.connect(self.wanted)
            tab.tooled.connect(self.tooled)
            tab.shown.connect(self._show_aside)
            self.canvas.tool_left.connect(tab.on_tool_left)
        self.weldment.revealed.connect(self.show_ids)
        self.tabs.currentChanged.connect(lambda _: self._share_side())
        self.checker.found.connect(self._on_found)

    def close_desk(self) -> None:
        """Stop following the desk; called before the workspace goes."""
        self._timer.stop()
        self._unsubscribe()
        self.angle.close_desk()
        self.weldment.close_desk()
        self.checker.stop()

    # -- following the desk ----------------------------------------------------------------------

    def _on_desk(self) -> None:
        # Panes wait until the events at hand are done, so that a drag is never held up by them.
        if not self._timer.isActive():
            self._timer.start(_DRAGGING_MS if self.desk.previewing else 0)
        elif not self.desk.previewing and self._timer.interval():
            self._timer.start(0)

    def refresh(self) -> None:
        """Bring every pane up to the desk."""
        desk = self.desk
        self.properties.refresh()
        self.weldment.refresh()
        if not desk.previewing:
            self.rack.show_job(desk.job)
            self.placed.show_job(desk.job, desk.stands, self.findings, desk.selection)
            self.bill.show_job(desk.job)
            self.angle.refresh()
            self.checker.look()
        self.changed.emit()

    def _on_found(self, findings: tuple[Finding, ...]) -> None:
        self.findings = findings
        job = self.desk.job
        self.canvas.set_findings(_ids_of(findings, "clash"), _ids_of(findings, "check"))
        self.checks.show_findings(findings, len(job.placements) + len(job.outlines))
        if not self.desk.previewing:
            self.placed.show_job(job, self.desk.stands, findings, self.desk.selection)
        self.checked.emit(findings)

    # -- leading to places -----------------------------------------------------------------------

    def show_ids(self, ids: frozenset[str]) -> None:
        """Select these and bring them into view."""
        self.desk.select(ids)
        self.reveal(ids)

    def reveal(self, ids: frozenset[str]) -> None:
        """Bring things into view if they are out of it; the selection stays."""
        self.canvas.show_points(points_of(self.desk, ids))

    def show_finding(self, finding: Finding) -> None:
        """Select what a finding speaks of and bring its place into view.

        Of a piece and the work it fouls, the piece: it is what moves, and one thing has a form.
        """
        pieces = [i for i in finding.ids if isinstance(self.desk.job.find(i), Placement)]
        self.desk.select(pieces if len(pieces) == 1 else finding.ids)
        points = points_of(self.desk, frozenset(finding.ids))
        if finding.where is not None:
            points = [*points, finding.where]
        self.canvas.show_points(points)
        self.said.emit(f"{finding.what} {finding.do}")

    def turn_to(self, pane: QWidget) -> None:
        """Bring a list to the front."""
        self.side.show()
        self.tabs.setCurrentWidget(pane)

    def turn_part(self, page: Page, part: int) -> None:
        """Bring one part of a list of several to the front, and the focus to it."""
        tab = self.pages[page]
        assert isinstance(tab, AngleTab | WeldmentTab)
        tab.show_part(part)

    def pick_edge(self) -> None:
        """Let the user pick the edge whose angle is wanted."""
        self.angle.pick_edge()

    def check_now(self) -> tuple[Finding, ...]:
        """Check at once and give the findings."""
        return self.checker.check_now()

    def focus_sheet(self, why: Qt.FocusReason = Qt.FocusReason.OtherFocusReason) -> None:
        """Put the focus on the sheet."""
        self.canvas.setFocus(why)

    @property
    def tool(self) -> Tool:
        """The tool in hand."""
        return self.canvas.tool

    def set_tool(self, tool: Tool) -> None:
        """Give the sheet another tool."""
        self.canvas.set_tool(tool)

    def offer_sections(self) -> None:
        """Offer the list of sections as it is now in the form."""
        self.properties.member_form.offer_sections()

    def show_form(self) -> None:
        """Bring the form into sight, for what is selected now."""
        self.side.show()
        if self._takes_side():
            self.tabs.setCurrentWidget(self.placed)
        self.properties.refresh()

    def focus_form(self) -> None:
        """Put the focus on the first field of the form."""
        self.show_form()
        self.properties.focus_first()

    def _share_side(self) -> None:
        """What asks for much takes the room of the form as well; the other lists share it."""
        whole = self._takes_side()
        if whole == self.properties.isHidden():
            return
        self.properties.setVisible(not whole)
        self._size_columns()

    def _takes_side(self) -> bool:
        return self.tabs.currentWidget() in (self.angle, self.weldment)

    def _show_aside(self, drawing: object, points: object) -> None:
        self.canvas.show_aside(drawing)  # type: ignore[arg-type]
        self.canvas.show_points(points)  # type: ignore[arg-type]

    def stations(self) -> list[QWidget]:
        """Where the focus goes from part to part of the window, in order."""
        return [self.rack.list, self.canvas, self.properties, self.tabs]

    # -- look and room ---------------------------------------------------------------------------

    def set_look(self, look: Look) -> None:
        """Show everything in another look."""
        self.canvas.set_theme(look.theme)
        self.canvas.set_metrics(look.metrics)
        for pane in (self.rack, self.placed, self.bill, self.checks, self.angle, self.weldment):
            pane.set_look(look)
        self._size_columns()

    def _size_columns(self) -> None:
        letters = self.fontMetrics().averageCharWidth()
        drawer = max(_DRAWER, letters * 32)
        finding = self._takes_side()
        side = max(_SIDE, letters * (58 if finding else 44))
        self.rack.setMinimumWidth(min(drawer, 180))
        self.side.setMinimumSize(QSize(0, 0))
        self.tabs.setMinimumSize(220, 120)
        self.properties.setMinimumWidth(220)
        wide, high = max(self.width(), 640), max(self.height(), 400)
        drawer = min(drawer, wide // 4)
        if self.outer.orientation() == Qt.Orientation.Horizontal:
            side = min(side, wide * 2 // 5)
            self.outer.setSizes([wide - side, side])
            self.inner.setSizes([drawer, wide - side - drawer])
            self.side.setSizes([high * 55 // 100, high * 45 // 100])
        else:
            self.outer.setSizes([high * 62 // 100, high * 38 // 100])
            self.inner.setSizes([drawer, wide - drawer])
            self.side.setSizes([wide // 2, wide // 2])

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put form and lists under the sheet where the window stands upright."""
        super().resizeEvent(event)
        upright = event.size().height() > event.size().width()
        wanted = Qt.Orientation.Vertical if upright else Qt.Orientation.Horizontal
        if self.outer.orientation() != wanted:
            self.outer.setOrientation(wanted)
            across = Qt.Orientation.Horizontal if upright else Qt.Orientation.Vertical
            self.side.setOrientation(across)
            self._size_columns()
        elif event.oldSize().width() <= 0 or abs(event.oldSize().width() - self.width()) > 200:
            self._size_columns()

    def changeEvent(self, event: QEvent) -> None:
        """Give wider letters wider columns."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "outer"):
            self._size_columns()


def _ids_of(findings: tuple[Finding, ...], level: str) -> frozenset[str]:
    return frozenset(i for f in findings if f.level == level for i in f.ids)
