"""Offers copies of unsaved work after a crash, each with its name and time."""

from collections.abc import Sequence

from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from gridjig.files.autosave import Copy

from .dialog import FormDialog


def copy_words(copy: Copy) -> str:
    """When a copy was made and of which file, in words."""
    when = copy.saved_at.strftime("%A %d %B, %H:%M:%S")
    of = f"of {copy.original}" if copy.original else "of a job that was never saved"
    return f"Kept {when}, {of}."


class RecoverForm(FormDialog):
    """A list of copies; each can be opened or thrown away, and all can wait."""

    topic = "files"

    def __init__(self, copies: Sequence[Copy], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Unsaved work")
        self.chosen: Copy | None = None
        self._thrown: list[Copy] = []
        head = QLabel("GridJig was ended with unsaved work")
        head.setObjectName("heading")
        head.setIndent(0)
        said = QLabel(
            "Open a copy to look at it. Your file is not touched until you save. Copies that you"
            " leave are offered again at the next start."
        )
        said.setWordWrap(True)
        inner = QWidget()
        self._rows = QVBoxLayout(inner)
        self._rows.setContentsMargins(0, 0, 0, 0)
        self.opening: list[QPushButton] = []
        self.throwing: list[QPushButton] = []
        for copy in copies:
            self._rows.addWidget(self._row(copy))
        self._rows.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setWidget(inner)
        later = QPushButton("Decide later")
        later.setAutoDefault(False)
        later.clicked.connect(self.reject)
        foot = QHBoxLayout()
        foot.addStretch(1)
        foot.addWidget(later)
        column = QVBoxLayout(self)
        column.addWidget(head)
        column.addWidget(said)
        column.addWidget(scroll, 1)
        column.addLayout(foot)
        self.size_for(76, 18, (600, 340))
        if self.opening:
            self.opening[0].setFocus()

    @property
    def thrown_away(self) -> tuple[Copy, ...]:
        """Copies that the person does not want."""
        return tuple(self._thrown)

    def _row(self, copy: Copy) -> QFrame:
        frame = QFrame()
        frame.setObjectName("cell")
        words = QLabel(f"{copy.name}\n{copy_words(copy)}")
        words.setWordWrap(True)
        open_it = QPushButton("Open copy")
        open_it.setAccessibleName(f"Open copy of {copy.name}")
        open_it.clicked.connect(lambda: self._open(copy))
        throw = QPushButton("Throw away")
        throw.setObjectName("losing")
        throw.setAutoDefault(False)
        throw.setAccessibleName(f"Throw away the copy of {copy.name}")
        throw.clicked.connect(lambda: self._throw(copy, frame))
        self.opening.append(open_it)
        self.throwing.append(throw)
        row = QHBoxLayout(frame)
        row.addWidget(words, 1)
        row.addWidget(throw)
        row.addSpacing(12)
        row.addWidget(open_it)
        return frame

    def _open(self, copy: Copy) -> None:
        self.chosen = copy
        self.accept()

    def _throw(self, copy: Copy, frame: QFrame) -> None:
        self._thrown.append(copy)
        frame.setEnabled(False)
        frame.hide()
