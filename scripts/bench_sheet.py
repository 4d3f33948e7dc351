"""How fast a setup sheet is made, against drawing the same plan once in the same run.

Run: python scripts/bench_sheet.py [--quick].  Three things are timed on one crowded job, a table of
1,152 holes with 200 pieces, whose checks are known beforehand:

- the sheet: its plan, details and lists composed, and all pages written as a PDF with the job
  inside;
- the plan once: every hole with its address and every piece, composed as for the screen and painted
  on one page of QPdfWriter by the painter of the screen's plan;
- bare calls: a circle and a text a hole, an outline and a number a piece, by QPainter on QPdfWriter
  without anything composed: no widths of lines, no clipping, no places looked for.

The promise is about the first two: the sheet takes at most three times as long as the plan once, or
this exits with 1.  The third is for information, and decides nothing.  Each number is the processor
time of this process, the least of several rounds, the three by turns; on a busy machine the ratio
is up to a tenth worse, as caches are shared.
"""

import argparse
import gc
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QBuffer, QIODevice, QPointF
from PySide6.QtGui import QFont, QGuiApplication, QPainter, QPdfWriter

from gridjig.files.jobs.job_file import write_job
from gridjig.files.jobs.sheet_file import MEDIA_TYPE, attachment_name
from gridjig.geometry.display import Circle, Shape, TextLabel
from gridjig.model import Hole, Job
from gridjig.model.labels import address
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.paint.sheet_pdf import pages_pdf
from gridjig.qt.paint.view import fitted
from gridjig.qt.style.palette import PALETTES
from gridjig.qt.style.theme import Theme
from gridjig.sheets.drawings.plan import draw_placement
from gridjig.sheets.setup.facts import KnownFacts, find_out
from gridjig.sheets.setup.paper import SheetChoices
from gridjig.sheets.setup.sheet import setup_sheet
from tests.sheets.setup.crowded import crowded_job

MOST_RATIO = 3.0
_DPI = 1200


def least_ms(work: Callable[[], object], rounds: int) -> float:
    """Return the least processor time of several rounds, ms."""
    best = float("inf")
    for _ in range(rounds):
        gc.collect()
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best * 1000.0


def _paper() -> tuple[QBuffer, QPdfWriter, QFont]:
    """Return a buffer, a writer of a PDF into it, and the font of both plans."""
    made = QBuffer()
    made.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(made)
    writer.setResolution(_DPI)
    font = QFont("DejaVu Sans")
    font.setPixelSize(10)
    return made, writer, font


def plan_once(job: Job, known: KnownFacts) -> bytes:
    """Paint the plan alone, composed as for the screen."""
    made, writer, font = _paper()
    plotter = Plotter(Theme(PALETTES["print"]), _DPI / 25.4, _DPI / 96, font)
    table = job.table
    shapes: list[Shape] = []
    for row in range(table.rows):
        for col in range(table.columns):
            hole = Hole(col, row)
            shapes.append(Circle(table.at(hole), table.hole_diameter / 2, "hole"))
            label = address(table, hole)
            shapes.append(TextLabel(table.at(hole), label, "graphite", size="small"))
    plots = [plotter.plot(tuple(shapes))]
    for placed in known.placed_pieces.values():
        pin = job.rack.pin_diameter(placed.piece) if placed.piece is not None else 0.0
        plots.append(plotter.plot(draw_placement(placed, table, pin)))
    corner = (table.width, table.depth)
    view = fitted((0.0, 0.0), corner, writer.width(), writer.height(), 100.0)
    with QPainter(writer) as painter:
        plotter.draw(painter, plots, view)
    return bytes(made.data().data())


def bare_once(job: Job, known: KnownFacts) -> bytes:
    """Paint the plan with bare calls: a circle and a text a hole, a polygon and a text a piece."""
    made, writer, font = _paper()
    table = job.table
    with QPainter(writer) as painter:
        scale = writer.width() / table.width
        painter.scale(scale, scale)
        painter.setFont(font)
        for row in range(table.rows):
            for col in range(table.columns):
                x, y = table.at(Hole(col, row))
                radius = table.hole_diameter / 2
                painter.drawEllipse(QPointF(x, y), radius, radius)
                painter.drawText(QPointF(x + radius, y), address(table, Hole(col, row)))
        for number, placed in enumerate(known.placed_pieces.values(), 1):
            for solid in placed.solids:
                painter.drawPolygon([QPointF(*point) for point in solid.points])
            x, y = table.at(placed.placement.seats[0].hole)
            painter.drawText(QPointF(x, y), str(number))
    return bytes(made.data().data())


def sheet(job: Job, known: KnownFacts) -> bytes:
    """Make the whole sheet and its PDF."""
    made = setup_sheet(job, SheetChoices(), "2026-01-01", known)
    return pages_pdf(made.title, made.pages, (attachment_name(job), write_job(job), MEDIA_TYPE))


def main() -> int:
    """Time both and print how they compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer rounds")
    rounds = 3 if parser.parse_args().quick else 7
    program = QGuiApplication.instance() or QGuiApplication(["bench"])
    job = crowded_job()
    known = find_out(job)
    sheet(job, known)
    plan_once(job, known)
    whole = once = bare = float("inf")
    for _ in range(rounds):
        whole = min(whole, least_ms(lambda: sheet(job, known), 1))
        once = min(once, least_ms(lambda: plan_once(job, known), 1))
        bare = min(bare, least_ms(lambda: bare_once(job, known), 1))
    ratio = whole / once
    verdict = "ok" if ratio <= MOST_RATIO else "TOO SLOW"
    print("a table of 1,152 holes with 200 pieces, least processor time:")
    print(f"  the whole setup sheet, as a PDF                     {whole:4.0f} ms")
    print(f"  its plan once, composed and painted on QPdfWriter   {once:4.0f} ms")
    print(f"  its plan once, by bare calls of QPainter            {bare:4.0f} ms")
    print(f"sheet to plan once: {ratio:.1f} times (at most {MOST_RATIO:.0f}): {verdict}")
    print(f"sheet to bare calls: {whole / bare:.1f} times (for information)")
    del program
    return 0 if ratio <= MOST_RATIO else 1


if __name__ == "__main__":
    sys.exit(main())
