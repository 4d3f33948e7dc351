"""`gridjig cuts`: what to saw for a job's weldment, from which stock, with which cuts."""

import argparse
from collections.abc import Sequence

from gridjig.cli.outputs.cuts import CutsOutput, cuts_output
from gridjig.model import Display
from gridjig.sheets.lists.cut_list import (
    HEADINGS,
    WELDMENT_HEADINGS,
    CutList,
    cells,
    cut_list,
    to_csv,
    totals_in_words,
    weldment_cells,
)
from gridjig.units import format_mass, mass_words

from .columns import columns
from .given import shown, the_job, the_weldment, weldment_argument
from .listing import list_arguments, print_list
from .verb import Verb

ABOUT = (
    "Print the cut list of JOB: each member with its section, length to the long point, both end "
    "cuts, count, hand and mass; plates by size; the weldments and how many of each are made; and "
    "the total for each section, kerf not included."
)
_NUMBERS = frozenset({3, 4, 6, 8, 9})


def as_text(cuts: CutList) -> str:
    """Return the list as a text table, with the total above it and the stock below."""
    if not cuts.count:
        return f"{cuts.job}: nothing to cut, because the weldment has no members or plates."
    rows = cells(cuts)
    kept = [k for k in range(len(HEADINGS)) if any(row[k] for row in rows)]
    heads = _lowered(HEADINGS, cuts.display)
    table = [[row[k] for k in kept] for row in (heads, *rows)]
    right = frozenset(at for at, k in enumerate(kept) if k in _NUMBERS)
    text = f"{cuts.job}: {cuts.count} to cut, {format_mass(cuts.mass, cuts.display)} in all\n"
    text += columns(table, right=right)
    made = weldment_cells(cuts)
    if made:
        lowered = _lowered(WELDMENT_HEADINGS, cuts.display)
        text += "\n\n" + columns([lowered, *made], right=frozenset({2, 3, 4, 5}))
    stock = totals_in_words(cuts)
    if stock:
        head = ("stock", "", "total length", mass_words("mass", cuts.display))
        text += "\n\n" + columns([head, *stock], right=frozenset({2, 3}))
    return text


def _lowered(heads: Sequence[str], display: Display) -> list[str]:
    return [mass_words(h[:1].lower() + h[1:], display) for h in heads]


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB [--weldment NAME] [--json | --csv]."""
    list_arguments(parser, "cuts", "print comma-separated values, lengths in mm, masses in kg")
    weldment_argument(parser)


def run(chosen: argparse.Namespace) -> None:
    """Print the list."""
    job = shown(the_job(chosen.job), chosen)
    listed = cut_list(job, the_weldment(job, chosen))
    print_list(listed, chosen, cuts_output, to_csv, as_text)


VERB = Verb("cuts", "print the cut list of a job's weldment", arguments, run, ABOUT, (CutsOutput,))
