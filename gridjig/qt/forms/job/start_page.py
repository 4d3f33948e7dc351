"""The start page: learn, begin or go on, over an empty table.  Hidden once there is a part."""

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QFrame,
    QScrollArea,
    QSizePolicy,
    QStyle,
    QStyleOptionButton,
    QStylePainter,
    QVBoxLayout,
    QWidget,
)

from gridjig.model import Table
from gridjig.qt.widgets.layout import (
    REST,
    Inset,
    grid,
    holder,
    in_column,
    in_row,
    inset,
    margins_width,
)
from gridjig.qt.widgets.plain import Button, Label, menu_words, tip
from gridjig.qt.widgets.styled import apply_style

_NAME = 32
"""A name of up to so many letters is shown whole; a longer one is cut, and its tip gives it all."""

_CELLS = {
    1: ((0, 0, 1), (1, 0, 1), (2, 0, 1)),
    2: ((0, 0, 2), (0, 1, 1), (1, 1, 1)),
    3: ((0, 0, 1), (0, 1, 1), (0, 2, 1)),
}
"""The row, column and height in rows of each of the three parts, by the number of columns."""


_RULED: dict[bool, tuple[str, Inset]] = {False: ("cardFirst", "first"), True: ("cardPart", "part")}
"""The name in the style sheet and the margins of a part, without and with a rule at its left."""


class StartChoice(Struct, frozen=True):
    """One way to begin: its name, a line about it, the file it opens, and whether that exists."""

    name: str
    about: str
    path: Path
    there: bool = True


class TableChoice(Struct, frozen=True):
    """A table that a job can be started on by one click; `own` is one that the user has kept."""

    table: Table
    own: bool = False


