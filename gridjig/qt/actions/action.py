"""What an action is: a declared value.  This module knows no particular action and no window.

Whether an action is possible is decided by a pure function of a `Situation`, which returns the
reason why not, or an empty string.
"""

from collections.abc import Callable
from importlib import import_module
from typing import Literal

from msgspec import Struct
from PySide6.QtGui import QKeySequence

from gridjig.qt.widgets.list_entry import ListOrder

from .port import Port

Menu = Literal["File", "Edit", "Piece", "Work", "Table", "Angle", "View", "Check", "Help"]
MENUS: tuple[Menu, ...] = (
    "File",
    "Edit",
    "Piece",
    "Work",
    "Table",
    "Angle",
    "View",
    "Check",
    "Help",
)


class Situation(Struct, frozen=True):
    """What decides which actions are possible and which are ticked.  Plain values, compared as a
    whole.
    """

    things: int = 0
    selected: int = 0
    placements: int = 0
    parts: int = 0
    chosen_parts: int = 0
    weldments: int = 1
    copied: int = 0
    undo_name: str = ""
    redo_name: str = ""
    can_undo: bool = False
    can_redo: bool = False
    modified: bool = False
    in_a_file: bool = False
    read_only: str = ""
    findings: int = 0
    tool: str = "select"
    tool_action: str = ""
    unit: str = ""
    theme: str = ""
    rack_shown: bool = True
    side_shown: bool = True
    contacts_shown: bool = True
    proof_shown: frozenset[str] = frozenset()
    loose: bool = False
    glove: bool = False
    list_order: ListOrder | None = None


Why = Callable[[Situation], str]
Ticked = Callable[[Situation], bool]
Handler = Callable[[Port], None]


def always(_: Situation) -> str:
    """Return an empty string: the action is always possible."""
    return ""


class Action(Struct, frozen=True):
    """One thing the user can do.

    `keys` are shortcuts in Qt's portable form, preferred one first.  `on_plan` keys work only
    while the plan has the focus, so that single letters never fire during typing.  `row` puts the
    action on the tool row; `after_line` draws a separator before it.  `ticked` is for an action
    that shows a state; `choice` names a group in which one action is ticked.  `step` names what the
    action would do now; it is appended to the text.
    """

    id: str
    text: str
    icon: str
    keys: tuple[str, ...]
    hint: str
    menu: Menu
    handler: Handler
    why_not: Why = always
    on_plan: bool = False
    ticked: Ticked | None = None
    choice: str = ""
    row: bool = False
    submenu: str = ""
    after_line: bool = False
    opens: bool = False
    step: Callable[[Situation], str] = always

    @property
    def name(self) -> str:
        """The text, with three dots if the action asks something first."""
        return f"{self.text}…" if self.opens else self.text


class SheetKey(Struct, frozen=True):
    """A key that the tool on the plan handles itself; listed with the other keys."""

    keys: str
    text: str


class OpenForm(Struct, frozen=True):
    """A handler that opens a form over the window.

    `module` is a module of gridjig.qt.forms, imported when the form is first opened; its `function`
    takes the parent, the document and the appearance.
    """

    module: str
    function: str

    def __call__(self, port: Port) -> None:
        """Open the form."""
        module = import_module(f"gridjig.qt.forms.{self.module}")
        getattr(module, self.function)(port.dialogs.parent, port.document, port.dialogs.appearance)


def tool_action(
    id: str,
    text: str,
    icon: str,
    keys: tuple[str, ...],
    hint: str,
    menu: Menu,
    handler: Handler,
    why_not: Why = always,
    *,
    row: bool = False,
    after_line: bool = False,
    on_plan: bool = True,
    submenu: str = "",
) -> Action:
    """Return an action that activates a tool, and is ticked while that tool is active."""
    return Action(
        id,
        text,
        icon,
        keys,
        hint,
        menu,
        handler,
        why_not,
        on_plan=on_plan,
        ticked=lambda now: now.tool_action == id,
        choice="tool",
        row=row,
        after_line=after_line,
        submenu=submenu,
    )


def key_words(keys: tuple[str, ...]) -> str:
    """Return the keys as this system writes them, or an empty string."""
    form = QKeySequence.SequenceFormat.NativeText
    return "  or  ".join(QKeySequence(key).toString(form) for key in keys)


def live_keys(one: Action, letters: bool) -> tuple[str, ...]:
    """Return the keys that work; without `letters`, no single letter does on the plan."""
    return tuple(k for k in one.keys if letters or not (one.on_plan and is_letter(k)))


def is_letter(key: str) -> bool:
    """True for a key that types a letter, with Shift or without."""
    bare = key.removeprefix("Shift+")
    return len(bare) == 1 and bare.isalpha()


def tooltip(one: Action, key_text: str, why: str = "") -> str:
    """Return the name, the key and a one-line description, plus the reason if the action is
    disabled.
    """
    head = f"{one.text}  ({key_text})" if key_text else one.text
    return "\n".join(line for line in (head, one.hint, why) if line)
