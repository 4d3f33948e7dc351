"""The table of all actions, one after another as the menus show them.

Only data: what each is called, its keys, its one line, and why it cannot be used when it cannot.
"""

from .action_weldment import WELDMENT
from .action_whole import WHOLE
from .actions import Action, SheetKey, Situation


def _selected(now: Situation) -> str:
    return "" if now.selected else "Select a piece or an outline first"


def _turned(now: Situation) -> str:
    return "" if now.tool in ("place", "member") else _selected(now)


def _placed(now: Situation) -> str:
    if now.tool in ("place", "member"):
        return ""
    return "" if now.placements else "Select a piece on the table first"


def _pieces(now: Situation) -> str:
    return "" if now.placements else "Select pieces on the table first"


def _one_selected(now: Situation) -> str:
    return "" if now.selected == 1 else "Select one piece or one outline first"


def _placed_one(now: Situation) -> str:
    one = now.selected == 1 and now.placements == 1
    return "" if one else "Select one piece on the table first"


def _things(now: Situation) -> str:
    return "" if now.things else "Nothing is on the table yet"


def _placements_there(now: Situation) -> str:
    return "" if now.things else "No piece is on the table yet"


def _undo(now: Situation) -> str:
    return "" if now.can_undo else "Nothing to undo"


def _redo(now: Situation) -> str:
    return "" if now.can_redo else "Nothing to redo"


def _held(now: Situation) -> str:
    return "" if now.held else "Copy something first"


def _save(now: Situation) -> str:
    return "" if now.modified or not now.saved else "Everything is saved"


def _findings(now: Situation) -> str:
    return "" if now.findings else "The check found nothing to look at"


# fmt: off
def _file() -> tuple[Action, ...]:
    return (
        Action("file.new", "New", "new", ("Ctrl+N",), "Choose a table and a rack and start a job",
               "File", opens=True, row=True),
        Action("file.open", "Open", "open", ("Ctrl+O",), "Open a job from a file", "File",
               opens=True, row=True),
        Action("file.drawing", "Bring in a drawing", "outline", ("Ctrl+I",),
               "Make parts of the weldment of a DXF or SVG drawing", "File", opens=True),
        Action("file.save", "Save", "save", ("Ctrl+S",), "Save the job in its file", "File", _save,
               row=True),
        Action("file.save_as", "Save as", "save", ("Ctrl+Shift+S",),
               "Save the job under another name", "File", opens=True),
        Action("file.take_over", "Take over for editing", "open", (),
               "Edit a job that was opened for reading only", "File",
               lambda now: "" if now.read_only else "The job is already open for editing",
               opens=True),
        Action("bill.copy", "Copy what to pull", "copy", (),
               "Put the bill of fixtures on the clipboard as a table", "File", _placements_there,
               after_line=True),
        Action("bill.save", "Save what to pull as CSV", "save", (),
               "Write the bill of fixtures to a file that spreadsheets read", "File",
               _placements_there, opens=True),
        Action("file.start", "Start page", "new", (), "Show samples, new, open and recent jobs",
               "File", after_line=True),
        Action("settings", "Settings", "settings", ("Ctrl+,",),
               "Unit, colours, glove mode, wheel, screen size, text size, autosave", "File",
               opens=True),
        Action("file.quit", "Quit", "close", ("Ctrl+Q",), "Close the window", "File",
               after_line=True),
    )


def _edit() -> tuple[Action, ...]:
    return (
        Action("edit.undo", "Undo", "undo", ("Ctrl+Z",), "Take back the last step", "Edit", _undo,
               row=True),
        Action("edit.redo", "Redo", "redo", ("Ctrl+Y", "Ctrl+Shift+Z"),
               "Do again the step taken back last", "Edit", _redo, row=True),
        Action("edit.copy", "Copy", "copy", ("Ctrl+C",),
               "Remember the selected pieces and outlines", "Edit", _selected, after_line=True),
        Action("edit.paste", "Paste", "paste", ("Ctrl+V",),
               "Set the copied ones again, in the nearest free holes", "Edit", _held),
        Action("edit.cut", "Cut", "", ("Ctrl+X",), "Remember the selected ones and take them off",
               "Edit", _selected),
        Action("edit.duplicate", "Copy beside", "copy", ("Ctrl+D",),
               "Set the selected ones once more, in the nearest free holes", "Edit", _selected),
        Action("edit.mirror_x", "Mirrored copy, left to right", "flip", (),
               "Set the selected pieces once more, across the weldment's middle", "Edit",
               _pieces),
        Action("edit.mirror_y", "Mirrored copy, front to back", "", (),
               "Set the selected pieces once more, across the weldment's middle", "Edit",
               _pieces),
        Action("edit.delete", "Delete", "delete", ("Del", "Backspace"),
               "Take the selected ones off the table; undo brings them back", "Edit", _selected,
               on_sheet=True, row=True),
        Action("edit.all", "Select all", "select", ("Ctrl+A",),
               "Select every piece and outline on the table", "Edit", _things, on_sheet=True,
               after_line=True),
        Action("edit.name", "Name", "rename", ("F2",), "Type a name for what is selected", "Edit",
               _one_selected),
    )


