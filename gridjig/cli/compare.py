"""`gridjig compare`: what changed from one job file to another."""

import argparse

from msgspec import structs

from gridjig.cli.outputs.compare import CompareOutput, compare_output
from gridjig.model import Job
from gridjig.sheets.text.change_text import (
    ChangeLine,
    change_lines,
    changes_text,
    count_of_changes,
    whole_words,
)

from .given import the_job
from .outputs import as_json
from .plain import escaped, one_line
from .verb import JSON_HELP, Verb

ABOUT = (
    "Print what changed from the job OLD to the job NEW, such as a revision and the one before:"
    " parts and placed pieces added, removed, moved and by how much, stops set otherwise, welds,"
    " weldments, the table and its marked holes, the rack, names and notes."
)


def as_text(old: Job, new: Job) -> str:
    """Return the changes as text, one line each; of equal jobs, that they are equal."""
    # The jobs are compared as they are: names made safe for a terminal are cut, and so could be
    # equal where the jobs are not.
    lines = [_safe(line) for line in change_lines(old, new)]
    name = one_line(new.name)
    if not lines:
        return f"{name}: nothing changed; the two jobs are equal."
    whole = whole_words(old, new)
    head = f"{name}: {count_of_changes(lines)}" + (f"\n{whole}" if whole else "")
    return f"{head}\n\n{changes_text(lines)}"


def _safe(line: ChangeLine) -> ChangeLine:
    """The line with every text in it on one line and safe for a terminal, but whole."""
    name, group, *said = (escaped(text, keep="") for text in (line.name, line.group, *line.said))
    return structs.replace(line, name=name, group=group, said=tuple(said))


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add OLD NEW [--json]."""
    parser.add_argument("old", metavar="OLD", help="the .gridjig file to compare with")
    parser.add_argument("new", metavar="NEW", help="the .gridjig file to compare")
    parser.add_argument("--json", action="store_true", help=JSON_HELP.format("compare"))


def run(chosen: argparse.Namespace) -> None:
    """Print the changes."""
    old, new = the_job(chosen.old), the_job(chosen.new)
    print(as_json(compare_output(old, new)) if chosen.json else as_text(old, new))


VERB = Verb(
    "compare", "print what changed from one job to another", arguments, run, ABOUT, (CompareOutput,)
)
