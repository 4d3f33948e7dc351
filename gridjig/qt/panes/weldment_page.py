"""What the pages about the weldment share: their signals, lists of lines, labels, picking.

A page follows its desk only while it is in sight.
"""

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QWidget

from gridjig.geometry.display import Drawing
from gridjig.rack import Point
from gridjig.session.desk import Desk
from gridjig.sheets.listline import ListLine

from ..lifetime import Surroundings
from ..widgets.layout import GAP, Inset, Part, holder, in_column, in_row, indent
from ..widgets.plain import Label
from ..windowstyle import Look
from .choices import ChoiceList
from .lines import Entry


def entry_of(line: ListLine) -> Entry:
    """A line of words as an entry of a list."""
    return Entry(
        line.key,
        line.head,
        line.under,
        line.right,
        line.level,
        line.ids,
        line.heading,
        line.spoken,
    )


class PageList(ChoiceList):
    """A list of a page, never so low that nothing can be read."""

    def __init__(self, name: str, look: Look, single: bool = True) -> None:
        super().__init__(name, look, single=single)
        self._keep_room(look)

    def set_look(self, look: Look) -> None:
        """Paint in another look."""
        super().set_look(look)
        self._keep_room(look)

    def _keep_room(self, look: Look) -> None:
        self.setMinimumHeight(max(self.fontMetrics().lineSpacing() * 7, look.metrics.target * 2))

    def show_lines(self, lines: Iterable[ListLine]) -> None:
        """Show these; the line that the keyboard was at stays so if it is still there."""
        self.show_entries(map(entry_of, lines), None)

    def chosen_keys(self) -> tuple[str, ...]:
        """Keys of the lines that are selected, from the top."""
        rows = sorted(i.row() for i in self.selectionModel().selectedIndexes())
        return tuple(self.lines.entries[row].key for row in rows)


class WeldmentPage(QWidget):
    """One page about the weldment.

    `shown` carries a drawing for the sheet and points to bring into view, `revealed` ids to select
    and show, `picking` a tool and what to do when it has picked, `wanted` an action.  Every page
    has one `list`, made by `add_list`.
    """

    said = Signal(str)
    shown = Signal(object, object)
    revealed = Signal(object)
    picking = Signal(object, object)
    wanted = Signal(str)
    topic = ""
    list: PageList

    def __init__(self, desk: Desk, look: Look) -> None:
        super().__init__()
        self.desk = desk
        self.look = look
        self._surroundings = Surroundings()
        self.column = in_column(over=self, margins="page", gap=GAP)

    def label(self, name: str = "") -> Label:
        """A text that wraps, added below what there is."""
        made = Label(copied=True)
        made.setObjectName(name)
        if name == "freedom":
            made.setFrameShape(QFrame.Shape.StyledPanel)
        indent(made, "text")
        self.column.addWidget(made)
        return made

    def add_row(self, *parts: Part, margins: Inset = "line") -> None:
        """Parts side by side, added below what there is."""
        self.column.addWidget(holder(in_row(*parts, margins=margins, gap=GAP)))

    def add_list(self, name: str, single: bool = True) -> None:
        """The page's list, added below what there is; it takes the room that is left."""
        self.list = PageList(name, self.look, single=single)
        self.column.addWidget(self.list, 1)

    def show_on_sheet(self, drawing: Drawing, points: Iterable[Point] = ()) -> None:
        """Show a drawing on the sheet, if this page is in sight."""
        if self.isVisible():
            self.shown.emit(drawing, tuple(points))

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with the desk."""
        super().showEvent(event)
        self._surroundings.note(self)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Take what is shown off the sheet."""
        super().hideEvent(event)
        if self._surroundings.whole():
            self.shown.emit((), ())

    def refresh(self) -> None:
        """Follow the desk, if this page is in sight."""
        if not self.isVisible():
            return
        if self.desk.previewing:
            self.show_on_sheet(())  # what is drawn would stay behind while something is dragged
        else:
            self.show_job()

    def show_job(self) -> None:
        """Show the job as committed; every page has its own way."""

    def focus_first(self) -> None:
        """Put the focus where the page begins: on its list, unless it says otherwise."""
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
        if not self.list.current_key():
            self.list.go_first()

    def set_look(self, look: Look) -> None:
        """Show in another look."""
        self.look = look
        self.list.set_look(look)

    def close_desk(self) -> None:
        """Stop following the desk."""
