"""The actions of the Table menu: the table, marks on its holes, and the rack."""

from gridjig.edits.table import size_fault
from gridjig.files.jobs.rack_file import SUFFIX, encode_rack
from gridjig.model import SIZED, Job, MarkedState
from gridjig.qt.dialogs.questions import RACK_FILTER
from gridjig.tools.pick.hole_tool import HoleTool
from gridjig.units import ParseError, parse_length

from .action import Action, OpenForm, tool_action
from .file import ask_where, write
from .port import Port


def mark_holes(port: Port, state: MarkedState, size: str = "") -> str:
    """Mark holes as `state` from now on; `size` is the text as typed, possibly still empty.

    Return what is wrong with the size, and report it; an empty string if nothing is.
    """
    mm, fault = 0.0, ""
    job = port.document.job
    if state in SIZED and not size.strip():
        deep = "deep" if state == "shallow" else "wide"
        fault = f"Type how {deep} the holes are in the size field, and press Enter."
    elif state in SIZED:
        try:
            mm = parse_length(size, job.display.unit)
            fault = size_fault(job.table, state, mm, job.display)
        except ParseError as parse_error:
            fault = str(parse_error)
    port.tools.take(HoleTool(port.document, state, mm, fault), "tool.holes")
    return fault


def _block_holes(port: Port) -> None:
    mark_holes(port, "blocked")


def _import_rack(port: Port) -> None:
    """Import pieces of a rack or job file, after showing what each line would do."""
    from gridjig.qt.forms.rack.rack_import import ask_import  # noqa: PLC0415 - not needed to start

    def taken(job: Job | None, name: str) -> None:
        if job is None:
            port.say(f"{name} has nothing that the rack does not already have.")
            return
        port.document.do(job, f"Import {name}")
        port.say(f"{name} is imported; the rack has {len(job.rack.pieces)} kinds of piece.")

    dialogs = port.dialogs
    ask_import(dialogs.parent, dialogs, port.files.folder, port.document.job, taken)


def _export_rack(port: Port) -> None:
    rack = port.document.job.rack
    path = ask_where(port, f"{port.document.job.name} rack", SUFFIX, "Export the rack", RACK_FILTER)
    if path is not None:
        write(port, path, encode_rack(rack))


def _repeat(port: Port) -> None:
    from gridjig.qt.forms.job.repeat_form import RepeatForm  # noqa: PLC0415 - not needed to start

    asks = port.dialogs
    form = RepeatForm(asks.parent, port.document, asks, port.files.folder, asks.appearance)
    form.accepted.connect(lambda: port.say("The set-up is picked again. Ctrl+Z undoes it."))
    form.open()


# fmt: off
TABLE: tuple[Action, ...] = (
    Action("table.form", "Table", "table", (),
           "Size, holes, addresses and standard tables, with a picture", "Table",
           OpenForm("table.table_form", "open_table"), opens=True),
    tool_action("tool.holes", "Mark holes", "holes", ("H",),
                "Mark holes as blocked, shallow, oversize, damaged or reserved", "Table",
                _block_holes, row=True),
    Action("rack.form", "Rack", "rack", (), "Counts, bins and sizes of the pieces", "Table",
           OpenForm("rack.rack_form", "open_rack"), opens=True, after_line=True),
    Action("rack.import", "Import rack", "open", (), "Import pieces of a rack or job file", "Table",
           _import_rack, opens=True),
    Action("rack.export", "Export rack", "table-out", (), "Write the pieces to a rack file",
           "Table", _export_rack, opens=True),
    Action("table.repeat", "Repeat order", "table", (),
           "What no longer holds on another table or rack; pick the set-up again there", "Table",
           _repeat, opens=True, after_line=True),
)
# fmt: on
