"""The actions of the Work menu: drawing its parts, joining them, and what applies to the whole
weldment.
"""

from functools import partial

from msgspec import structs
from PySide6.QtGui import QGuiApplication

from gridjig.edits.selection import things
from gridjig.edits.weldment_list import add_weldment, move_parts, remove_weldment
from gridjig.model import Part
from gridjig.model.by_weldment import parts_of
from gridjig.model.titles import weldment_title
from gridjig.qt.dialogs.questions import CSV_FILTER
from gridjig.tools.core.tool import Commit
from gridjig.tools.core.wording import capital
from gridjig.tools.draw.member_tool import MemberTool
from gridjig.tools.draw.plate_tool import PlateShape, PlateTool
from gridjig.tools.join.dimension_tool import DimensionTool
from gridjig.tools.join.join_kinds import JoinKind, join_selected, mitre_selected
from gridjig.tools.join.join_tool import JoinTool
from gridjig.tools.join.notch_tool import NotchTool
from gridjig.tools.select.commands import paste
from gridjig.units.spelling import spelled

from .action import Action, OpenForm, Situation, tool_action
from .edit import act
from .file import ask_where, write
from .port import Port

PAGES = (
    "weldment.cuts",
    "weldment.joints",
    "weldment.faces",
    "weldment.where",
    "weldment.way",
    "weldment.list",
    "weldment.order",
)
"""The actions that open the pages of the weldment's tab, in their order."""


# -- drawing -------------------------------------------------------------------------------------


def _member(port: Port) -> None:
    tool = MemberTool(port.document, port.stock.section(), port.stock.lies)
    port.stock.lay(tool)
    port.tools.take(tool, "tool.member")
    port.pages.focus("plan")  # what is typed next is for the tool, not for a field left behind


def _outline(port: Port, shape: PlateShape, action_id: str) -> None:
    port.tools.take(PlateTool(port.document, shape, port.stock.plate_heights()), action_id)
    port.pages.focus("plan")


def _notch(port: Port) -> None:
    port.tools.take(NotchTool(port.document), "tool.notch")


def _dimension(port: Port) -> None:
    port.tools.take(DimensionTool(port.document), "tool.dimension")


def _own_section(port: Port) -> None:
    """Ask for a section; a section made here is drawn with next."""
    from gridjig.qt.forms.shop.section_form import SectionForm  # noqa: PLC0415 - not needed to start

    form = SectionForm(port.dialogs.parent, port.document.job.display)
    form.made.connect(port.stock.add)
    form.forgotten.connect(port.stock.offer)
    form.open()


# -- joining -------------------------------------------------------------------------------------


def _join(kind: JoinKind, port: Port) -> None:
    """Join two selected members at once, or mitre all corners of more; otherwise let the user click
    them one after the other.
    """
    document = port.document
    chosen = [document.job.find(i) for i in document.selection]
    parts = len(chosen) if all(isinstance(one, Part) for one in chosen) else 0
    if parts == 2 or (parts > 2 and kind == "mitre"):
        join = mitre_selected if parts > 2 else partial(join_selected, kind=kind)
        act(port, join(document.job, ids=document.selection))
        port.update()
        return
    port.tools.take(JoinTool(document, kind), f"join.{kind}")


# -- the whole weldment --------------------------------------------------------------------------


def _page(number: int, port: Port) -> None:
    port.pages.show("weldment", number)


def _copy_cuts(port: Port) -> None:
    from gridjig.sheets.lists.cut_list import cut_list, to_text  # noqa: PLC0415 - it counts with arrays

    cuts = cut_list(port.document.job)
    QGuiApplication.clipboard().setText(to_text(cuts))
    port.say(f"{len(cuts.lines)} lines of the cut list are on the clipboard as a table.")


def _save_cuts(port: Port) -> None:
    from gridjig.sheets.lists.cut_list import cut_list, to_csv  # noqa: PLC0415 - it counts with arrays

    job = port.document.job
    path = ask_where(port, f"{job.name} cuts", ".csv", "Save the cut list", CSV_FILTER)
    if path is not None:
        write(port, path, to_csv(cut_list(job)).encode("utf-8-sig"))


def _copy_welds(port: Port) -> None:
    from gridjig.sheets.lists.weld_list import to_text, weld_list  # noqa: PLC0415 - it counts with arrays

    welds = weld_list(port.document.job)
    QGuiApplication.clipboard().setText(to_text(welds))
    port.say(f"{len(welds.lines)} lines of the weld list are on the clipboard as a table.")


