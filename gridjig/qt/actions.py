"""Every action as data: menus, tool row, tooltips and the sheet of keys are made from these alone.

Knows no window.  `why_not` gives the reason why an action cannot be used now, in words, or "".
"""

from collections.abc import Callable
from typing import Literal

from msgspec import Struct

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
    """What decides whether an action can be used.  Plain values, compared as a whole."""

    things: int = 0
    selected: int = 0
    placements: int = 0
    parts: int = 0
    held: int = 0
    undo_name: str = ""
    redo_name: str = ""
    can_undo: bool = False
    can_redo: bool = False
    modified: bool = False
    saved: bool = False
    read_only: str = ""
    findings: int = 0
    tool: str = "select"


Why = Callable[[Situation], str]


def _always(_: Situation) -> str:
    return ""


class Action(Struct, frozen=True):
    """One thing that the person can do.

    `keys` are portable key texts, best first.  `on_sheet` keys work only while the sheet has the
    focus, so that single letters never fire while something is typed.  `row` puts it on the tool
    row; `choice` names a group of which one is on; `after_line` draws a line before it.
    """

    id: str
    text: str
    icon: str
    keys: tuple[str, ...]
    hint: str
    menu: Menu
    why_not: Why = _always
    on_sheet: bool = False
    checkable: bool = False
    choice: str = ""
    row: bool = False
    submenu: str = ""
    after_line: bool = False
    opens: bool = False

    @property
    def name(self) -> str:
        """The text with the three dots of an action that asks something first."""
        return f"{self.text}…" if self.opens else self.text


class SheetKey(Struct, frozen=True):
    """A key that the tool on the sheet answers itself; listed with the others."""

    keys: str
    text: str


def tooltip(one: Action, key_text: str, why: str = "") -> str:
    """Name, key and one line; and the reason while the action cannot be used."""
    head = f"{one.text}  ({key_text})" if key_text else one.text
    return "\n".join(line for line in (head, one.hint, why) if line)
