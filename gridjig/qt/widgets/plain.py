"""Text shown as it is: no name, path or typed text is ever read as markup or as a shortcut key.

Qt guesses: a label or a tooltip whose text looks like HTML is shown as HTML, and `<img src=...>` in
the name of a table would open that file.  An `&` in a button or a menu underlines the next letter
and disappears.  Every text that is not a literal in the program goes through this module;
`tests/qt/widgets/test_plain_text.py` finds text that does not.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import Qt as GuiQt
from PySide6.QtWidgets import QFrame, QLabel, QPushButton, QWidget

from gridjig.units.unbroken import unbroken

from .acts import tell_act

_ONE_LINE = ("cellName", "note", "stripName")
_FRAMED = ("heading", "freedom")


class Label(QLabel):
    """A label of plain text, which breaks no line between a number and its unit.

    `role` is its name in the style sheet; names of cells, notes and strips do not wrap.  With
    `copied`, the text can be selected with the mouse.
    """

    _given = ""

    def __init__(
        self,
        words: str = "",
        role: str = "",
        copied: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setObjectName(role)
        self.setWordWrap(role not in _ONE_LINE)
        if role in _FRAMED:
            self.setFrameShape(QFrame.Shape.StyledPanel)
            self.setIndent(0 if role == "heading" else -1)
        if copied:
            self.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.setText(words)

    def setBuddy(self, buddy: QWidget) -> None:
        """Set the buddy and escape any `&`: Qt makes it a shortcut only in a label with a buddy."""
        super().setBuddy(buddy)
        self.setText(self._given)

    def setText(self, words: str) -> None:
        """Set the text."""
        self._given = words
        shown = unbroken(words)
        super().setText(menu_words(shown) if self.buddy() else shown)

    def text(self) -> str:
        """Return the text as it was set."""
        return self._given


class Button(QPushButton):
    """A button that shows an `&` as it is; `about` is a line about what it does."""

    def __init__(
        self, words: str = "", role: str = "", about: str = "", parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName(role)
        self.setText(words)
        if about:
            explain(self, about)
        self.clicked.connect(lambda: tell_act(self))

    def setText(self, words: str) -> None:
        """Set the text."""
        super().setText(menu_words(words))

    def text(self) -> str:
        """Return the text shown."""
        return super().text().replace("&&", "&")


def explain(widget: QWidget, words: str) -> None:
    """Say what a widget is for: in its tooltip, in the row under the plan, to screen readers."""
    widget.setToolTip(tip(words))
    widget.setStatusTip(words)
    widget.setAccessibleDescription(words)


def tip(words: str) -> str:
    """Return text for a tooltip, in which markup is shown as typed."""
    if not GuiQt.mightBeRichText(words):
        return words
    return GuiQt.convertFromPlainText(words, GuiQt.WhiteSpaceMode.WhiteSpaceNormal)


def menu_words(words: str) -> str:
    """Return text for a menu or a button, in which an `&` is shown as it is."""
    return words.replace("&", "&&")


def title_words(words: str) -> str:
    """Return text for a window title, where Qt reads `[*]` as the mark for unsaved changes."""
    return words.replace("[*]", "[*][*]")
