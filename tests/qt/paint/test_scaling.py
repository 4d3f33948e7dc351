"""The sheet at other scalings of the screen, each in a program of its own; and unusual tables."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from msgspec import structs
from pytestqt.qtbot import QtBot

from gridjig.model import Hole, HoleMark, LabelScheme, TableSide
from gridjig.qt.style.palette import contrast
from gridjig.qt.style.theme import THEMES
from tests.qt.canvases import alike, picture, shown
from tests.workshop import EMPTY, TABLE, laid, plate, stop

ROOT = Path(__file__).resolve().parents[3]

PATCHED = """
from PySide6.QtWidgets import QApplication
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.palette import contrast
from gridjig.qt.style.theme import THEMES
from gridjig.session.document import Document
from tests.qt.canvases import alike, picture
from tests.workshop import laid, plate, stop
app = QApplication([])
job = laid(stop("s", 6, 6), plate("o", 300, 400))
canvas = Canvas(Document(job), THEMES["light"], Metrics(4.0))
canvas.resize(600, 500)
canvas.show()
app.processEvents()
dots = canvas.devicePixelRatioF()
canvas.zoom_by(2.0)
canvas._settle()
for step in ((31, 17), (-90, 40), (13, -55)):
    canvas.pan_by(*step)
    app.processEvents()
canvas.document.select(["s"])
canvas.document.do(laid(stop("s", 7, 6), plate("o", 320, 400)), "Move", ["s"])
app.processEvents()
patched = picture(canvas)
canvas.set_theme(THEMES["light"])
fresh = picture(canvas)
print(dots, patched.width(), alike(patched, fresh))
canvas.hide()
"""


@pytest.mark.expectation(84)
@pytest.mark.parametrize("scaling", ["1.25", "1.5", "2"])
def test_repairs_leave_no_seam_at_other_scalings(scaling: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", PATCHED],
        cwd=ROOT,
        env={**os.environ, "QT_SCALE_FACTOR": scaling, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout.split() == [str(float(scaling)), str(int(600 * float(scaling))), "True"], (
        done.stderr
    )


@pytest.mark.parametrize("operator", ["front", "back", "left", "right"])
def test_the_operator_s_side_is_written_beside_the_plate(qtbot: QtBot, operator: TableSide) -> None:
    labels = LabelScheme(operator=operator)
    job = structs.replace(EMPTY, table=structs.replace(TABLE, labels=labels))
    canvas = shown(qtbot, job, 1000, 800)
    canvas.zoom_by(0.8)
    here = picture(canvas)
    other: TableSide = "back" if operator == "front" else "front"
    moved = structs.replace(TABLE, labels=LabelScheme(operator=other))
    canvas.document.do(structs.replace(job, table=moved), "Labels")
    assert not alike(picture(canvas), here)


def test_marked_holes_show_and_can_be_cleared(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    clean = picture(canvas)
    marks = (HoleMark(Hole(3, 3), "blocked"), HoleMark(Hole(4, 3), "damaged"))
    canvas.document.do(structs.replace(EMPTY, table=structs.replace(TABLE, marks=marks)), "Mark")
    assert not alike(picture(canvas), clean)
    canvas.document.undo()
    assert alike(picture(canvas), clean)


def test_addresses_stay_in_view_when_the_plate_runs_far_beyond_it(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    canvas.document.select(["s"])
    canvas.fit_selection()
    canvas.zoom_by(1.3)
    image, document = picture(canvas), THEMES["light"].palette.desk
    for across, down in (
        (range(24, 876), range(2, 22)),
        (range(24, 876), range(678, 698)),
        (range(2, 22), range(24, 560)),
        (range(878, 898), range(24, 560)),
    ):
        names = {image.pixelColor(x, y).name() for x in across for y in down}
        assert max(contrast(name, document) for name in names) > 5


def test_the_display_unit_changes_the_scale_bar_and_nothing_else(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(plate("o", 200, 200)))
    before, view = picture(canvas), canvas.view
    inches = structs.replace(EMPTY.display, unit="inch fractions")
    canvas.document.do(structs.replace(canvas.document.job, display=inches), "Unit")
    after = picture(canvas)
    assert canvas.view == view
    assert alike(after.copy(0, 0, 600, 600), before.copy(0, 0, 600, 600))
    assert not alike(after.copy(600, 640, 300, 60), before.copy(600, 640, 300, 60))
