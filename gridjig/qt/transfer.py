"""Racks and bills going out to files and coming in, with what is said about it."""

from pathlib import Path
from typing import TYPE_CHECKING

from gridjig.edits.rack import replace_rack
from gridjig.files.faults import ReadFault, SaveFault
from gridjig.files.places import proposed_name
from gridjig.files.rackfile import encode_rack, read_rack
from gridjig.files.store import save
from gridjig.sheets.pull import pull_list, to_csv

from .forms.questions import CSV_FILTER, RACK_FILTER, with_suffix

if TYPE_CHECKING:
    from .window import Window


def _write(window: "Window", path: Path, data: bytes) -> None:
    try:
        save(path, data)
    except SaveFault as fault:
        window.questions.problem(f"“{path.name}” is not saved", str(fault))
        return
    window.say(f"{path.name} is saved.")


def _proposed(window: "Window", name: str, suffix: str) -> str:
    return str(Path(window.file.folder) / proposed_name(name, suffix))


def save_bill(window: "Window") -> None:
    """Write what to pull as CSV."""
    job = window.desk.job
    chosen = window.questions.save_path(
        _proposed(window, f"{job.name} pull", ".csv"), "Save what to pull", CSV_FILTER
    )
    if chosen:
        # The mark at the beginning lets spreadsheets see that it is UTF-8.
        _write(window, with_suffix(chosen, ".csv"), to_csv(pull_list(job)).encode("utf-8-sig"))


def export_rack(window: "Window") -> None:
    """Write the job's rack to a file of its own."""
    rack = window.desk.job.rack
    chosen = window.questions.save_path(
        _proposed(window, rack.name, ".json"), "Export the rack", RACK_FILTER
    )
    if chosen:
        _write(window, with_suffix(chosen, ".json"), encode_rack(rack))


def import_rack(window: "Window") -> None:
    """Take the rack of a file in the place of the job's."""
    chosen = window.questions.open_path(window.file.folder, "Import a rack", RACK_FILTER)
    if not chosen:
        return
    path = Path(chosen)
    try:
        rack = read_rack(path)
        job = replace_rack(window.desk.job, rack)
    except (ReadFault, ValueError) as fault:
        window.questions.problem(f"“{path.name}” is not taken over", str(fault))
        return
    window.desk.do(job, f"Import rack {rack.name}")
    window.say(f"The job has the rack {rack.name} now, {len(rack.pieces)} kinds of piece.")
