"""`gridjig chart`: the shop chart of the angles that two equal pins make on a table."""

import argparse
import math
from pathlib import Path

from gridjig.angle.question import bases_within
from gridjig.geometry.page import SheetPage
from gridjig.sheets.lists.angle_chart import chart_csv
from gridjig.sheets.setup.paper import PAPERS, Paper
from gridjig.sheets.setup.wall_chart import TITLE, wall_chart
from gridjig.solve.angles.chart import angle_chart
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.packed_chart import packed_chart
from gridjig.words.angle_fault_text import angle_fault_text

from .angle import one_of
from .given import TABLE_HELP, length, the_table_and_rack
from .output_files import FORCE_HELP, require_free, write_out
from .plain import one_line
from .poses import display_of
from .verb import Refusal, Verb


def arguments(parser: argparse.ArgumentParser) -> None:
    """Add the table, the limits of the base, and the file to write."""
    parser.add_argument("--table", metavar="NAME", required=True, help=TABLE_HELP)
    parser.add_argument(
        "--base", nargs=2, metavar=("FROM", "TO"), help="how far apart the two holes may be"
    )
    parser.add_argument(
        "--paper",
        type=one_of(*PAPERS),
        metavar="SIZE",
        help=f"the page size, {', '.join(PAPERS)} (default: by the table's unit)",
    )
    parser.add_argument("out", metavar="OUT", help="the file to write: .pdf or .csv")
    parser.add_argument("--force", action="store_true", help=FORCE_HELP)


def run(chosen: argparse.Namespace) -> None:
    """Write the chart."""
    out = Path(chosen.out)
    kind = out.suffix.lower()
    if kind not in (".pdf", ".csv"):
        raise Refusal(f"{out.name} must end in .pdf or .csv.")
    require_free(out, chosen.force)
    table, rack = the_table_and_rack(chosen.table, None)
    display = display_of(table)
    typed = [length(text, display) for text in chosen.base or ()]
    low, high = bases_within(math.inf, *(typed or (None, None)))
    try:
        chart = angle_chart(table, low, high)
    except AngleFault as fault:
        raise Refusal(angle_fault_text(fault, table, display)) from fault
    packed = packed_chart(chart, rack)
    if kind == ".csv":
        data = chart_csv(chart, packed).encode("utf-8")
    else:
        inches = display.unit != "millimetres"
        paper: Paper = chosen.paper or ("Letter" if inches else "A4")
        data = _pdf(wall_chart(chart, packed, rack, display, paper))
    write_out(out, data)
    print(f"{one_line(str(out), 200)}: {len(chart.rows)} angles of {one_line(table.name)}")


def _pdf(pages: tuple[SheetPage, ...]) -> bytes:
    from gridjig.qt.messages import quietly  # noqa: PLC0415 - only a page needs Qt
    from gridjig.qt.paint.sheet_pdf import Unpainted, pages_pdf  # noqa: PLC0415

    try:
        with quietly():
            return pages_pdf(TITLE, pages)
    except Unpainted as fault:
        raise Refusal(str(fault)) from fault


VERB = Verb("chart", "write the shop chart of attainable angles as PDF or CSV", arguments, run)
