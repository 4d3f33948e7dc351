"""All actions, in the order of the menus, and the keys that the plan handles itself."""

from collections.abc import Mapping

from gridjig.units.spelling import spelled

from .action import Action, SheetKey
from .angle import ANGLE
from .check import CHECK
from .edit import EDIT
from .file import FILE
from .help import HELP
from .piece import PIECE
from .table import TABLE
from .view import VIEW
from .weldment import WELDMENT

ACTIONS: tuple[Action, ...] = (
    *FILE,
    *EDIT,
    *PIECE,
    *WELDMENT,
    *TABLE,
    *ANGLE,
    *VIEW,
    *CHECK,
    *HELP,
)

_BY_ID: Mapping[str, Action] = {one.id: one for one in ACTIONS}


def action(action_id: str) -> Action:
    """Return the action with that id.  Raise KeyError if there is none."""
    return _BY_ID[action_id]


SHEET_KEYS: tuple[SheetKey, ...] = (
    SheetKey("Arrow keys", "Move the selection by one hole, or go to the next hole"),
    SheetKey("Shift + arrow", "Move by a fine step where the piece can slide"),
    SheetKey("Ctrl + arrow", "Move by five holes"),
    SheetKey("Enter", "Put the piece in the highlighted hole"),
    SheetKey("Esc", "Cancel; again: leave the tool, then clear the selection"),
    SheetKey("S", spelled("While a member is drawn: centred on its line, left or right of it")),
    SheetKey("L", "Lock an opening arm with a pin in a hole, or unlock it"),
    SheetKey("B", "Step through what is under the pointer"),
    SheetKey("Space + drag", "Move the plan; the middle button does too"),
    SheetKey("Ctrl + wheel", "Zoom about the pointer"),
    SheetKey("Shift while dragging", "Slide, swing and open in finer steps"),
    SheetKey("Alt while dragging", "Do not snap to holes and edges"),
)
