"""What an action is: a declared value.  Knows no action in particular and no window.

When an action is possible is a pure function of a `Situation`, which answers with the reason why it
is not, in words, or with an empty text.
"""

from collections.abc import Callable
from importlib import import_module
from typing import Literal

from msgspec import Struct
from PySide6.QtGui import QKeySequence

from .port import Port

Menu = Literal["File", "Edit", "Piece", "Weldment", "Table", "Angle", "View", "Check", "Help"]
MENUS: tuple[Menu, ...] = (
    "File",
    "Edit",
    "Piece",
    "Weldment",
    "Table",
    "Angle",
    "View",
    "Check",
    "Help",
)


class Situation(Struct, frozen=True):
    """What decides whether an action is possible, and which are ticked.  Plain values, compared as
    a whole.
    """

    things: int = 0
    selected: int = 0
    placements: int = 0
    parts: int = 0
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
    glove: bool = False


Why = Callable[[Situation], str]
Ticked = Callable[[Situation], bool]
Handler = Callable[[Port], None]


def always(_: Situation) -> str:
    """It can always be done."""
    return ""


class Action(Struct, frozen=True):
    """One thing that the person can do.

    `keys` are portable key texts, best first.  `on_sheet` keys work only while the sheet has the
    focus, so that single letters never fire while something is typed.  `row` puts it on the tool
    row; `after_line` draws a line before it.  `ticked` is for an action that shows a state;
    `choice` names a group of which one is ticked.  `step` names what it would do now, put behind
    its text.
    """

    id: str
    text: str
    icon: str
    keys: tuple[str, ...]
    hint: str
    menu: Menu
    handler: Handler
    why_not: Why = always
    on_sheet: bool = False
    ticked: Ticked | None = None
    choice: str = ""
    row: bool = False
    submenu: str = ""
    after_line: bool = False
    opens: bool = False
    step: Callable[[Situation], str] = always

    @property
    def name(self) -> str:
        """The text with the three dots of an action that asks something first."""
        return f"{self.text}…" if self.opens else self.text


class SheetKey(Struct, frozen=True):
    """A key that the tool on the sheet answers itself; listed with the others."""

    keys: str
    text: str


class OpenForm(Struct, frozen=True):
    """A handler that opens a form over the window.

    `module` is one of gridjig.qt.forms, imported when the form is first opened; its `function`
    takes the parent, the document and the look.
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
    on_sheet: bool = True,
) -> Action:
    """An action that takes a tool in hand, and is ticked as long as the tool is there."""
    return Action(
        id,
        text,
        icon,
        keys,
        hint,
        menu,
        handler,
        why_not,
        on_sheet=on_sheet,
        ticked=lambda now: now.tool_action == id,
        choice="tool",
        row=row,
        after_line=after_line,
    )


def key_words(keys: tuple[str, ...]) -> str:
    """Keys as this system writes them, or an empty text."""
    form = QKeySequence.SequenceFormat.NativeText
    return "  or  ".join(QKeySequence(key).toString(form) for key in keys)


def tooltip(one: Action, key_text: str, why: str = "") -> str:
    """Name, key and one line; and the reason while the action cannot be used."""
    head = f"{one.text}  ({key_text})" if key_text else one.text
    return "\n".join(line for line in (head, one.hint, why) if line)
