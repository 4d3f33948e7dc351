"""`gridjig chart`: the shop chart of the angles that two equal pins make on a table."""

import argparse
import math
from pathlib import Path

from gridjig.session.angle_question import bases_within
from gridjig.sheets.chart import chart_csv, chart_sheet
from gridjig.solve.angle_back import angle_chart
from gridjig.solve.wanted import AngleFault

from .angle import one_of
from .given import TABLE_HELP, length, the_table_and_rack
from .poses import display_of
from .verb import Refusal, Verb


def arguments(parser: argparse.ArgumentParser) -> None:
    """The table, the limits of the base, and the file to write."""
    parser.add_argument("--table", metavar="NAME", required=True, help=TABLE_HELP)
    parser.add_argument(
        "--base", nargs=2, metavar=("FROM", "TO"), help="how far apart the two holes may be"
    )
    parser.add_argument(
        "--paper",
        type=one_of("A4", "Letter"),
        metavar="SIZE",
        help="the page, A4 or Letter; without it, by the table's unit",
    )
    parser.add_argument("out", metavar="OUT", help="the file to write: .pdf or .csv")


def run(chosen: argparse.Namespace) -> None:
    """Write the chart."""
    out = Path(chosen.out)
    kind = out.suffix.lower()
    if kind not in (".pdf", ".csv"):
        raise Refusal(f"{out.name} must end with .pdf or .csv, so that it is clear what to write.")
    table, _ = the_table_and_rack(chosen.table, None)
    display = display_of(table)
    typed = [length(text, display) for text in chosen.base or ()]
    low, high = bases_within(math.inf, *(typed or (None, None)))
    try:
        chart = angle_chart(table, low, high, display=display)
    except AngleFault as fault:
        raise Refusal(str(fault)) from fault
    try:
        if kind == ".csv":
            out.write_text(chart_csv(chart), encoding="utf-8", newline="")
        else:
            from gridjig.qt.pdf_chart import write_chart  # noqa: PLC0415 - only a page needs Qt

            inches = display.unit != "millimetres"
            write_chart(
                chart_sheet(chart, display), out, chosen.paper or ("Letter" if inches else "A4")
            )
    except OSError as error:
        why = error.strerror or "it cannot be written there"
        raise Refusal(f"{out} is not written: {why}; choose another place.") from error
    print(f"{out}: {len(chart.rows)} angles of {table.name}")


VERB = Verb("chart", "write the shop chart of attainable angles as PDF or CSV", arguments, run)
