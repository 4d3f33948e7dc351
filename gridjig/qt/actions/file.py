"""The actions of the File menu: reading and writing jobs, drawings and lists."""

from pathlib import Path

from PySide6.QtGui import QGuiApplication

from gridjig.files.format.faults import SaveFault
from gridjig.files.storage.locations import proposed_path
from gridjig.files.storage.saving import save as save_bytes
from gridjig.qt.dialogs.questions import CSV_FILTER, with_suffix
from gridjig.qt.forms.drawing.drawing_files import DRAWING_FILTER
from gridjig.sheets.lists.pull_list import pull_list, to_csv, to_text
from gridjig.units.spelling import spelled

from .action import Action, Situation
from .port import Port


def write(port: Port, path: Path, data: bytes) -> None:
    """Write a file and report it, or report why it could not be written."""
    try:
        save_bytes(path, data)
    except SaveFault as fault:
        port.dialogs.problem(f"“{path.name}” was not saved", str(fault))
        return
    port.say(f"{path.name} is saved.")


def ask_where(port: Port, name: str, suffix: str, title: str, kinds: str) -> Path | None:
    """Ask where to save a file; None if the user cancels."""
    proposed = str(proposed_path(port.files.folder, name, suffix))
    chosen = port.dialogs.save_path(proposed, title, kinds)
    return with_suffix(chosen, suffix) if chosen else None


def _bring_in(port: Port) -> None:
    chosen = port.dialogs.open_path(port.files.folder, "Import a drawing", DRAWING_FILTER)
    if chosen:
        port.dialogs.drawing(Path(chosen))


def _copy_pull_list(port: Port) -> None:
    pulled = pull_list(port.document.job)
    QGuiApplication.clipboard().setText(to_text(pulled))
    port.say(f"{len(pulled.lines)} lines are on the clipboard as a table.")


def _save_pull_list(port: Port) -> None:
    job = port.document.job
    path = ask_where(port, f"{job.name} pull list", ".csv", "Save the pull list", CSV_FILTER)
    if path is not None:
        # The byte order mark tells spreadsheets that the file is UTF-8.
        write(port, path, to_csv(pull_list(job)).encode("utf-8-sig"))


def _setup_sheet(port: Port) -> None:
    from gridjig.qt.forms.job.sheet_form import open_sheet_form  # noqa: PLC0415 - not needed to start

    asks = port.dialogs
    open_sheet_form(
        asks.parent, port.document, asks, port.files.folder, port.say, port.checks.report
    )


def _changes(port: Port) -> None:
    from gridjig.qt.forms.job.changes_form import ChangesForm  # noqa: PLC0415 - not needed to start

    asks = port.dialogs
    form = ChangesForm(asks.parent, port.document, asks, port.files.folder, asks.appearance)
    form.accepted.connect(lambda: port.say("The changes are in the notes of the job."))
    form.open()


def _export(port: Port) -> None:
    from gridjig.qt.forms.job.export_form import ExportForm  # noqa: PLC0415 - as above

    asks = port.dialogs
    folder = port.files.folder
    ExportForm(
        asks.parent, port.document, asks, folder, asks.appearance, port.say, port.view.picture
    ).open()


def _save(port: Port) -> None:
    port.files.save()


def _save_as(port: Port) -> None:
    port.files.save_as()


def _open(port: Port) -> None:
    port.files.ask_open()


def _unsaved(now: Situation) -> str:
    return "" if now.modified or not now.in_a_file else "Everything is saved"


def _not_ours(now: Situation) -> str:
    return "" if now.read_only else "The job is already open for editing"


def _things_there(now: Situation) -> str:
    return "" if now.things else "No piece is on the table yet"


# fmt: off
FILE: tuple[Action, ...] = (
    Action("file.new", "New", "new", ("Ctrl+N",), "Choose a table and a rack and start a job",
           "File", lambda port: port.dialogs.new_job(), opens=True, row=True),
    Action("file.open", "Open", "open", ("Ctrl+O",), "Open a job from a file", "File", _open,
           opens=True, row=True),
    Action("file.drawing", "Import drawing", "outline", ("Ctrl+I",),
           "Make weldment parts from a DXF or SVG drawing", "File", _bring_in, opens=True),
    Action("file.save", "Save", "save", ("Ctrl+S",), "Save the job", "File", _save,
           _unsaved, row=True),
    Action("file.save_as", "Save as", "save-as", ("Ctrl+Shift+S",),
           "Save the job under another name", "File", _save_as, opens=True),
    Action("file.sheet", "Setup sheet", "sheet", ("Ctrl+P",),
           "Preview, print or save as PDF everything that someone needs to build this set-up",
           "File", _setup_sheet, opens=True),
    Action("file.changes", "Changes since the last save", "", (),
           "What changed since the last save or from another file, for the notes of a revision",
           "File", _changes, opens=True),
    Action("file.export", "Export", "table-out", ("Ctrl+E",),
           "The set-up or the table as DXF or SVG, a list as CSV, the plan as a picture", "File",
           _export, opens=True),
    Action("file.take_over", "Take over for editing", "open", (),
           "Edit a job that was opened read-only", "File",
           lambda port: port.files.take_over(), _not_ours, opens=True),
    Action("pull.copy", "Copy the pull list", "copy", (),
           "Put the pull list on the clipboard as a table", "File", _copy_pull_list,
           _things_there, after_line=True, submenu="Copy or save the pull list"),
    Action("pull.save", "Save the pull list as CSV", "table-out", (),
           "Write the pull list to a file for a spreadsheet", "File", _save_pull_list,
           _things_there, opens=True, submenu="Copy or save the pull list"),
    Action("file.start", "Start page", "new", (), "Samples, a new job, recent jobs",
           "File", lambda port: port.dialogs.start_page(), after_line=True),
    Action("settings", "Settings", "settings", ("Ctrl+,",),
           spelled("Unit, colours, glove mode, wheel, screen size, text size, autosave"), "File",
           lambda port: port.dialogs.settings(), opens=True),
    Action("file.quit", "Quit", "close", ("Ctrl+Q",), "Close the window", "File",
           lambda port: port.close(), after_line=True),
)
# fmt: on
