"""Small widgets that forms share: a button with a verb, a page that scrolls."""

from collections.abc import Callable

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QComboBox, QFrame, QScrollArea, QWidget

from .plain import Button, explain


class VerbButton(Button):
    """A button that is never narrower than its text, whatever the font size."""

    def event(self, event: QEvent) -> bool:
        """Fit the text again after the style or the font has changed."""
        done = super().event(event)
        if event.type() in _ANEW:
            self._fit()
        return done

    def setText(self, words: str) -> None:
        """Set the text."""
        super().setText(words)
        self._fit()

    def _fit(self) -> None:
        # The style sheet sets its own minimum width, which would let the text be cut.
        self.setMinimumWidth(self.sizeHint().width())


_ANEW = (QEvent.Type.Polish, QEvent.Type.StyleChange, QEvent.Type.FontChange)


def make_button(
    words: str, action: Callable[[], object], plain: bool = True, about: str = ""
) -> Button:
    """Return a button that calls `action`; a plain one looks lighter than those that end a form."""
    button = VerbButton(words)
    button.setAutoDefault(False)
    if plain:
        button.setObjectName("plain")
    if about:
        explain(button, about)
    button.clicked.connect(lambda: void(action()))
    return button


def narrow(box: QComboBox) -> None:
    """Let a combo box be narrower than its longest choice; the open list shows choices whole."""
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(12)


def void(_: object) -> None:
    """Discard a value."""


def scrolled(page: QWidget) -> QScrollArea:
    """Return a scroll area for a page, for large letters or a small window."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
    area.setWidget(page)
    return area