def _piece() -> tuple[Action, ...]:
    return (
        Action("tool.select", "Select", "select", ("V",),
               "Select, move, slide and swing what is on the table", "Piece", on_sheet=True,
               checkable=True, choice="tool", row=True),
        Action("tool.place", "Place", "place", ("P",),
               "Choose a piece in the rack drawer, then a hole", "Piece", on_sheet=True,
               checkable=True, choice="tool", row=True),
        Action("piece.turn", "Turn", "turn", ("R",), "Turn to the next way that the holes allow",
               "Piece", _turned, on_sheet=True, row=True, after_line=True),
        Action("piece.turn_back", "Turn back", "turn", ("Shift+R",), "Turn to the way before",
               "Piece", _turned, on_sheet=True),
        Action("piece.flip", "Flip", "flip", ("F",), "Turn the piece over to its other hand",
               "Piece", _placed, on_sheet=True, row=True),
    )


def _table() -> tuple[Action, ...]:
    return (
        Action("table.form", "Table", "table", (),
               "Size, holes, addresses and ready tables, with a picture", "Table",
               opens=True),
        Action("tool.holes", "Mark holes", "holes", ("H",),
               "Mark holes as blocked, shallow, oversize, damaged or reserved", "Table",
               on_sheet=True, checkable=True, choice="tool", row=True),
        Action("rack.form", "Rack", "rack", (), "Counts, bins and sizes of the pieces", "Table",
               opens=True, after_line=True),
        Action("rack.import", "Import rack", "open", (), "Take the pieces from a rack file",
               "Table", opens=True),
        Action("rack.export", "Export rack", "save", (), "Write the pieces to a rack file", "Table",
               opens=True),
    )


def _angle() -> tuple[Action, ...]:
    return (
        Action("angle.find", "Find an angle", "bevel", ("F7",),
               "Type an angle: which holes, pins, shims or arm give it", "Angle", row=True),
        Action("angle.edge", "Angle of an edge", "outline", (),
               "Click an edge: which holes give its direction", "Angle"),
        Action("angle.back", "Angle of two holes", "holes", ("Shift+F7",),
               "Which angle two holes and their pins make", "Angle", after_line=True),
        Action("angle.reach", "What an arm reaches", "arm", (),
               "Every angle that the selected arm can be set to", "Angle", _placed_one),
        Action("angle.chart", "Chart of angles", "bill", (),
               "Best pair of holes for every half degree, as PDF or CSV", "Angle", opens=True,
               after_line=True),
    )