class StartPage(QScrollArea):
    """A card in the middle of the plan: the first job and samples, a new job, recent jobs."""

    learn = Signal()
    safety = Signal()
    table = Signal(object)
    new = Signal()
    open = Signal()
    sample = Signal(object)
    recent = Signal(object)
    forget = Signal(object)
    closed = Signal()

    def __init__(self, over: QWidget) -> None:
        super().__init__(over)
        self.setAccessibleName("Start page")
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._over = over
        self._parts: list[QFrame] = []
        self._columns = grid(gap=0, columns=0)
        self.card = QFrame()
        self.card.setObjectName("card")
        title = Label("Plan a jig on a hole-grid table", "bigTitle")
        said = Label(
            "Take pieces out of the rack drawer on the left and put them in holes. GridJig shows"
            " which angles each can really take, what clashes, and what to pull from the rack."
        )
        parts = (title, said, 10, (self._columns, 1), self._foot())
        in_column(*parts, over=self.card, margins="card")
        self.setWidget(self.card)
        self.first: Button | None = None

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Press the way that has the focus on Enter, as Space does; close the page on Esc."""
        focused = self.focusWidget()
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and isinstance(focused, QAbstractButton) and self.isAncestorOf(focused):
            focused.click()
        elif event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
        else:
            super().keyPressEvent(event)

    def _foot(self) -> QWidget:
        caution = Label(
            "A planning aid: strength is not checked. Follow the drawing and the shop's rules.",
            "small",
        )
        safety = Button("Cautions", "plain", "Safety: read before the first tack")
        safety.clicked.connect(self.safety)
        empty = Button("Go to the empty table", "plain")
        empty.clicked.connect(self.closed)
        ways = in_row(safety, REST, empty)
        return holder(in_column(caution, ways, margins="none"))

    def show_ways(
        self,
        samples: Sequence[StartChoice],
        tables: Sequence[TableChoice],
        recent: Sequence[StartChoice],
    ) -> None:
        """List these samples, tables and recent jobs."""
        for old in self._parts:
            self._columns.removeWidget(old)
            old.hide()
            old.deleteLater()
        self.first = None
        self._parts = [self._samples(samples), self._fresh(tables), self._before(recent)]
        self._put_in_columns(1)
        self.place()

    def _column(self, heading: str) -> tuple[QFrame, QVBoxLayout]:
        frame = QFrame()
        frame.setObjectName("cardFirst")
        return frame, in_column(Label(heading, "heading"), over=frame, margins="first")

    def _button(self, text: str, about: str) -> Button:
        button = _WayButton(text)
        button.setToolTip(tip(f"{text}\n{about}" if about else text))
        button.setAccessibleDescription(about)
        button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.first = self.first or button
        return button

    def _about(self, words: str) -> Label:
        return Label(words, "small")

    def _samples(self, ways: Sequence[StartChoice]) -> QFrame:
        frame, column = self._column("1  Learn it")
        learn = self._button("First job in ten steps", "From a tube to a saved set-up")
        learn.clicked.connect(self.learn)
        column.addWidget(learn)
        column.addWidget(self._about("From a tube to a saved set-up. Or look at a sample:"))
        for way in ways:
            button = self._button(way.name, way.about)
            button.clicked.connect(lambda _=False, path=way.path: self.sample.emit(path))
            column.addWidget(button)
            if way.about:
                column.addWidget(self._about(way.about))
        column.addStretch(1)
        return frame

    def _fresh(self, tables: Sequence[TableChoice]) -> QFrame:
        frame, column = self._column("2  Start a job")
        for one in tables:
            about = "Your own table" if one.own else "A standard table, with a rack that fits it"
            button = self._button(_short(one.table.name), f"{one.table.name}. {about}")
            button.clicked.connect(lambda _=False, table=one.table: self.table.emit(table))
            column.addWidget(button)
        column.addWidget(self._about("Another table, or another rack:"))
        new = self._button("New…", "Choose a table and a rack")
        new.clicked.connect(self.new)
        column.addWidget(new)
        column.addStretch(1)
        return frame

    def _before(self, ways: Sequence[StartChoice]) -> QFrame:
        frame, column = self._column("3  Continue a job")
        button = self._button("Open…", "Open a job from a file")
        button.clicked.connect(self.open)
        column.addWidget(button)
        for way in ways[:4]:
            row = in_row()
            one = self._button(way.name, way.about)
            one.setObjectName("plain")
            one.setEnabled(way.there)
            one.clicked.connect(lambda _=False, path=way.path: self.recent.emit(path))
            row.addWidget(one, 1)
            if not way.there:
                one.setToolTip(tip(f"{way.path}\nThe file is no longer there."))
                gone = Button("Remove from the list", "plain")
                gone.setAccessibleName(f"Remove {way.name} from the list")
                gone.clicked.connect(lambda _=False, path=way.path: self.forget.emit(path))
                row.addWidget(gone)
            column.addLayout(row)
        if not ways:
            column.addWidget(self._about("Jobs that you save are listed here."))
        column.addStretch(1)
        return frame

    def place(self) -> None:
        """Centre the page over its parent, and make it no larger than that."""
        room = self._over.size()
        letters = self.fontMetrics().averageCharWidth()
        wide = max(min(room.width() - 24, max(760, letters * 90)), 220)
        layout = self.card.layout()
        assert layout is not None
        margins = layout.contentsMargins()
        within = wide - 4 - margins.left() - margins.right()
        samples, tables, _ = self._parts  # the names of recent jobs may be cut
        first, later = self._least_width(samples, "first"), self._least_width(tables, "part")
        fitting = within // max(first, later)
        self._put_in_columns(max(1, min(3, fitting)))
        layout.activate()
        wanted = layout.totalHeightForWidth(wide - 4) + 4
        high = max(min(room.height() - 24, wanted), 120)
        self.setGeometry((room.width() - wide) // 2, (room.height() - high) // 2, wide, high)

    def _least_width(self, part: QFrame, margins: Inset) -> int:
        """The width, px, from which the names of a part are not cut, with these margins."""
        ways = part.findChildren(_WayButton)
        return max(way.least_width() for way in ways) + margins_width(margins) + 2

    def _put_in_columns(self, count: int) -> None:
        for part, (row, column, high) in zip(self._parts, _CELLS[count], strict=True):
            self._columns.addWidget(part, row, column, high, 1)
            _rule_off(part, column > 0)
        last = max(row for row, _, _ in _CELLS[count])
        for k in range(len(_CELLS)):
            self._columns.setColumnStretch(k, int(k < count))
            self._columns.setRowStretch(k, int(k == last))


def _rule_off(part: QFrame, off: bool) -> None:
    """Set a part off from the column at its left by a rule, or not if there is no such column."""
    name, margins = _RULED[off]
    layout = part.layout()
    if part.objectName() != name and layout is not None:
        part.setObjectName(name)
        inset(layout, margins)
        apply_style(part)


class _WayButton(Button):
    """A way to begin; a name that does not fit is cut with an ellipsis."""

    def least_width(self) -> int:
        """Return the width, px, that the name needs, or the first letters of a long one."""
        letters = self.fontMetrics()
        wide = letters.horizontalAdvance(self.text())
        beside = self.sizeHint().width() - wide
        return beside + min(wide, _NAME * letters.averageCharWidth())

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Paint the button with its name as it fits."""
        option = QStyleOptionButton()
        self.initStyleOption(option)
        inner = QStyle.SubElement.SE_PushButtonContents
        room = self.style().subElementRect(inner, option, self).width()
        cut = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room)
        option.text = menu_words(cut)
        QStylePainter(self).drawControl(QStyle.ControlElement.CE_PushButton, option)


def _short(name: str) -> str:
    """The name of a standard table without the distance of its holes, which the tip gives."""
    parts = name.split(", ")
    return f"{parts[0]}, {parts[2]}" if len(parts) == 3 else name
