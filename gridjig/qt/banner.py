"""The strip over the sheet that says why a job is open for reading only, and the ways out."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QWidget


class Banner(QFrame):
    """Hidden while there is nothing to say."""

    wanted = Signal()
    saving = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("banner")
        self.words = QLabel()
        self.words.setWordWrap(True)
        self.save_button = QPushButton("Save as…")
        self.save_button.setToolTip("Save the job as it is here under another name")
        self.button = QPushButton("Take over…")
        self.button.setToolTip("Make this file yours; who has it open can then save only elsewhere")
        for button, way in ((self.save_button, self.saving), (self.button, self.wanted)):
            button.setObjectName("plain")
            button.setAccessibleDescription(button.toolTip())
            button.clicked.connect(way)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 3, 8, 3)
        row.addWidget(self.words, 1)
        row.addWidget(self.save_button)
        row.addWidget(self.button)
        self.hide()

    def show_reason(self, why: str) -> None:
        """Say why the job is open for reading; nothing hides the strip."""
        if why:
            self.words.setText(
                f"▲ {why} You can change the job here, but not save it in this file: save it under"
                " another name, or take the file over."
            )
        self.setVisible(bool(why))