def _view() -> tuple[Action, ...]:
    return (
        Action("view.fit", "Whole table", "fit", ("0", "Home"), "Show the whole table", "View",
               on_sheet=True, row=True),
        Action("view.fit_selection", "What is selected", "fit-selection", ("9", "Z"),
               "Fill the sheet with what is selected", "View", _selected, on_sheet=True),
        Action("view.actual", "Full size", "actual", ("1",),
               "Show the table at 1:1 on a calibrated screen", "View", on_sheet=True),
        Action("view.in", "Nearer", "zoom-in", ("+", "=", "Ctrl++"), "Zoom in", "View",
               on_sheet=True),
        Action("view.out", "Farther", "zoom-out", ("-", "Ctrl+-"), "Zoom out", "View",
               on_sheet=True),
        Action("view.rack", "Rack drawer", "rack", ("F9",), "Show or hide the rack drawer", "View",
               checkable=True, after_line=True),
        Action("view.side", "Form and lists", "list", ("F10",),
               "Show or hide the form, the list, what to pull and the check", "View",
               checkable=True),
        Action("view.glove", "Glove mode", "glove", ("Ctrl+G",), "Large targets for gloved fingers",
               "View", checkable=True),
        *(
            Action(
                f"theme.{key}",
                text,
                "",
                (),
                hint,
                "View",
                checkable=True,
                choice="theme",
                submenu="Colours",
            )
            for key, text, hint in (
                ("light", "Paper", "Dark ink on light paper"),
                ("dark", "Slate", "Light ink on dark slate"),
                ("system", "As the system", "Light or dark as the system is set"),
                ("print", "High contrast", "Black on white, nothing between"),
            )
        ),
        *(
            Action(
                f"unit.{key}",
                text,
                "",
                (),
                hint,
                "View",
                checkable=True,
                choice="unit",
                submenu="Unit",
            )
            for key, text, hint in (
                ("8", "Inch fractions, 1/8", "Show lengths to 1/8 in; no geometry changes"),
                ("16", "Inch fractions, 1/16", "Show lengths to 1/16 in; no geometry changes"),
                ("32", "Inch fractions, 1/32", "Show lengths to 1/32 in; no geometry changes"),
                ("64", "Inch fractions, 1/64", "Show lengths to 1/64 in; no geometry changes"),
                ("decimals", "Inch decimals", "Show lengths as decimal inches"),
                ("mm", "Millimetres", "Show lengths in millimetres"),
            )
        ),
        Action("go.next", "Next part of the window", "list", ("F6",),
               "Move the focus on: drawer, sheet, form, lists", "View", after_line=True),
        Action("go.back", "Part of the window before", "list", ("Shift+F6",),
               "Move the focus back: lists, form, sheet, drawer", "View"),
        Action("go.type", "Type a place", "keys", ("T", "/"),
               "Type a hole, an angle or a length for what is in hand", "View", on_sheet=True),
        Action("go.rack", "Go to the rack drawer", "rack", ("Ctrl+1",), "Put the focus there",
               "View"),
        Action("go.sheet", "Go to the sheet", "fit", ("Ctrl+2",), "Put the focus there", "View"),
        Action("go.form", "Go to the form", "list", ("Ctrl+3",), "Put the focus there", "View"),
        Action("go.placed", "Go to what is placed", "list", ("Ctrl+4",), "Put the focus there",
               "View"),
        Action("go.bill", "Go to what to pull", "list", ("Ctrl+5",), "Put the focus there", "View"),
    )


def _check() -> tuple[Action, ...]:
    return (
        Action("check.run", "Check", "check", ("F8",), "Check the set-up and say what was found",
               "Check", row=True),
        Action("check.next", "Next finding", "check", ("F4",),
               "Select and show the next thing the check found", "Check", _findings),
    )


def _help() -> tuple[Action, ...]:
    return (
        Action("help.topic", "Help on this", "help", ("F1",), "Open the help for the thing in hand",
               "Help"),
        Action("help.keys", "All keys", "keys", ("Ctrl+/",), "Show every key in one sheet", "Help",
               opens=True),
        Action("help.safety", "Cautions", "check", (), "What this plan does not say", "Help",
               after_line=True),
        Action("help.about", "About GridJig", "help", (), "Version and licence", "Help"),
    )


ACTIONS: tuple[Action, ...] = (
    *_file(),
    *_edit(),
    *_piece(),
    *WELDMENT,
    *WHOLE,
    *_table(),
    *_angle(),
    *_view(),
    *_check(),
    *_help(),
)
# fmt: on


def action(action_id: str) -> Action:
    """The action of that id.  KeyError if there is none."""
    for one in ACTIONS:
        if one.id == action_id:
            return one
    raise KeyError(action_id)


SHEET_KEYS: tuple[SheetKey, ...] = (
    SheetKey("Arrow keys", "Move what is selected by one hole, or the hole in hand"),
    SheetKey("Shift + arrow", "Move by a fine step where the piece can slide"),
    SheetKey("Ctrl + arrow", "Move by five holes"),
    SheetKey("Enter", "Set the piece in the hole in hand"),
    SheetKey("Esc", "Drop what is begun; again: leave the tool, then clear the selection"),
    SheetKey("S", "While a member is drawn: centred on its line, left or right of it"),
    SheetKey("L", "Lock an opening arm by a pin in a hole, or let it go to its scale"),
    SheetKey("B", "Step through what lies below the pointer"),
    SheetKey("Space + drag", "Move the sheet; middle button too"),
    SheetKey("Ctrl + wheel", "Zoom about the pointer"),
    SheetKey("Shift while dragging", "Slide, swing and open in finer steps"),
    SheetKey("Alt while dragging", "Do not catch on holes and edges"),
)
