"""`gridjig sheet`: the setup sheet of a job as PDF, with the job inside."""

import argparse
import re
import time
from pathlib import Path
from typing import get_args

from gridjig.files.jobs.job_file import write_job
from gridjig.files.jobs.sheet_file import MEDIA_TYPE, SHEET, attachment_name
from gridjig.model import Job
from gridjig.sheets.setup.layout import Unfit
from gridjig.sheets.setup.paper import PAPERS, Orientation, SheetChoices
from gridjig.sheets.setup.sheet import SetupSheet, best_held, setup_sheet
from gridjig.units import format_scale

from .angle import one_of
from .given import JOB_HELP, the_job
from .output_files import FORCE_HELP, require_free, write_out
from .plain import one_line
from .verb import Refusal, Verb

ABOUT = (
    "Write the setup sheet of JOB to OUT: the plan to a standard scale, the pull list, each piece"
    " in the order of setting, readings that prove the set-up, cut list, tacks, welds, release, the"
    " first-article form, what the checks say and cautions. The job itself lies inside the PDF:"
    " `gridjig open-sheet` takes it out, and the window opens it."
)
_SCALE = re.compile(r"1 ?: ?([0-9]{1,5}(?:\.[0-9]{1,3})?)")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB OUT.pdf and how the sheet is to be."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument("out", metavar="OUT", help="the file to write, .pdf")
    parser.add_argument(
        "--paper",
        type=one_of(*PAPERS),
        metavar="P",
        help=f"{', '.join(PAPERS)} (default: Letter for a job in inches, else A4)",
    )
    parser.add_argument(
        "--orientation",
        type=one_of(*get_args(Orientation)),
        metavar="O",
        help="portrait or landscape (default: the one with the larger scale)",
    )
    parser.add_argument(
        "--scale", metavar="S", help="such as 1:10 (default: the largest of ISO 5455 that fits)"
    )
    parser.add_argument(
        "--both-units", action="store_true", help="give mm and inches, one of them in brackets"
    )
    parser.add_argument("--large", action="store_true", help="large print, for arm's length")
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)


def run(chosen: argparse.Namespace) -> None:
    """Write the sheet."""
    out = Path(chosen.out)
    if out.suffix.lower() != SHEET:
        raise Refusal(f"{one_line(out.name)} must end in {SHEET}.")
    job = the_job(chosen.job)
    require_free(out, chosen.force)
    inches = job.display.unit != "millimetres"
    choices = SheetChoices(
        paper=chosen.paper or ("Letter" if inches else "A4"),
        orientation=chosen.orientation or "landscape",
        scale=None if chosen.scale is None else _scale(chosen.scale),
        units="both" if chosen.both_units else "job",
        large=chosen.large,
    )
    try:
        if chosen.orientation is None:
            choices = best_held(job, choices)
        made = setup_sheet(job, choices, time.strftime("%Y-%m-%d"))
    except Unfit as fault:
        raise Refusal(str(fault)) from fault
    write_out(out, _pdf(made, job))
    many = "1 page" if len(made.pages) == 1 else f"{len(made.pages)} pages"
    name = one_line(str(out), 200)
    print(f"{name}: {many} {choices.paper}, scale {format_scale(made.scale)}, the job inside")


def _scale(text: str) -> float:
    found = _SCALE.fullmatch(text.strip())
    if found is None or not float(found[1]) > 0:
        raise Refusal(f"{one_line(text)} is not a scale; give one such as 1:10.")
    return float(found[1])


def _pdf(made: SetupSheet, job: Job) -> bytes:
    from gridjig.qt.messages import quietly  # noqa: PLC0415 - only painting needs Qt
    from gridjig.qt.paint.sheet_pdf import Unpainted, pages_pdf  # noqa: PLC0415

    inside = (attachment_name(job), write_job(job), MEDIA_TYPE)
    try:
        with quietly():
            return pages_pdf(made.title, made.pages, inside)
    except Unpainted as fault:
        raise Refusal(str(fault)) from fault


VERB = Verb("sheet", "write the setup sheet of a job as PDF", arguments, run, ABOUT)
