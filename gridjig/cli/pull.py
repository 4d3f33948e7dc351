"""`gridjig pull`: what to fetch from the rack for a job, in walking order."""

import argparse

from gridjig.cli.outputs.pull import PullOutput, pull_output
from gridjig.sheets.lists.piece_settings import setting_words
from gridjig.sheets.lists.pull_list import PullLine, PullList, pull_list, to_csv
from gridjig.units import format_mass

from .columns import columns
from .given import shown, the_job
from .listing import list_arguments, print_list
from .verb import Verb

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
    list_arguments(parser, "pull")


def run(chosen: argparse.Namespace) -> None:
    """Print the list."""
    listed = pull_list(shown(the_job(chosen.job), chosen))
    print_list(listed, chosen, pull_output, to_csv, as_text)


VERB = Verb(
    "pull", "print what to pull from the rack for a job", arguments, run, ABOUT, (PullOutput,)
)
