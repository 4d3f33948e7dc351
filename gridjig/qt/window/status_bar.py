"""The status bar: job, drawing, unit, scale, pointer, the next step, and the check lamp.

Laid out like a drawing's title block.  It only shows what it is given.
"""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QSizePolicy,
    QWidget,
)

from gridjig.model import Job
from gridjig.model.by_weldment import several
from gridjig.model.titles import weldment_title
from gridjig.qt.widgets.labels import RoomyLabel
from gridjig.qt.widgets.layout import in_column, in_row
from gridjig.qt.widgets.plain import Button, Label, explain
from gridjig.qt.widgets.styled import restyle
from gridjig.units.seen import seen

from .entry_row import EntryRow

UNIT_WORDS = {
    "inch fractions": "inches",
    "inch decimals": "inches",
    "millimetres": "millimetres",
}
_LAMP = 25
"""Characters reserved for the lamp, so that no cell appears or disappears as its text changes."""
_WIDEST = "○  CHECK\nnothing to check yet"
"""The widest that the lamp says; longer verdicts take two lines."""
_MORE = 8
_LAMP_ABOUT = "What the check found. Press to see it in the list."
_SIGNS = {"stop": "✕", "look": "▲", "note": "◇", "fine": "●", "": "○"}


class StatusCell(QFrame):
    """A small caption over a text.  It is never narrower than `least` characters, and asks for
    `wanted` when the bar has to choose what to show.
    """

    told = Signal()

    def __init__(
        self, name: str, least: int, wanted: int, stretch: bool = False, whole: bool = False
    ) -> None:
        super().__init__()
        self.wanted = wanted
        self.setObjectName("stripCell")
        self.head = Label(name, "stripName")
        self.body = RoomyLabel(least, stretch, whole)
        self.body.setAccessibleName(name)
        self.body.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        in_column(self.head, self.body, over=self, margins="strip", gap=0)

    def show_words(self, words: str) -> None:
        """Show a text in the cell."""
        self.body.show_words(words)
        self.told.emit()

    def words(self) -> str:
        """Return the full text."""
        return self.body.words()


