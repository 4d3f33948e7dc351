"""Marking holes in the table's form: by state, with clicks, boxes and patterns; lists the marks."""

from PySide6.QtCore import QSize, Signal
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtWidgets import QButtonGroup, QPushButton, QWidget

from gridjig.edits.table import clear_holes, size_range
from gridjig.geometry.display import Circle, DisplayList
from gridjig.model import SIZED, Hole, HoleMark, HoleState, MarkedState, Table
from gridjig.model.labels import address, column_label
from gridjig.model.marks import parse_pattern
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.paint.view import fitted
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.widgets.buttons import make_button
from gridjig.qt.widgets.cell_form import CellForm
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.fields import LengthField, TextField
from gridjig.qt.widgets.layout import in_grid
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.session.document import Document
from gridjig.sheets.drawings.hole_marks import draw_hole_mark
from gridjig.sheets.text.hole_states import HOLE_STATES
from gridjig.tools.core.tool import apply_outcome
from gridjig.tools.core.wording import capital
from gridjig.tools.pick.hole_tool import HoleTool
from gridjig.units import format_length

_ICON = 22


def state_icon(state: MarkedState, appearance: Appearance, dots: float) -> QIcon:
    """Return an icon with a state's sign, as on the plan."""
    side = round(_ICON * dots)
    picture = QPixmap(side, side)
    picture.fill(appearance.theme.colour("paper"))  # so that it shows on a pressed button too
    table = Table(
        name="one hole", width=10, depth=10, thickness=1, pitch_x=10, pitch_y=10, columns=1,
        rows=1, first_x=5, first_y=5, hole_diameter=5,
    )  # fmt: skip
    if state == "free":
        drawing: DisplayList = (Circle((5.0, 5.0), 2.5, "hole"),)
    else:
        drawing = draw_hole_mark(table, HoleMark(Hole(0, 0), state, 6.5))
    with QPainter(picture) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        plotter = Plotter(
            appearance.theme, appearance.metrics.px_per_mm * dots, dots, painter.font()
        )
        view = fitted((1.5, 1.5), (8.5, 8.5), side, side, dots)
        plotter.draw(painter, [plotter.plot(drawing)], view)
    picture.setDevicePixelRatio(dots)
    return QIcon(picture)