def _save_welds(port: Port) -> None:
    from gridjig.sheets.lists.weld_list import to_csv, weld_list  # noqa: PLC0415 - it counts with arrays

    job = port.document.job
    path = ask_where(port, f"{job.name} welds", ".csv", "Save the weld list", CSV_FILTER)
    if path is not None:
        write(port, path, to_csv(weld_list(job)).encode("utf-8-sig"))


# -- several weldments ---------------------------------------------------------------------------


def _beside(port: Port) -> None:
    port.pages.show_beside()


def _new(port: Port) -> None:
    """Start a weldment; the next part that is drawn goes into it."""
    document = port.document
    if not parts_of(document.job, document.weldment):
        port.say("This weldment has no part yet; draw into it first.")
        return
    job, made = add_weldment(document.job)
    with document.together():
        document.do(job, "Start a weldment", ())
        document.work_on(made)
    port.say(f"{weldment_title(job, made)}: what is drawn next goes into it.")


def _duplicate(port: Port) -> None:
    document = port.document
    originals = things(document.job, {p.id for p in parts_of(document.job, document.weldment)})
    made = paste(document.job, document.placed_pieces, originals)
    if isinstance(made, Commit):
        copied = weldment_title(made.job, document.weldment)
        fresh = capital(weldment_title(made.job, made.job.weldments[-1].id))
        made = structs.replace(made, said=f"{fresh} is a copy of {copied}, beside it.")
    act(port, made)
    port.pages.reveal(document.selection)


def _split(port: Port) -> None:
    document = port.document
    chosen = {part.id for part in document.job.parts if part.id in document.selection}
    if not chosen:
        port.say("Select the parts that are to be a weldment of their own first.")
        return
    job, made = add_weldment(document.job)
    document.do(move_parts(job, chosen, made), "Make a weldment of the selected parts", chosen)
    port.say(f"{weldment_title(document.job, made)} has {len(chosen)} parts.")


def _delete(port: Port) -> None:
    document = port.document
    name = weldment_title(document.job, document.weldment)
    document.do(remove_weldment(document.job, document.weldment), f"Delete {name}", ())
    port.say(f"{name} is deleted with its parts. Undo brings it back.")


# -- when it is possible -------------------------------------------------------------------------


def _no_part(now: Situation) -> str:
    return "" if now.parts else "The weldment has no parts yet; draw a member first"


def _no_two_parts(now: Situation) -> str:
    return "" if now.parts > 1 else "A joint needs two parts; draw them first"


def _no_part_chosen(now: Situation) -> str:
    return "" if now.chosen_parts else "Select parts of a weldment first"


def _only_one(now: Situation) -> str:
    return "" if now.weldments > 1 else "There is only one weldment; select its parts instead"


_JOIN = "Cut and join"
_MEASURE = "Dimensions"
_SEAMS = "Joints and welds"
_LISTS = "Copy or save a list"
_SEVERAL = "New or copied weldment"
"""Submenus: on a screen 800 px high the whole menu is seen at once, also in letters of 200 %."""