class StatusBar(QFrame):
    """The block along the bottom of the window: a row for the tool, a row of cells, the lamp."""

    lamp_pressed = Signal()

    def __init__(self, entry: EntryRow, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self.job = StatusCell("JOB", 9, 22)
        self.drawing = StatusCell("DRAWING / REVISION", 8, 21)
        self.unit = StatusCell("DIMENSIONS IN", 8, 16)
        self.scale = StatusCell("SCALE", 7, 10, whole=True)
        self.pointer = StatusCell("POINTER", 22, 24, whole=True)
        self.file = StatusCell("FILE", 8, 22, stretch=True)
        self._entry = entry
        self._always = (self.pointer, self.scale, self.job)
        self._cells = (self.job, self.drawing, self.unit, self.scale, self.pointer, self.file)
        self.more = Button("More", "plain")
        self.more.setCheckable(True)
        self.more.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)
        self.more.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.more.toggled.connect(lambda _: self._fit())
        self._dropped: list[StatusCell] = []
        self.lamp = Button(role="lamp", about=_LAMP_ABOUT)
        self.lamp.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.lamp.clicked.connect(self.lamp_pressed)
        for cell in self._cells:
            cell.told.connect(self._tell_dropped)
        *cells, last = self._cells
        self._row = in_row(*cells, (last, 1), self.more, margins="none", gap=0)
        self._below = in_row(gap=0)
        left = in_column(entry, self._row, self._below, margins="none", gap=0)
        in_row((left, 1), self.lamp, over=self, margins="none", gap=0)
        self.lamp.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.show_verdict("", "not checked yet")

    def show_job(self, job: Job, weldment: str) -> None:
        """Show the job's own data; of several weldments, the current one."""
        of = f" / {weldment_title(job, weldment)}" if several(job) else ""
        self.job.show_words(f"{seen(job.name)}{of}")
        self.drawing.show_words(" / ".join(t for t in (job.drawing, job.revision) if t) or "—")
        unit = UNIT_WORDS[job.display.unit]
        if job.display.unit == "inch fractions":
            unit = f"inches, 1/{job.display.denominator}"
        self.unit.show_words(unit)

    def show_verdict(self, level: str, words: str, looked_at: Sequence[str] = ()) -> None:
        """Set the check lamp: a sign, a word and a colour; no level before the first check.

        What was looked at is in its tooltip, and told to a screen reader.
        """
        looked = f"Looked at: {', '.join(looked_at)}." if looked_at else _LAMP_ABOUT
        explain(self.lamp, looked)
        self.lamp.setText(f"{_SIGNS[level]}  CHECK\n{_in_lines(words)}")
        self.lamp.setAccessibleName(f"Check: {words}")
        restyle(self.lamp, "level", level)
        self._keep_lamp_width()  # after the style, which sets a minimum of its own

    def _keep_lamp_width(self) -> None:
        """Give the lamp room for any usual verdict, so that the row beside it never shifts."""
        text = self.lamp.text()
        self.lamp.setText(_WIDEST)
        wide = self.lamp.sizeHint().width()
        self.lamp.setText(text)
        self.lamp.setMinimumWidth(wide)

    # -- what fits -------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:
        """Return the width of the cells that always stay, so that the window can get narrower than
        the full row.
        """
        least = super().minimumSizeHint()
        row = sum(map(_least, (*self._always, self.more)))
        wide = max(row, _least(self._entry)) + _least(self.lamp)
        return QSize(min(least.width(), wide), least.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show the cells that fit."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Fit the cells again after a font change."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "more"):
            self._keep_lamp_width()
            self._fit()

    def _fit(self) -> None:
        """Show the cells that fit: pointer, scale and job always, the rest if there is room or on a
        second line.
        """
        letter = max(1, self.fontMetrics().averageCharWidth())
        room = self.width() // letter - _LAMP
        left = room - sum(cell.wanted for cell in self._always)
        spare = (self.file, self.unit, self.drawing)
        if left < sum(cell.wanted for cell in spare):
            left -= _MORE
        dropped: list[StatusCell] = []
        for cell in spare:
            if cell.wanted <= left and not dropped:
                left -= cell.wanted
            else:
                dropped.append(cell)
        self._put(dropped)

    def dropped(self) -> tuple[StatusCell, ...]:
        """Return the cells that do not fit in the row; the "More" button shows them."""
        return tuple(self._dropped)

    def _put(self, dropped: list[StatusCell]) -> None:
        self._dropped = dropped
        for at, cell in enumerate(self._cells):
            wanted = self._below if cell in dropped else self._row
            if wanted.indexOf(cell) < 0:
                (self._row if wanted is self._below else self._below).removeWidget(cell)
                before = sum(wanted.indexOf(c) >= 0 for c in self._cells[:at])
                wanted.insertWidget(before, cell)
            wanted.setStretchFactor(cell, 1 if cell is self.file else 0)
            cell.setVisible(cell not in dropped or self.more.isChecked())
        self.more.setVisible(bool(dropped))
        self._tell_dropped()

    def _tell_dropped(self) -> None:
        told = "\n".join(f"{c.head.text()}: {c.words()}" for c in self._dropped)
        if told != self.more.accessibleDescription():
            explain(self.more, f"{told}\nPress to show or hide it here.")
            self.more.setAccessibleDescription(told)


def _in_lines(verdict: str) -> str:
    """Return a verdict with what is right or wrong and the last of it in a line each."""
    return ",\n".join(verdict.rsplit(", ", 1))


def _least(part: QWidget) -> int:
    """Return the least width that a layout gives a widget; a style sheet's value takes
    precedence.
    """
    return part.minimumWidth() or part.minimumSizeHint().width()
