"""What the pages about the weldment share: signals, lists of lines, labels, picking.

A page follows its document only while it is visible.
"""

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QFrame, QWidget

from gridjig.geometry.display import DisplayList
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.choice_list import ChoiceList
from gridjig.qt.widgets.layout import GAP, Inset, LayoutItem, holder, in_column, in_row, indent
from gridjig.qt.widgets.lifetime import Surroundings
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.plain import Label
from gridjig.rack import Point
from gridjig.session.document import Document
from gridjig.sheets.text.list_line import ListLine


def entry_of(line: ListLine) -> ListEntry:
    """Return a line of text as a list entry."""
    return ListEntry(
        line.key,
        line.head,
        line.under,
        line.right,
        line.level,
        line.ids,
        line.heading,
        line.spoken,
        line.brief,
    )


class PageList(ChoiceList):
    """A list on a page, never too low to be readable."""

    def __init__(self, name: str, appearance: Appearance, single: bool = True) -> None:
        super().__init__(name, appearance, single=single)
        self._keep_room(appearance)

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        super().set_appearance(appearance)
        self._keep_room(appearance)

    def _keep_room(self, appearance: Appearance) -> None:
        self.setMinimumHeight(
            max(self.fontMetrics().lineSpacing() * 7, appearance.metrics.target * 2)
        )

    def show_lines(self, lines: Iterable[ListLine]) -> None:
        """Show these lines; keep the highlighted line if it is still there."""
        self.show_entries(map(entry_of, lines), None)

    def chosen_keys(self) -> tuple[str, ...]:
        """Return the keys of the selected lines, from the top."""
        return tuple(entry.key for entry in self.chosen_entries())


class WeldmentPage(QWidget):
    """One page about the weldment.

    `shown` carries a drawing for the plan and points to bring into view, `revealed` ids to select
    and show, `picking` a tool and what to do when it has picked, `action_wanted` an action.  Every
    page has one `list`, made by `add_list`.
    """

    message = Signal(str)
    shown = Signal(object, object)
    revealed = Signal(object)
    picking = Signal(object, object)
    action_wanted = Signal(str)
    topic = ""
    list: PageList

    def __init__(self, document: Document, appearance: Appearance) -> None:
        super().__init__()
        self.document = document
        self.appearance = appearance
        self._surroundings = Surroundings()
        self.column = in_column(over=self, margins="page", gap=GAP)

    def label(self, name: str = "") -> Label:
        """Add a label that wraps at the bottom, and return it."""
        made = Label(copied=True)
        made.setObjectName(name)
        if name == "freedom":
            made.setFrameShape(QFrame.Shape.StyledPanel)
        indent(made, "text")
        self.column.addWidget(made)
        return made

    def add_row(self, *parts: LayoutItem, margins: Inset = "line") -> None:
        """Add widgets side by side at the bottom."""
        self.column.addWidget(holder(in_row(*parts, margins=margins, gap=GAP)))

    def add_list(self, name: str, single: bool = True) -> None:
        """Add the page's list at the bottom; it takes the remaining room."""
        self.list = PageList(name, self.appearance, single=single)
        self.column.addWidget(self.list, 1)

    def reveal_chosen(self) -> None:
        """Select what the selected lines are about, and bring it into view."""
        ids = self.list.chosen_ids()
        if ids:
            self.revealed.emit(ids)

    def show_on_plan(self, drawing: DisplayList, points: Iterable[Point] = ()) -> None:
        """Show a drawing on the plan, if this page is visible."""
        if self.isVisible():
            self.shown.emit(drawing, tuple(points))

    def showEvent(self, event: QShowEvent) -> None:
        """Refresh from the document."""
        super().showEvent(event)
        self._surroundings.note(self)
        self.refresh()

    def hideEvent(self, event: QHideEvent) -> None:
        """Remove this page's drawing from the plan."""
        super().hideEvent(event)
        if self._surroundings.whole():
            self.shown.emit((), ())

    def refresh(self) -> None:
        """Refresh from the document, if this page is visible."""
        if not self.isVisible():
            return
        if self.document.previewing:
            self.show_on_plan(())  # the drawing would be left behind while something is dragged
        else:
            self.show_job()

    def show_job(self) -> None:
        """Show the committed job; each page implements this."""

    def focus_first(self) -> None:
        """Put the focus at the start of the page: on its list, unless overridden."""
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
        if not self.list.current_key():
            self.list.go_first()

    def set_appearance(self, appearance: Appearance) -> None:
        """Apply a new appearance."""
        self.appearance = appearance
        self.list.set_appearance(appearance)

    def close_document(self) -> None:
        """Stop following the document."""
