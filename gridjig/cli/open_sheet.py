"""`gridjig open-sheet`: the job out of a setup sheet."""

import argparse
from pathlib import Path

from gridjig.files.format.faults import ReadFault
from gridjig.files.jobs.job_file import SUFFIX, read_job
from gridjig.files.jobs.sheet_file import SHEET, bytes_in_sheet

from .output_files import FORCE_HELP, require_free, write_out
from .plain import one_line
from .verb import Refusal, Verb

ABOUT = (
    "Take the job out of SHEET.pdf, a setup sheet that GridJig saved, and write it to OUT: the same"
    " job, byte for byte."
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add SHEET.pdf OUT.gridjig [--force]."""
    parser.add_argument("sheet", metavar="SHEET", help="a setup sheet, .pdf")
    parser.add_argument("out", metavar="OUT", help="the job file to write, .gridjig")
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)


def run(chosen: argparse.Namespace) -> None:
    """Write the job that lies in the sheet."""
    sheet, out = Path(chosen.sheet), Path(chosen.out)
    if sheet.suffix.lower() != SHEET:
        raise Refusal(f"{one_line(sheet.name)} must end in {SHEET}: it is a setup sheet.")
    if out.suffix.lower() != SUFFIX:
        raise Refusal(f"{one_line(out.name)} must end in {SUFFIX}.")
    require_free(out, chosen.force)
    try:
        data = bytes_in_sheet(sheet)
        job = read_job(data, sheet)
    except ReadFault as fault:
        raise Refusal(str(fault)) from fault
    write_out(out, data)
    print(f"{one_line(str(out), 200)}: {one_line(job.name)}, out of {one_line(sheet.name)}")


VERB = Verb("open-sheet", "take the job out of a setup sheet", arguments, run, ABOUT)
