"""The title strip: job, drawing, unit, scale, pointer, what comes next, and the check lamp.

Laid out like a drawing's title block.  It only shows what it is told.
"""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from gridjig.model import Job

from .entry import EntryRow
from .fields import restyle
from .labels import RoomyLabel

UNIT_WORDS = {
    "inch fractions": "inches",
    "inch decimals": "inches",
    "millimetres": "millimetres",
}
_SIGNS = {"clash": "✕", "check": "▲", "fine": "●", "": "○"}


class Cell(QFrame):
    """A small name over a text."""

    def __init__(self, name: str, least: int, stretch: bool = False) -> None:
        super().__init__()
        self.setObjectName("stripCell")
        self.head = QLabel(name)
        self.head.setObjectName("stripName")
        self.body = RoomyLabel(least, stretch)
        self.body.setAccessibleName(name)
        self.body.setTextInteractionFlags(Qt.TextInteractionFlag.NoTextInteraction)
        column = QVBoxLayout(self)
        column.setContentsMargins(7, 1, 7, 2)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.body)

    def show_words(self, words: str) -> None:
        """Show a text."""
        self.body.show_words(words)

    def words(self) -> str:
        """The whole text shown."""
        return self.body.words()


class TitleStrip(QFrame):
    """The block along the bottom of the window: a row for the tool, a row of cells, the lamp."""

    lamp_pressed = Signal()

    def __init__(self, entry: EntryRow, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self.job = Cell("JOB", 70)
        self.drawing = Cell("DRAWING / REVISION", 60)
        self.unit = Cell("DIMENSIONS IN", 60)
        self.scale = Cell("SCALE", 50)
        self.pointer = Cell("POINTER", 150)
        self.file = Cell("FILE", 60, stretch=True)
        self.lamp = QPushButton()
        self.lamp.setObjectName("lamp")
        self.lamp.setToolTip("What the check found. Press to see it in the list.")
        self.lamp.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.lamp.clicked.connect(self.lamp_pressed)
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        for cell in (self.job, self.drawing, self.unit, self.scale, self.pointer):
            row.addWidget(cell)
        row.addWidget(self.file, 1)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        grid.addWidget(entry, 0, 0)
        grid.addLayout(row, 1, 0)
        grid.addWidget(self.lamp, 0, 1, 2, 1)
        grid.setColumnStretch(0, 1)
        self.lamp.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self.show_verdict("", "not looked at yet")

    def show_job(self, job: Job) -> None:
        """Show what the job says of itself."""
        self.job.show_words(job.name)
        self.drawing.show_words(" / ".join(t for t in (job.drawing, job.revision) if t) or "—")
        unit = UNIT_WORDS[job.display.unit]
        if job.display.unit == "inch fractions":
            unit = f"inches, 1/{job.display.denominator}"
        self.unit.show_words(unit)

    def show_verdict(self, level: str, words: str) -> None:
        """Light the check lamp: a sign, a word and a colour; no level before the first check."""
        self.lamp.setText(f"{_SIGNS[level]}  CHECK\n{words}")
        self.lamp.setAccessibleName(f"Check: {words}")
        restyle(self.lamp, "level", level)

    def make_compact(self, compact: bool) -> None:
        """Leave out what a narrow window has no room for; the form shows it too."""
        for cell in (self.drawing, self.unit, self.file):
            cell.setVisible(not compact)
