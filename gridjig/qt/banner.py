"""The strip over the sheet that says why a job is open for reading only, and the way out."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget


class Banner(QFrame):
    """Hidden while there is nothing to say."""

    wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("banner")
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.button = QPushButton("Take over…")
        self.button.setObjectName("plain")
        self.button.clicked.connect(self.wanted)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 3, 8, 3)
        row.addWidget(self.words, 1)
        row.addWidget(self.button)
        self.hide()

    def show_reason(self, why: str) -> None:
        """Say why the job is open for reading; nothing hides the strip."""
        if why:
            self.words.setText(f"▲ {why} Changes can be saved under another name only.")
        self.setVisible(bool(why))
