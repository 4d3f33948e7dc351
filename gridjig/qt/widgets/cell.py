"""A cell of a form: a name over what is typed or chosen, and below it the complaint if any.

Drawn like a cell of a drawing's title block.
"""

from PySide6.QtWidgets import QComboBox, QFrame, QWidget

from .layout import LayoutItem, in_column, in_row
from .plain import Label
from .styled import look_again, restyle


class Cell(QFrame):
    """Holds `parts` under its name; `note` stands to the right of the name."""

    def __init__(
        self,
        label: str,
        *parts: LayoutItem,
        note: QWidget | None = None,
        focus: QWidget | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("cell")
        self.label = Label(label, "cellName")
        self.complaint = Label(role="complaint")
        self.complaint.hide()
        head = in_row(self.label, (note, 1), margins="none", gap=6) if note else self.label
        in_column(head, *parts, self.complaint, over=self, margins="cell", gap=0)
        if focus is not None:
            focus.setAccessibleName(label)
            self.label.setBuddy(focus)
            self.setFocusProxy(focus)

    def has_complaint(self) -> bool:
        """True while something misread stands in the cell."""
        return bool(self.complaint.text())

    def show_complaint(self, sentence: str) -> None:
        """Say below what stands in the cell why it cannot be; an empty text takes that away."""
        self.complaint.setText(f"✕ {sentence}" if sentence else "")
        self.complaint.setVisible(bool(sentence))
        restyle(self, "wrong", bool(sentence))

    def show_focus(self) -> None:
        """Draw the frame by where the focus is now; Qt's own property has changed already."""
        look_again(self)


def boxed(name: str, widget: QWidget) -> Cell:
    """A widget with its name over it, as a cell."""
    # What has a frame of its own shows the focus itself.
    return Cell(name, widget, focus=widget if isinstance(widget, QComboBox) else None)
