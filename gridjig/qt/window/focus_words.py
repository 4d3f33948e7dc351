"""What the keys do while the focus is beside the plan, for the prompt line."""

from PySide6.QtWidgets import QAbstractButton, QComboBox, QWidget

from gridjig.qt.widgets.line_edit import FieldEdit, NoteEdit

from .entry_row import EntryRow
from .workspace import Workspace

_BACK = "Ctrl+2 goes back to the plan."


def focus_words(focus: QWidget | None, work: Workspace, entry: EntryRow) -> str:
    """Return what the keys do there; empty while they go to the plan, or to no widget."""
    if focus is None or focus is work.canvas:
        return ""
    if focus is entry.edit:
        return "Enter uses what you type, Esc goes back to the plan."
    if focus is entry.amount:
        return f"Enter sets the size. {_BACK}"
    if focus is work.drawer.list:
        return "Enter takes the piece that is marked, Esc goes back to the plan."
    if focus is work.drawer.search:
        return f"Enter takes the first piece found. {_BACK}"
    if isinstance(focus, NoteEdit):
        return f"Ctrl+Enter keeps the note. {_BACK}"
    if isinstance(focus, FieldEdit):
        return f"Enter sets what you type. {_BACK}"
    if isinstance(focus, QComboBox):
        return f"Space opens the choices. {_BACK}"
    if isinstance(focus, QAbstractButton):
        name = (
            (focus.accessibleName() or focus.text()).replace("&&", "&").split("\n", maxsplit=1)[0]
        )
        return f"Space presses “{name}”. {_BACK}"
    return f"The keys go to the pane beside the plan. {_BACK}"
