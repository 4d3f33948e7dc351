"""Racks and bills going out to files and coming in, with what is said about it."""

from pathlib import Path
from typing import TYPE_CHECKING

from gridjig.files.faults import SaveFault
from gridjig.files.places import proposed_name
from gridjig.files.rackfile import SUFFIX, encode_rack
from gridjig.files.store import save
from gridjig.model import Job
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


def save_cuts(window: "Window") -> None:
    """Write the cut list as CSV."""
    from gridjig.sheets.cuts import cut_list  # noqa: PLC0415 - it counts with arrays
    from gridjig.sheets.cuts import to_csv as cuts_csv  # noqa: PLC0415

    job = window.desk.job
    chosen = window.questions.save_path(
        _proposed(window, f"{job.name} cuts", ".csv"), "Save the cut list", CSV_FILTER
    )
    if chosen:
        _write(window, with_suffix(chosen, ".csv"), cuts_csv(cut_list(job)).encode("utf-8-sig"))


def export_rack(window: "Window") -> None:
    """Write the job's rack to a file of its own."""
    rack = window.desk.job.rack
    chosen = window.questions.save_path(
        _proposed(window, rack.name, SUFFIX), "Export the rack", RACK_FILTER
    )
    if chosen:
        _write(window, with_suffix(chosen, SUFFIX), encode_rack(rack))


def import_rack(window: "Window") -> None:
    """Take the pieces of a rack file, after showing what that adds and changes."""

    def taken(job: Job | None, name: str) -> None:
        if job is None:
            window.say(f"{name} has nothing that the rack has not.")
            return
        window.desk.do(job, f"Import {name}")
        window.say(f"{name} is taken; the rack has {len(job.rack.pieces)} kinds of piece.")

    desk = window.desk
    from .forms.rack_import import ask_import  # noqa: PLC0415 - not needed to start

    ask_import(window, window.questions, window.file.folder, desk.job, window.look, taken)
