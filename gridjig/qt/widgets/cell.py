"""A cell of a form: a name, below it what is typed or chosen, and below that any complaint.

It is drawn like a cell in the title block of a drawing.
"""

from PySide6.QtCore import Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QComboBox, QFrame, QWidget

from .acts import tell_keys
from .labels import HeadRow
from .layout import LayoutItem, in_column
from .plain import Label
from .styled import apply_style, restyle


class Cell(QFrame):
    """Holds `parts` under its name; `note` is to the right of the name."""

    def __init__(
        self,
        label: str,
        *parts: LayoutItem,
        note: Label | None = None,
        focus: QWidget | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("cell")
        self.label = Label(label, "cellName")
        self.complaint = Label(role="complaint")
        self.complaint.hide()
        head = HeadRow(self.label, note) if note else self.label
        in_column(head, *parts, self.complaint, over=self, margins="cell", gap=0)
        if focus is not None:
            focus.setAccessibleName(label)
            self.label.setBuddy(focus)
            self.setFocusProxy(focus)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Open the choice of the cell on a press anywhere in it: a finger needs the room."""
        inside = self.focusProxy()
        if isinstance(inside, QComboBox) and inside.isEnabled():
            inside.setFocus(Qt.FocusReason.MouseFocusReason)
            inside.showPopup()
        else:
            super().mousePressEvent(event)

    def has_complaint(self) -> bool:
        """True while the cell contains something that is not accepted."""
        return bool(self.complaint.text())

    def show_complaint(self, sentence: str) -> None:
        """Show below the cell's contents why they are not accepted; "" removes the complaint."""
        was = self.has_complaint()
        self.complaint.setText(f"✕ {sentence}" if sentence else "")
        self.complaint.setVisible(bool(sentence))
        restyle(self, "wrong", bool(sentence))
        if was != self.has_complaint():
            tell_keys(self)  # Esc takes back what is refused

    def show_focus(self) -> None:
        """Draw the frame according to the focus; called after Qt has updated its own state."""
        apply_style(self)


def boxed(name: str, widget: QWidget) -> Cell:
    """Return a cell that holds a widget under its name."""
    # A widget with its own frame shows the focus itself.
    return Cell(name, widget, focus=widget if isinstance(widget, QComboBox) else None)
