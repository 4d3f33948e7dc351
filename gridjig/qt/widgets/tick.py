"""A check box as a field of a form."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox

from .plain import explain, menu_words


class Tick(QCheckBox):
    """A check box; `applied` carries whether the person ticked it."""

    applied = Signal(bool)

    def __init__(self, words: str, about: str = "", on: bool = False) -> None:
        super().__init__(menu_words(words))
        self.setChecked(on)
        explain(self, about)
        self.clicked.connect(self.applied)

    def set_value(self, on: object) -> None:
        """Tick or untick it without emitting `applied`."""
        self.setChecked(bool(on))