class TableHoles(CellForm):
    """The marks of the draft's table; `tool_made` carries the tool for the picture."""

    tool_made = Signal(object)
    pointed = Signal(object)

    def __init__(
        self, draft: Document, appearance: Appearance, parent: QWidget | None = None
    ) -> None:
        super().__init__(draft, parent)
        self._appearance = appearance
        self._state: MarkedState = "blocked"
        self._table: Table | None = None
        self.heading("Mark holes as")
        self.buttons: dict[str, QPushButton] = {}
        self.across(self._states())
        self.measure = LengthField("Depth", draft.job.display)
        self.measure.applied.connect(lambda _: self.make_tool())
        self.pattern = TextField("Holes")
        self.pattern.edit.entered.connect(self.mark_pattern)
        self.mark = make_button("Mark these holes", self.mark_pattern)
        self.across(self.measure, self.pattern, self.mark)
        self.words(
            "small",
            "Or click holes in the picture, drag a box, or use the arrow keys and Enter there; "
            "plus, minus and 0 zoom.",
        )
        self.head = self.heading("No holes are marked")
        self.list = EntryListView("Marked holes", appearance)
        self.list.setMinimumHeight(self.fontMetrics().lineSpacing() * 7)
        self.list.chosen.connect(self._on_chosen)
        self.list.removing.connect(self.clear_chosen)
        self.clear = make_button("Clear the selected", self.clear_chosen)
        self.clear_all = make_button("Clear all", self.clear_every)
        self.across(self.list)
        self.pair(self.clear, self.clear_all)
        self._chosen: frozenset[str] = frozenset()
        self._update_size()

    def _states(self) -> QWidget:
        group = QButtonGroup(self)
        for state, words, about in HOLE_STATES:
            button = make_button(words, _nothing, about=capital(about))
            button.setCheckable(True)
            button.setIcon(state_icon(state, self._appearance, self.devicePixelRatioF()))
            button.setIconSize(QSize(_ICON, _ICON))
            button.setChecked(state == self._state)
            button.toggled.connect(lambda on, state=state: self._on_state(state) if on else None)
            group.addButton(button)
            self.buttons[state] = button
        return in_grid(*self.buttons.values(), gap=self._appearance.metrics.whole(1))

    # -- the state -------------------------------------------------------------------------------

    def _on_state(self, state: MarkedState) -> None:
        self._state = state
        self._update_size()
        self.make_tool()

    def _update_size(self) -> None:
        """Ask for a size if the state needs one, with a likely value filled in."""
        table, display = self.document.job.table, self.document.job.display
        span = None if self._state == "free" else size_range(table, self._state, display)
        self.measure.set_display(display)
        self.measure.restore()
        if span is not None:
            deep = self._state == "shallow"
            self.measure.label.setText(f"{'Depth' if deep else 'Width'} of the hole")
            self.measure.set_range(*span)
            wider = 0.79375 if display.unit != "millimetres" else 1.0
            self.measure.set_value(table.thickness / 2 if deep else table.hole_diameter + wider)
        self.measure.edit.setAccessibleName(self.measure.label.text())
        self.show_cell(self.measure, span is not None)
        self.reflow()

    def make_tool(self) -> None:
        """Emit a tool for the chosen state and size."""
        value = self.measure.value()
        size = value if isinstance(value, float) and self._state in SIZED else 0.0
        self._size = size
        self.tool_made.emit(HoleTool(self.document, self._state, size))

    _size = 0.0

    # -- marking ---------------------------------------------------------------------------------

    def mark_pattern(self) -> None:
        """Mark every hole in the typed pattern."""
        text = self.pattern.edit.text().strip()
        try:
            holes = parse_pattern(self.document.job.table, text)
        except ValueError as fault:
            self.pattern.complain(str(fault))
            self.pattern.setFocus()
            return
        self.pattern.complain("")
        tool = HoleTool(self.document, self._state, self._size)
        outcome = tool.type(text)
        apply_outcome(self.document, outcome)
        many = "1 hole is" if len(holes) == 1 else f"{len(holes)} holes are"
        self.message.emit(f"{many} marked {self._state}.")
        self.pointed.emit(holes)

    def _on_chosen(self, ids: frozenset[str]) -> None:
        self._chosen = ids
        self.clear.setEnabled(bool(ids))
        self.pointed.emit(frozenset(map(_hole, ids)))

    def clear_chosen(self) -> None:
        """Remove the marks from the holes selected in the list."""
        self._clear(frozenset(map(_hole, self._chosen)))

    def clear_every(self) -> None:
        """Remove all marks."""
        self._clear(frozenset(m.hole for m in self.document.job.table.marks))

    def _clear(self, holes: frozenset[Hole]) -> None:
        if not holes:
            return
        many = "1 hole" if len(holes) == 1 else f"{len(holes)} holes"
        self.document.do(clear_holes(self.document.job, holes), f"Clear {many}")
        self._on_chosen(frozenset())
        self.message.emit(f"{many} cleared.")

    # -- showing ---------------------------------------------------------------------------------

    def show_draft(self) -> None:
        """Show what is marked."""
        table = self.document.shown.table
        if table is self._table:
            return
        self._table = table
        self.pattern.set_accepts(_examples(table))
        count = len(table.marks)
        self.head.setText(
            "No holes are marked" if not count else f"{count} marked hole{'s' * (count > 1)}"
        )
        self.list.show_entries(self._entries(table), None)
        self.list.setVisible(bool(count))
        held = {_key(m.hole) for m in table.marks}
        self._chosen &= held
        self.clear.setEnabled(bool(self._chosen))
        self.clear_all.setEnabled(bool(count))

    def _entries(self, table: Table) -> list[ListEntry]:
        entries: list[ListEntry] = []
        for state, words, _ in HOLE_STATES:
            marks = [m for m in table.marks if m.state == state]
            if marks:
                entries.append(ListEntry(state, words, right=str(len(marks)), heading=True))
            for mark in sorted(marks, key=lambda m: m.hole):
                key = _key(mark.hole)
                right = self._size_words(mark.state, mark.size)
                spoken = f"{address(table, mark.hole)}, {state} {right}".strip()
                where = address(table, mark.hole)
                entries.append(ListEntry(key, where, right=right, ids=(key,), spoken=spoken))
        return entries

    def _size_words(self, state: HoleState, size: float) -> str:
        if not size:
            return ""
        words = format_length(size, self.document.job.display)
        return f"{words} deep" if state == "shallow" else f"{words} wide"


def _nothing() -> None:
    """Do nothing: choosing a state only checks its button."""


def _examples(table: Table) -> str:
    """Return example patterns that use this table's addresses."""
    box = [
        address(table, Hole(min(at, table.columns - 1), min(at, table.rows - 1))) for at in (0, 3)
    ]
    column = column_label(table, min(2, table.columns - 1))
    return f"{box[0]}:{box[1]} · column {column} · every 5th column from {column}"


def _key(hole: Hole) -> str:
    return f"{hole.col},{hole.row}"


def _hole(key: str) -> Hole:
    col, _, row = key.partition(",")
    return Hole(int(col), int(row))
