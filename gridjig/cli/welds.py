"""`gridjig welds`: every seam of a job's weldment, all round and by sides, size and deposit."""

import argparse

from gridjig.cli.outputs.welds import WeldsOutput, welds_output
from gridjig.sheets.lists.weld_list import (
    HEADINGS,
    WeldList,
    cells,
    made_in_words,
    to_csv,
    totals_in_words,
    weld_list,
)
from gridjig.sheets.text.joint_text import total_words
from gridjig.sheets.text.weld_text import formula_words

from .columns import columns
from .given import shown, the_job, the_weldment, weldment_argument
from .listing import list_arguments, print_list
from .verb import Verb

ABOUT = (
    "Print the weld list of JOB: where parts meet, the weld and its leg, throat or depth, the"
    " length of the seam all round and by sides with what reaches each side as the work lies, the"
    " sum of each kind, and an estimate of the deposit with its formula.  Joints are listed for one"
    " weldment of each sort; the sums are for all that the job makes."
)
_NUMBERS = frozenset({6, 8})


def as_text(welds: WeldList) -> str:
    """Return the list as a text table, with the sums below."""
    one = welds.weldments[0].id if len(welds.weldments) < len(welds.job.weldments) else None
    said = total_words(welds.job, one)
    if not welds.lines:
        return f"{welds.job.name}: {said[:1].lower()}{said[1:]}"
    rows = cells(welds)
    kept = [k for k in range(len(HEADINGS)) if any(row[k] for row in rows)]
    heads = [h[:1].lower() + h[1:] for h in HEADINGS]
    table = [[row[k] for k in kept] for row in (heads, *rows)]
    right = frozenset(at for at, k in enumerate(kept) if k in _NUMBERS)
    text = f"{welds.job.name}: {said}\n{columns(table, right=right)}"
    sums = totals_in_words(welds)
    if sums:
        head = ("weld", "", "length", "volume", "deposit")
        text += "\n\n" + columns([head, *sums], right=frozenset({2, 3, 4}))
    made = made_in_words(welds)
    if made:
        text += f"\n{made}"
    formula = formula_words(welds.totals)
    return f"{text}\n\n{formula}" if formula else text


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB [--weldment NAME] [--json | --csv]."""
    csv_help = "print comma-separated values, one row for each side of a seam, in mm"
    list_arguments(parser, "welds", csv_help)
    weldment_argument(parser)


def run(chosen: argparse.Namespace) -> None:
    """Print the list."""
    job = shown(the_job(chosen.job), chosen)
    listed = weld_list(job, the_weldment(job, chosen))
    print_list(listed, chosen, welds_output, to_csv, as_text)


VERB = Verb(
    "welds", "print the weld list of a job's weldment", arguments, run, ABOUT, (WeldsOutput,)
)
