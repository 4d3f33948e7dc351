"""`gridjig repeat`: an old job on today's table and rack, or picked again on another table."""

import argparse
from pathlib import Path

from gridjig.files.jobs.job_file import SUFFIX, write_job
from gridjig.model import Job, Table
from gridjig.rack import Rack
from gridjig.repeat.repick import repick
from gridjig.repeat.today import check_today
from gridjig.sheets.text.change_text import change_lines, changes_text
from gridjig.sheets.text.repeat_text import (
    repicked_lines,
    repicked_summary,
    today_lines,
    today_summary,
)

from .given import JOB_HELP, TABLE_HELP, the_job, the_rack, the_table_and_rack
from .output_files import FORCE_HELP, require_free, write_out
from .plain import escaped, one_line
from .verb import Refusal, Verb

RACK_HELP = (
    "the rack of today: a starter rack, or a .gridrack or .gridjig file with one in it (default:"
    " that of the .gridjig file that --table names, else the job's own)"
)

ABOUT = (
    "Check an old JOB against the table and the rack of today: what no longer holds. With --pick, "
    "pick its set-up again on that table, which may have another pitch, with the same datums, and "
    "write it; what could not be kept is named."
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB, the table and the rack, and the file to write."""
    parser.add_argument("job", metavar="JOB", help=JOB_HELP)
    parser.add_argument("--table", metavar="NAME", help=TABLE_HELP)
    parser.add_argument("--rack", metavar="NAME", help=RACK_HELP)
    parser.add_argument(
        "--pick", metavar="OUT", help=f"pick the set-up again and write it, a {SUFFIX} file"
    )
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)


def run(chosen: argparse.Namespace) -> None:
    """Print what no longer holds, or pick again."""
    if chosen.table is None and chosen.rack is None:
        raise Refusal("Give the --table or the --rack of today, or both.")
    job = the_job(chosen.job)
    table = None if chosen.table is None else the_table_and_rack(chosen.table, None)[0]
    rack = _rack(chosen, table)
    if chosen.pick is None:
        print(_checked(job, table, rack))
        return
    out = Path(chosen.pick)
    if out.suffix != SUFFIX:
        raise Refusal(f"{one_line(out.name)} must end in {SUFFIX}.")
    require_free(out, chosen.force)
    made = repick(job, table or job.table, rack)
    write_out(out, write_job(made.job))
    lines = [f"{one_line(str(out), 200)}: {repicked_summary(made)}"]
    lines += [f"- {escaped(line, keep='')}" for line in repicked_lines(job, made)]
    print("\n".join(lines))


def _rack(chosen: argparse.Namespace, table: Table | None) -> Rack | None:
    """Return the rack of today: as named, or that of the job file that the table is from."""
    if chosen.rack is not None:
        return the_rack(chosen.rack)
    from_job = table is not None and chosen.table.endswith(SUFFIX)
    return the_job(chosen.table).rack if from_job else None


def _checked(job: Job, table: Table | None, rack: Rack | None) -> str:
    found = check_today(job, table, rack)
    text = [f"{one_line(job.name)}: {today_summary(found)}"]
    text += [f"- {escaped(line, keep='')}" for line in today_lines(job, found)]
    changed = [line for line in change_lines(job, found.job) if line.difference in found.changes]
    if changed:
        told = escaped(changes_text(changed), keep="\n")
        text += ["", "What is different:", told]
    return "\n".join(text)


VERB = Verb("repeat", "check an old job against today's table and rack", arguments, run, ABOUT)
