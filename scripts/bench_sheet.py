"""How fast a setup sheet is made, against drawing the same plan once in the same run.

Run: python scripts/bench_sheet.py [--quick].  Prints one line for the promise and exits with 1 if
it is missed: the whole sheet of a table of 1,152 holes with 200 pieces (plan, details, lists, PDF
with the job inside) against its plan alone: the display lists of the screen, every hole with its
address, painted once with QPdfWriter by the screen's own painter.  What was found out about the job
is known in both.  Each number is the processor time of this process, the least of several rounds,
the two by turns.

A second line, which decides nothing, compares with bare calls of QPainter for the same holes,
addresses, outlines and numbers: no widths of lines, no clipping, no places looked for.
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


def plan_once(job: Job, known: KnownFacts) -> bytes:
    """Paint the plan alone, composed as for the screen."""
    made = QBuffer()
    made.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(made)
    writer.setResolution(_DPI)
    font = QFont("DejaVu Sans")
    font.setPixelSize(10)
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
    made = QBuffer()
    made.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(made)
    writer.setResolution(_DPI)
    font = QFont("DejaVu Sans")
    font.setPixelSize(10)
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
    print(
        f"setup sheet of 1,152 holes and 200 pieces: {whole:.0f} ms,"
        f" its plan once: {once:.0f} ms, {ratio:.1f} times (at most {MOST_RATIO:.0f}): {verdict}"
    )
    print(f"by bare calls its plan once: {bare:.0f} ms, {whole / bare:.1f} times (for information)")
    del program
    return 0 if ratio <= MOST_RATIO else 1


if __name__ == "__main__":
    sys.exit(main())
