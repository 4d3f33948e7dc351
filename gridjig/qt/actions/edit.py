"""The actions of the Edit menu: undo and redo, copying, the selection."""

from typing import Literal

from gridjig.edits.difference import differing
from gridjig.edits.lookup import all_ids
from gridjig.edits.selection import things
from gridjig.session.document import Clipboard
from gridjig.tools.core.tool import Outcome, apply_outcome
from gridjig.tools.select.commands import delete, paste

from .action import Action, Situation
from .port import Port


def act(port: Port, outcome: Outcome) -> None:
    """Apply a key to the selection and report the result."""
    apply_outcome(port.document, outcome)
    port.say(outcome.said)


def nothing_selected(now: Situation) -> str:
    """Return why an action that needs a selection is not possible, or an empty string."""
    return "" if now.selected else "Select a piece or a part first"


def _undo(port: Port) -> None:
    document = port.document
    before = document.job
    step = document.undo()
    if step is not None:
        port.pages.reveal(differing(before, document.job))
        port.say(f"Undone: {step.name}.")


def _redo(port: Port) -> None:
    document = port.document
    before = document.job
    step = document.redo()
    if step is not None:
        port.pages.reveal(differing(before, document.job))
        port.say(f"Redone: {step.name}.")


def _copy(port: Port) -> None:
    document = port.document
    document.set_clipboard(things(document.job, document.selection))
    said = f"{len(document.clipboard)} copied. Paste puts them in the nearest free holes."
    if port.pages.copy_focused():
        said += " The lines of the list are on the clipboard as a table."
    port.say(said)
    port.update()


def _cut(port: Port) -> None:
    _copy(port)
    _delete(port, "Cut")


def _delete(port: Port, verb: str = "Delete") -> None:
    act(port, delete(port.document.job, port.document.selection, verb))


def _paste(port: Port) -> None:
    _put_down(port, port.document.clipboard)


def _duplicate(port: Port) -> None:
    _put_down(port, things(port.document.job, port.document.selection))


def _put_down(port: Port, copied: Clipboard) -> None:
    document = port.document
    act(port, paste(document.job, document.placed_pieces, copied))
    port.pages.reveal(document.selection)


def _mirror(port: Port, axis: Literal["x", "y"]) -> None:
    from gridjig.tools.select.mirror_copy import mirror_copy  # noqa: PLC0415 - not needed to start

    document = port.document
    job, weldment = document.job, document.weldment
    act(port, mirror_copy(job, document.placed_pieces, document.selection, axis, weldment))
    port.pages.reveal(document.selection)


def _copy_list(port: Port) -> None:
    many = port.pages.copy_list()
    lines = "1 line is" if many == 1 else f"{many} lines are"
    port.say(f"{lines} on the clipboard as a table." if many else "No list with lines is in front.")


def _select_all(port: Port) -> None:
    document = port.document
    document.select(all_ids(document.job))
    port.say(f"{len(document.selection)} selected.")


def _nothing_to_undo(now: Situation) -> str:
    return "" if now.can_undo else "Nothing to undo"


def _nothing_to_redo(now: Situation) -> str:
    return "" if now.can_redo else "Nothing to redo"


def _nothing_copied(now: Situation) -> str:
    return "" if now.copied else "Copy something first"


def _no_pieces(now: Situation) -> str:
    return "" if now.placements else "Select pieces on the table first"


def _not_one(now: Situation) -> str:
    return "" if now.selected == 1 else "Select one piece or one part first"


def _nothing_there(now: Situation) -> str:
    return "" if now.things else "Nothing is on the table yet"


# fmt: off
EDIT: tuple[Action, ...] = (
    Action("edit.undo", "Undo", "undo", ("Ctrl+Z",), "Undo the last step", "Edit", _undo,
           _nothing_to_undo, row=True, step=lambda now: now.undo_name),
    Action("edit.redo", "Redo", "redo", ("Ctrl+Y", "Ctrl+Shift+Z"),
           "Redo the step that was undone", "Edit", _redo, _nothing_to_redo, row=True,
           step=lambda now: now.redo_name),
    Action("edit.copy", "Copy", "copy", ("Ctrl+C",), "Copy the selected pieces and parts",
           "Edit", _copy, nothing_selected, after_line=True),
    Action("edit.paste", "Paste", "paste", ("Ctrl+V",),
           "Paste the copies in the nearest free holes", "Edit", _paste,
           _nothing_copied),
    Action("edit.cut", "Cut", "", ("Ctrl+X",), "Copy the selection and take it off the table",
           "Edit", _cut, nothing_selected),
    Action("edit.copy_list", "Copy the list", "copy", ("Ctrl+Shift+C",),
           "Copy the list in front as a table, or the lines selected in it", "Edit", _copy_list),
    Action("edit.duplicate", "Duplicate", "copy", ("Ctrl+D",),
           "Copy the selection to the nearest free holes", "Edit", _duplicate,
           nothing_selected),
    Action("edit.mirror_x", "Mirrored copy, left to right", "flip", (),
           "Copy the selected pieces, mirrored about the weldment's middle", "Edit",
           lambda port: _mirror(port, "x"), _no_pieces),
    Action("edit.mirror_y", "Mirrored copy, front to back", "", (),
           "Copy the selected pieces, mirrored about the weldment's middle", "Edit",
           lambda port: _mirror(port, "y"), _no_pieces),
    Action("edit.delete", "Delete", "delete", ("Del", "Backspace"),
           "Take the selection off the table", "Edit", _delete,
           nothing_selected, on_plan=True, row=True),
    Action("edit.all", "Select all", "select", ("Ctrl+A",),
           "Select every piece and part on the table", "Edit", _select_all, _nothing_there,
           on_plan=True, after_line=True),
    Action("edit.name", "Rename", "rename", ("F2",), "Type a name for what is selected", "Edit",
           lambda port: port.pages.name_selected(), _not_one),
)
# fmt: on
