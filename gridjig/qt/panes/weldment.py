"""The weldment pane: cut list, joints, stops and datum, where on the table, which way up."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QPushButton,
    QStackedWidget,
    QWidget,
)

from gridjig.session.desk import Desk

from ..flow import FlowLayout
from ..forms.verbs import Verb, scrolled
from ..widgets.layout import GAP, holder, in_column
from ..windowstyle import Look
from .cuts import CutsPage
from .faces import FacesPage
from .joints import JointsPage
from .picking import PickingPane
from .way import WayPage
from .weldment_page import WeldmentPage
from .where import WherePage

NAMES: tuple[tuple[str, str], ...] = (
    ("Cuts", "What to saw from which stock"),
    ("Joints", "Where parts meet and how they are welded"),
    ("Stops", "Datum faces and what the grid leaves before each face"),
    ("Where", "Move it as one, or find where it needs the fewest packings"),
    ("Way up", "What lies flush, face down, opposite hand"),
)


class WeldmentPane(PickingPane):
    """Five pages over one desk; `revealed` carries ids to select and show."""

    revealed = Signal(object)

    def __init__(self, desk: Desk, look: Look, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.cuts = CutsPage(desk, look)
        self.joints = JointsPage(desk, look)
        self.faces = FacesPage(desk, look)
        self.where = WherePage(desk, look, self.faces)
        self.way = WayPage(desk, look)
        self.all: tuple[WeldmentPage, ...] = (
            self.cuts,
            self.joints,
            self.faces,
            self.where,
            self.way,
        )
        self.pages = QStackedWidget()
        self.buttons: list[QPushButton] = []
        flow = FlowLayout(gap=GAP)
        group = QButtonGroup(self)
        for index, ((words, about), page) in enumerate(zip(NAMES, self.all, strict=True)):
            button = Verb(words, "plain", about)
            button.setCheckable(True)
            group.addButton(button, index)
            flow.addWidget(button)
            self.buttons.append(button)
            self.pages.addWidget(scrolled(page))
            page.said.connect(self.said)
            page.shown.connect(self.shown)
            page.revealed.connect(self.revealed)
            page.wanted.connect(self.wanted)
            page.picking.connect(self.have_picked)
        self.buttons[0].setChecked(True)
        group.idToggled.connect(lambda index, on: self.pages.setCurrentIndex(index) if on else None)
        in_column(holder(flow), (self.pages, 1), over=self, margins="none", gap=0)

    @property
    def page(self) -> WeldmentPage:
        """The page at the front."""
        return self.all[self.pages.currentIndex()]

    def turn_to(self, index: int) -> None:
        """Bring a page to the front."""
        self.buttons[index].setChecked(True)

    def refresh(self) -> None:
        """Follow the desk."""
        self.page.refresh()

    def set_look(self, look: Look) -> None:
        """Show in another look."""
        for page in self.all:
            page.set_look(look)

    def close_desk(self) -> None:
        """Stop asking; called before the pane goes."""
        for page in self.all:
            page.close_desk()
