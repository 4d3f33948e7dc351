"""Offers the unsaved copies found after a crash, each with its name and time."""

from collections.abc import Sequence

from PySide6.QtWidgets import (
    QFrame,
    QWidget,
)

from gridjig.files.jobs.autosave import AutosavedCopy
from gridjig.qt.widgets.buttons import make_button, scrolled
from gridjig.qt.widgets.layout import REST, holder, in_column, in_row
from gridjig.qt.widgets.plain import Button, Label

from .dialog import FormDialog


def copy_words(copy: AutosavedCopy) -> str:
    """Say when a copy was made and of which file."""
    when = copy.saved_at.strftime("%A %d %B, %H:%M:%S")
    of = f"from {copy.original}" if copy.original else "from a job that was never saved"
    return f"Autosaved {when}, {of}."


class RecoverForm(FormDialog):
    """A list of copies: each can be opened or thrown away, or all can be kept for later."""

    topic = "files"

    def __init__(self, copies: Sequence[AutosavedCopy], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Unsaved work")
        self.chosen: AutosavedCopy | None = None
        self._thrown: list[AutosavedCopy] = []
        head = Label("GridJig closed with unsaved work", "heading")
        said = Label(
            "Open a copy to look at it. Your file is not touched until you save. Copies that you"
            " leave are offered again at the next start."
        )
        self.opening: list[Button] = []
        self.throwing: list[Button] = []
        rows = holder(in_column(*map(self._row, copies), REST, margins="none"))
        foot = in_row(REST, make_button("Decide later", self.reject, plain=False))
        in_column(head, said, (scrolled(rows), 1), foot, over=self)
        self.size_for(76, 18, (600, 340))
        if self.opening:
            self.opening[0].setFocus()

    @property
    def thrown_away(self) -> tuple[AutosavedCopy, ...]:
        """Return the copies to throw away."""
        return tuple(self._thrown)

    def _row(self, copy: AutosavedCopy) -> QFrame:
        frame = QFrame()
        frame.setObjectName("cell")
        words = Label(f"{copy.name}\n{copy_words(copy)}")
        open_it = Button("Open copy")
        open_it.setAccessibleName(f"Open copy of {copy.name}")
        open_it.clicked.connect(lambda: self._open(copy))
        throw = Button("Discard", "losing")
        throw.setAutoDefault(False)
        throw.setAccessibleName(f"Discard the copy of {copy.name}")
        throw.clicked.connect(lambda: self._throw(copy, frame))
        self.opening.append(open_it)
        self.throwing.append(throw)
        in_row((words, 1), throw, 12, open_it, over=frame)
        return frame

    def _open(self, copy: AutosavedCopy) -> None:
        self.chosen = copy
        self.accept()

    def _throw(self, copy: AutosavedCopy, frame: QFrame) -> None:
        self._thrown.append(copy)
        frame.setEnabled(False)
        frame.hide()
        if len(self._thrown) == len(self.opening):
            self.accept()  # nothing is left to decide
