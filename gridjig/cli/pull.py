"""`gridjig pull`: what to fetch from the rack for a job, in walking order."""

import argparse

from gridjig.cli.outputs.pull import PullOutput, pull_output
from gridjig.sheets.lists.piece_settings import setting_words
from gridjig.sheets.lists.pull_list import PullLine, PullList, pull_list, to_csv
from gridjig.units import format_mass

from .columns import columns
from .given import shown, the_job
from .outputs import as_json
from .verb import JSON_HELP, Verb

ABOUT = (
    "Print the pull list of JOB: what to fetch from the rack, bin by bin in walking order, with "
    "its locking pins,"
    " risers and shims, what the rack is short of, and how each piece is set: its face from the"
    " hole nearest to it, turn, reach and packing in order."
)
HEADINGS = ("bin", "needed", "piece", "size", "short by", "goes in")


def as_text(pulled: PullList) -> str:
    """Return the list as a text table, with the total above it."""
    if not pulled.lines:
        return f"{pulled.job}: nothing to pull, because nothing is placed."
    short = f", short by {pulled.short}" if pulled.short else ""
    mass = format_mass(pulled.mass, pulled.display)
    title = f"{pulled.job}: {pulled.needed} to pull{short}, {mass} in all"
    headings = [heading for heading in HEADINGS if pulled.short or heading != "short by"]
    rows = [headings, *(_row(line, bool(pulled.short)) for line in pulled.lines)]
    settings = [
        (one.holes, line.name, words)
        for line in pulled.lines
        for one in line.settings
        if (words := setting_words(one, pulled.display))
    ]
    table = [("in", "piece", "set to"), *settings]
    below = f"\n\n{columns(table)}" if settings else ""
    return f"{title}\n{columns(rows, right=frozenset({1}))}{below}"


def _row(line: PullLine, with_short: bool) -> list[str]:
    short = [str(line.short or "")] if with_short else []
    holes = ", ".join(line.holes)
    return [line.bin or "no bin", str(line.needed), line.name, line.size, *short, holes]


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB [--json | --csv]."""
    parser.add_argument("job", metavar="JOB", help="a .gridjig file")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help=JSON_HELP.format("pull"))
    form.add_argument("--csv", action="store_true", help="print comma-separated values")


def run(chosen: argparse.Namespace) -> None:
    """Print the list."""
    pulled = pull_list(shown(the_job(chosen.job), chosen))
    if chosen.json:
        print(as_json(pull_output(pulled)))
    elif chosen.csv:
        print(to_csv(pulled).replace("\r\n", "\n"), end="")
    else:
        print(as_text(pulled))


VERB = Verb(
    "pull", "print what to pull from the rack for a job", arguments, run, ABOUT, (PullOutput,)
)
