"""Small parts that forms share: a button with a verb, a page that scrolls."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QComboBox, QFrame, QScrollArea, QWidget

from .plain import Button, tip


class VerbButton(Button):
    """A button that is never narrower than its words, however large the letters are."""

    def event(self, event: QEvent) -> bool:
        """Ask for the room of the words after the style or the letters changed."""
        done = super().event(event)
        if event.type() in _ANEW:
            self._fit()
        return done

    def setText(self, words: str) -> None:
        """Show other words."""
        super().setText(words)
        self._fit()

    def _fit(self) -> None:
        # The style sheet sets a least width of its own, which would let the words be cut.
        self.setMinimumWidth(self.sizeHint().width())


_ANEW = (QEvent.Type.Polish, QEvent.Type.StyleChange, QEvent.Type.FontChange)


def make_button(
    words: str, deed: Callable[[], object], plain: bool = True, about: str = ""
) -> Button:
    """A button that does a deed; a plain one is drawn lighter than the ways out of a form."""
    button = VerbButton(words)
    button.setAutoDefault(False)
    if plain:
        button.setObjectName("plain")
    if about:
        button.setToolTip(tip(about))
        button.setAccessibleDescription(about)
    button.clicked.connect(lambda: void(deed()))
    return button


def narrow(box: QComboBox) -> None:
    """Let a list of choices be narrower than its longest one; the open list shows them whole."""
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(12)
    box.currentTextChanged.connect(lambda words: box.setToolTip(tip(words)))


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
