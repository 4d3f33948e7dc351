"""`gridjig rack`: takes the rack out of a job, into a rack file of its own."""

import argparse
from pathlib import Path

from gridjig.files.jobs.rack_file import SUFFIX, encode_rack
from gridjig.units import format_count

from .given import JOB_HELP, shown, the_job
from .output_files import FORCE_HELP, require_free, write_out
from .plain import one_line
from .verb import Refusal, Verb

ABOUT = (
    "Write the rack of JOB to OUT, a .gridrack file: every kind of piece with its count and bin,"
    " and the walking order. Another job can import it, and --rack takes it."
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB OUT [--force]."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument("out", metavar="OUT", help=f"the {SUFFIX} file to write")
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)


def run(chosen: argparse.Namespace) -> None:
    """Write the rack file and print what is in it."""
    out = Path(chosen.out)
    if out.suffix != SUFFIX:
        raise Refusal(f"{out.name} must end in {SUFFIX}, as rack files do.")
    require_free(out, chosen.force)
    job = the_job(chosen.job)
    rack = shown(job.rack, chosen)
    count = len(rack.pieces)
    kinds = "1 kind of piece" if count == 1 else f"{format_count(count)} kinds of piece"
    owned = format_count(sum(piece.owned for piece in rack.pieces))
    write_out(out, encode_rack(job.rack))
    print(f"{rack.name}: {kinds}, {owned} on hand\nWritten: {one_line(str(out), 200)}")


VERB = Verb("rack", "write the rack of a job to a rack file", arguments, run, ABOUT)
