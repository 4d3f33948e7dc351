"""The title strip: job, drawing, unit, scale, pointer, what comes next, and the check lamp.

Laid out like a drawing's title block.  It only shows what it is told.
"""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from gridjig.model import Job

from .fields import restyle

UNIT_WORDS = {
    "inch fractions": "inches",
    "inch decimals": "inches",
    "millimetres": "millimetres",
}
_SIGNS = {"clash": "✕", "check": "▲", "fine": "●"}


class _Elided(QLabel):
    """A label that gives way: it takes the room there is and shows the rest on hover."""

    def __init__(self, least: int, stretch: bool) -> None:
        super().__init__()
        self._least = least
        self._full = ""
        policy = QSizePolicy.Policy.Ignored if stretch else QSizePolicy.Policy.Preferred
        self.setSizePolicy(policy, QSizePolicy.Policy.Preferred)
        self.setMinimumWidth(least)

    def show_words(self, words: str) -> None:
        """Show a text, cut with dots if it is too long for the room."""
        if words != self._full:
            self._full = words
            self.setToolTip(words)
            self.updateGeometry()
            self._cut()

    def words(self) -> str:
        """The whole text."""
        return self._full

    def _cut(self) -> None:
        room = max(self.width(), self._least)
        self.setText(self.fontMetrics().elidedText(self._full, Qt.TextElideMode.ElideRight, room))

    def sizeHint(self) -> QSize:
        """Room for the whole text, within reason."""
        wide = self.fontMetrics().horizontalAdvance(self._full) + 4
        return QSize(min(max(wide, self._least), 260), super().sizeHint().height())

    def resizeEvent(self, event: object) -> None:
        """Cut the text again."""
        self._cut()


class Cell(QFrame):
    """A small name over a text."""

    def __init__(self, name: str, least: int, stretch: bool = False) -> None:
        super().__init__()
        self.setObjectName("stripCell")
        self.head = QLabel(name)
        self.head.setObjectName("stripName")
        self.body = _Elided(least, stretch)
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
    """The strip along the bottom of the window."""

    lamp_pressed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self.job = Cell("JOB", 70)
        self.drawing = Cell("DRAWING / REVISION", 60)
        self.unit = Cell("DIMENSIONS IN", 60)
        self.scale = Cell("SCALE", 50)
        self.pointer = Cell("POINTER", 96)
        self.hint = Cell("NEXT", 120, stretch=True)
        self.lamp = QToolButton()
        self.lamp.setObjectName("lamp")
        self.lamp.setToolTip("What the check found. Press to see it in the list.")
        self.lamp.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.lamp.clicked.connect(self.lamp_pressed)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        for cell in (self.job, self.drawing, self.unit, self.scale, self.pointer):
            row.addWidget(cell)
        row.addWidget(self.hint, 1)
        row.addWidget(self.lamp)
        self.show_verdict("fine", "nothing found")

    def show_job(self, job: Job) -> None:
        """Show what the job says of itself."""
        self.job.show_words(job.name)
        self.drawing.show_words(" / ".join(t for t in (job.drawing, job.revision) if t) or "—")
        unit = UNIT_WORDS[job.display.unit]
        if job.display.unit == "inch fractions":
            unit = f"inches, 1/{job.display.denominator}"
        self.unit.show_words(unit)

    def show_verdict(self, level: str, words: str) -> None:
        """Light the check lamp: a sign, a word and a colour."""
        self.lamp.setText(f"{_SIGNS[level]}  CHECK: {words}")
        self.lamp.setAccessibleName(f"Check: {words}")
        restyle(self.lamp, "level", level)

    def make_compact(self, compact: bool) -> None:
        """Leave out what a narrow window has no room for; the form shows it too."""
        for cell in (self.drawing, self.unit):
            cell.setVisible(not compact)
