"""What the keys do while the focus is beside the plan, for the prompt line."""

from PySide6.QtWidgets import QAbstractButton, QComboBox, QMenuBar, QWidget

from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.line_edit import FieldEdit, NoteEdit
from gridjig.qt.widgets.section_box import SectionBox

from .entry_row import EntryRow
from .workspace import Workspace

_SEARCHED = "Type to search the list, Enter takes what you typed."
_SEARCH_ON = "Type something else or more, the arrow keys go through the list."
_SET = "Type a value, Enter sets it."
_OLD = "Esc brings back the old one"
_BACK = "Ctrl+2 goes back to the plan."
_IN_MENU = "Arrow keys go through the menus, Enter takes a line, Esc leaves them."
_AGAIN = {"member": "ends the run", "plate": "closes the outline"}
"""What Enter does in the Type row when nothing new is typed, by tool, while that draws."""


def focus_words(focus: QWidget | None, work: Workspace, entry: EntryRow) -> str:
    """Return what the keys do there; empty while they go to the plan, or to no widget."""
    if focus is None or focus is work.canvas:
        return ""
    if isinstance(focus, QMenuBar):
        return _IN_MENU
    ends = " and ends the drawing" if work.tool.name in ("member", "plate") else ""
    again = f", Enter again {_AGAIN[work.tool.name]}" if work.tool.in_progress else ""
    own = {
        entry.edit: f"Enter uses what you type{again}, Esc goes back to the plan{ends}.",
        entry.amount: f"Enter sets the size. {_BACK}",
        work.drawer.list: "The arrow keys choose a piece, Enter takes it, letters find one, Esc "
        "goes back to the plan.",
        work.drawer.search: f"Enter takes the first piece found. {_BACK}",
    }
    return own.get(focus) or f"{_does(focus)} {_BACK}"


def _does(focus: QWidget) -> str:
    if isinstance(focus, NoteEdit):
        return f"Ctrl+Enter keeps the note.{f' {_OLD}.' if focus.refused else ''}"
    if isinstance(focus, FieldEdit):
        shown = focus.statusTip()  # a length in both units, and exactly
        old = f" {_OLD}{': ' if shown else ''}{shown}." if focus.refused else ""
        return f"{_SET}{old or (f' It is {shown}.' if shown else '')}"
    if isinstance(focus, QComboBox):
        return _does_in_box(focus)
    if isinstance(focus, EntryListView) and focus.given:
        return f"Arrow keys choose a line, {focus.does}."
    if isinstance(focus, QAbstractButton):
        name = (focus.accessibleName() or focus.text()).split("\n", maxsplit=1)[0]
        about = focus.statusTip().rstrip(".")
        return f"Space presses “{name.replace('&&', '&')}”. {f'{about}.' if about else ''}".rstrip()
    return "The keys go to the pane beside the plan."


def _does_in_box(box: QComboBox) -> str:
    if not isinstance(box, SectionBox):
        return "Space opens the choices."
    return f"{_SEARCH_ON} {_OLD}." if box.is_refused else _SEARCHED
