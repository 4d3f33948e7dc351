"""`gridjig cuts`: what to saw for a job's weldment, from which stock, with which cuts."""

import argparse
from collections.abc import Sequence

from gridjig.cli.outputs.cuts import CutsOutput, cuts_output
from gridjig.model import Display
from gridjig.sheets.lists.bar_list import (
    BarList,
    SectionBars,
    bar_list,
    buy_words,
    offcut_words,
    piece_words,
    proof_words,
    sawing_words,
    uncut_words,
)
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
from gridjig.units import format_count, format_length, format_mass, mass_words

from .columns import columns
from .given import shown, the_job, the_weldment, weldment_argument
from .listing import list_arguments, print_list
from .verb import Verb

ABOUT = (
    "Print the cut list of JOB: each member with its section, length to the long point, both end "
    "cuts, count, hand and mass; plates by size; the weldments and how many of each are made; the "
    "total for each section; and the bars to buy, with how to cut each. Saw angles are as the "
    "saw's scale reads them: 0 is a square cut."
)
_NUMBERS = frozenset({3, 4, 6, 8, 9})


def as_text(cuts: CutList, bars: BarList) -> str:
    """Return the list as a text table, with the total above it, and stock and bars below."""
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
    if bars.sections:
        text += f"\n\nBars, {sawing_words(bars)}:"
        for one in bars.sections:
            text += "\n" + "\n".join(_bars(one, bars))
    return text


def _bars(one: SectionBars, bars: BarList) -> list[str]:
    """Return the bars of a section as lines: what to buy, then how to cut each."""
    shown = bars.display
    lines = [f"  {one.section} {one.kind}: buy {buy_words(one, shown)}; {proof_words(one, shown)}"]
    for cut in one.cuts:
        had = " on hand" if cut.on_hand else ""
        pieces = "; ".join(piece_words(piece, shown) for piece in cut.pieces)
        lines.append(
            f"    {format_count(cut.count)} × {format_length(cut.length, shown)}{had}:"
            f" {pieces}; {offcut_words(cut, shown)}"
        )
    words = uncut_words(one, shown)
    return [*lines, f"    {words}."] if words else lines


def _lowered(heads: Sequence[str], display: Display) -> list[str]:
    return [mass_words(h[:1].lower() + h[1:], display) for h in heads]


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add JOB [--weldment NAME] [--json | --csv]."""
    list_arguments(parser, "cuts", "print comma-separated values, lengths in mm, masses in kg")
    weldment_argument(parser)


def run(chosen: argparse.Namespace) -> None:
    """Print the list."""
    job = shown(the_job(chosen.job), chosen)
    wanted = the_weldment(job, chosen)
    listed = cut_list(job, wanted)

    def bars() -> BarList:
        return bar_list(job, wanted)

    print_list(
        listed,
        chosen,
        lambda cuts: cuts_output(cuts, bars()),
        to_csv,
        lambda cuts: as_text(cuts, bars()),
    )


VERB = Verb("cuts", "print the cut list of a job's weldment", arguments, run, ABOUT, (CutsOutput,))
