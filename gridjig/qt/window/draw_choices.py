"""What the strips of the drawing tools share: a typed length, and where places are typed from."""

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QSizePolicy, QWidget

from gridjig.model import Job
from gridjig.qt.widgets.combo_box import NoWheelComboBox
from gridjig.qt.widgets.line_edit import FieldEdit
from gridjig.qt.widgets.plain import explain
from gridjig.units import format_coordinate, format_length

_WIDE, _LEAST = 12, 8
"""Width of a typed length and, where there is little room, its least width, in characters."""


class LengthEdit(FieldEdit):
    """A small length; `said` carries what the tool's field would take, such as `z 20`."""

    said = Signal(str)

    def __init__(self, word: str, name: str, about: str) -> None:
        super().__init__()
        self._word = word
        self._shown = ""
        self.setAccessibleName(name)
        explain(self, about)
        self.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.entered.connect(self._say)
        self.left.connect(self._say)
        self.escaped.connect(self._restore)

    def sizeHint(self) -> QSize:
        """Return the room for a usual length in letters of the current size."""
        high = super().sizeHint().height()
        return QSize(max(high, self.fontMetrics().averageCharWidth() * _WIDE), high)

    def minimumSizeHint(self) -> QSize:
        """Return the room for a short one; a finger needs as much width as height."""
        high = super().minimumSizeHint().height()
        return QSize(max(high, self.fontMetrics().averageCharWidth() * _LEAST), high)

    def show_length(self, mm: float, job: Job) -> None:
        """Show a length, unless another one is being typed."""
        self._shown = f"{self._word} {format_coordinate(mm, job.display)}"
        if not self.isModified():
            self._restore()

    def _restore(self) -> None:
        self.setText(self._shown)
        self.setModified(False)

    def _say(self) -> None:
        if not self.isModified():
            return
        text = self.text().strip()
        self.setModified(False)
        bare = text[len(self._word) :] if text.lower().startswith(self._word) else text
        self.said.emit(f"{self._word} {bare.strip()}")


class OriginBox(NoWheelComboBox):
    """Where typed places are counted from; `said` carries what the tool's field would take."""

    said = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Places are typed from")
        explain(
            self,
            "Where typed x, y are counted from; type origin C4 or origin 300, 200 for any place",
        )
        self.addItem("x, y from table", "origin table")
        self.addItem("x, y from weldment", "origin corner")
        self.activated.connect(lambda: self.said.emit(self.currentData()))

    def show_origin(self, job: Job) -> None:
        """Show where they are counted from now."""
        if self.count() > 2:
            self.removeItem(2)
        if job.origin is None:
            self.setCurrentIndex(0)
            return
        x, y = (format_length(v, job.display) for v in job.origin)
        typed = ", ".join(format_coordinate(v, job.display) for v in job.origin)
        self.addItem(f"from {x}, {y}", f"origin {typed}")
        self.setCurrentIndex(2)