# fmt: off
WELDMENT: tuple[Action, ...] = (
    tool_action("tool.member", "Member", "member", ("M",),
                "Draw tube, angle, flat or bar by two points and a side", "Work", _member,
                row=True),
    tool_action("tool.rectangle", "Plate", "outline", ("O",),
                "Draw a rectangular plate by two corners", "Work",
                lambda port: _outline(port, "rectangle", "tool.rectangle"), row=True),
    tool_action("tool.polygon", "Plate by corners", "polygon", ("G",),
                "Draw a plate corner by corner", "Work",
                lambda port: _outline(port, "polygon", "tool.polygon")),
    tool_action("join.trim", "Cut to fit", "trim", ("E",),
                "Cut a member at a face of another part, or extend it to that face", "Work",
                partial(_join, "trim"), _no_two_parts, row=True, after_line=True, submenu=_JOIN),
    tool_action("join.mitre", spelled("Mitre"), "mitre", ("J",),
                "Cut two members along the line from corner to corner; with more selected, at"
                " all their corners", "Work",
                partial(_join, "mitre"), _no_two_parts, row=True, submenu=_JOIN),
    tool_action("join.butt", "Butt", "butt", ("U",),
                "Run one member through and butt the other; again with both selected: the other"
                " way", "Work", partial(_join, "butt"), _no_two_parts, submenu=_JOIN),
    tool_action("join.cope", "Cope", "cope", (),
                "Cut a member's end to fit around a round tube", "Work",
                partial(_join, "cope"), _no_two_parts, on_plan=False, submenu=_JOIN),
    tool_action("tool.notch", "Notch", "notch", ("N",),
                "Cut a notch in a corner at a member's end", "Work", _notch, _no_part,
                submenu=_JOIN),
    tool_action("tool.dimension", "Dimension", "dimension", ("D",),
                "Measure between two faces; type the distance to move the second", "Work",
                _dimension, _no_part, row=True, submenu=_MEASURE),
    Action("weldment.chain", "Chain of dimensions", "chain", (),
           "Turn a chain into distances from its datum, and check that it closes", "Work",
           OpenForm("shop.chain_form", "open_chain"), opens=True, submenu=_MEASURE),
    Action("weldment.section", "Custom section", "section", (),
           "Add your own stock size to the list, or remove one", "Work", _own_section,
           opens=True, after_line=True),
    Action("weldment.starter", "Standard weldment", "starter", ("Ctrl+Shift+N",),
           "Frame, gate, bracket, trestle, ladder, truss or ring from a few sizes", "Work",
           OpenForm("starter.starter_form", "open_starter"), opens=True),
    Action("weldment.cuts", "Cut list", "cuts", ("Ctrl+6",),
           "What to saw from which stock, with end cuts, hands and weights", "Work",
           partial(_page, 0), _no_part, after_line=True),
    Action("weldment.joints", "Joints", "joints", ("Ctrl+7",),
           "Where members meet, how long, at what angle, and how they are welded", "Work",
           partial(_page, 1), _no_two_parts, submenu=_SEAMS),
    Action("weldment.order", "Weld order", "joints", (),
           "In which order the joints are tacked and welded: proposed, or the shop's own",
           "Work", partial(_page, 6), _no_two_parts, submenu=_SEAMS),
    Action("weldment.faces", "Stops", "datum", ("Ctrl+8",),
           "Datum faces, and the gap in front of each face", "Work",
           partial(_page, 2), _no_part),
    Action("weldment.where", "Layout", "where", ("Ctrl+9",),
           "Move it as one, or find where it needs the least packing", "Work",
           partial(_page, 3), _no_part),
    Action("weldment.way", "Way up", "way-up", ("Ctrl+Shift+U",),
           "What lies flush each way up; face down, opposite hand", "Work",
           partial(_page, 4), _no_part),
    Action("cuts.copy", "Copy the cut list", "copy", (),
           "Put the cut list on the clipboard as a table", "Work", _copy_cuts, _no_part,
           after_line=True, submenu=_LISTS),
    Action("cuts.save", "Save the cut list as CSV", "table-out", (),
           "Write the cut list to a file for a spreadsheet", "Work", _save_cuts,
           _no_part, opens=True, submenu=_LISTS),
    Action("welds.copy", "Copy the weld list", "copy", (),
           "Put the weld list on the clipboard as a table", "Work", _copy_welds,
           _no_two_parts, submenu=_LISTS),
    Action("welds.save", "Save the weld list as CSV", "table-out", (),
           "Write every side of every seam to a file that spreadsheets read", "Work",
           _save_welds, _no_two_parts, opens=True, submenu=_LISTS),
    Action("weldment.list", "Weldments", "list", ("Ctrl+Shift+W",),
           "What this job builds: each weldment with its number, hand and parts", "Work",
           partial(_page, 5), submenu=_SEVERAL),
    Action("weldment.beside", "Other hand beside it", "flip", (),
           "Put the opposite hand of the weldment beside it, with its pieces; shown first",
           "Work", _beside, _no_part, submenu=_SEVERAL),
    Action("weldment.new", "New weldment", "new", (),
           "Start another weldment in this job; what is drawn next goes into it", "Work", _new,
           submenu=_SEVERAL),
    Action("weldment.duplicate", "Duplicate the weldment", "copy", (),
           "Put a copy of the current weldment beside it, as a weldment of its own", "Work",
           _duplicate, _no_part, submenu=_SEVERAL),
    Action("weldment.split", "Selected parts into a new weldment", "new", (),
           "Make the selected parts a weldment of their own, where they lie", "Work", _split,
           _no_part_chosen, submenu=_SEVERAL),
    Action("weldment.delete", "Delete the weldment", "delete", (),
           "Delete the current weldment with its parts; pieces stay", "Work", _delete,
           _only_one, submenu=_SEVERAL),
)
# fmt: on
