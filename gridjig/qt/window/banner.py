"""The strip above the plan that says why a job is open read-only, and offers ways out."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QWidget

from gridjig.qt.widgets.layout import in_row
from gridjig.qt.widgets.plain import Button, Label


class Banner(QFrame):
    """The strip; hidden while there is nothing to say."""

    wanted = Signal()
    saving = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("banner")
        self.words = Label()
        self.save_button = Button(
            "Save as…", "plain", "Save the job as it is here under another name"
        )
        self.button = Button(
            "Take over…",
            "plain",
            "Make this file yours; whoever has it open can then save only elsewhere",
        )
        self.save_button.clicked.connect(self.saving)
        self.button.clicked.connect(self.wanted)
        in_row((self.words, 1), self.save_button, self.button, over=self, margins="banner")
        self.hide()

    def show_reason(self, why: str) -> None:
        """Say why the job is open read-only; an empty text hides the strip."""
        if why:
            self.words.setText(
                f"▲ {why} You can change the job here, but not save it in this file: save it under"
                " another name, or take the file over."
            )
        self.setVisible(bool(why))
