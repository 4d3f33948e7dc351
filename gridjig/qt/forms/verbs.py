"""Small parts that forms share: a button with a verb, a page that scrolls."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QPushButton, QScrollArea, QWidget


def verb(
    words: str, deed: Callable[[], object], plain: bool = True, about: str = ""
) -> QPushButton:
    """A button that does a deed; a plain one is drawn lighter than the ways out of a form."""
    button = QPushButton(words)
    button.setAutoDefault(False)
    if plain:
        button.setObjectName("plain")
    if about:
        button.setToolTip(about)
        button.setAccessibleDescription(about)
    button.clicked.connect(lambda: void(deed()))
    return button


def void(_: object) -> None:
    """Take an answer and give none."""


def scrolled(page: QWidget) -> QScrollArea:
    """A page that scrolls where its letters are large or the window small."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
    area.setWidget(page)
    return area
