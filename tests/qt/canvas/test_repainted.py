"""What is repainted about a drawing holds all that is painted of it."""

from itertools import product
from typing import Literal, get_args

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QBitmap, QImage, QPainter, QRegion
from pytestqt.qtbot import QtBot

from gridjig.geometry.display import (
    Anchor,
    Dimension,
    DisplayList,
    HighlightBox,
    Symbol,
    SymbolKind,
    TextLabel,
)
from gridjig.model import Hole
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.paint.painter import Plot
from gridjig.tools.draw.place_tool import PlaceTool
from tests.qt.canvases import move, shown
from tests.workshop import laid, plate, stop

TextSize = Literal["small", "normal", "large"]
ANCHORS: tuple[Anchor, ...] = ("centre", "left", "right", "below", "above")
SIZES: tuple[TextSize, ...] = ("small", "normal", "large")
WORDS = ("A1", "touches Cross rail 12 on its left side, with 2 shims of 1/8 in between")


def require_painted_within_the_repainted(canvas: Canvas, drawing: DisplayList) -> bool:
    """Compare a drawing over the plan with the box repainted for it; False if it paints nothing."""
    sheet = canvas._sheet
    plot: Plot = sheet.plotter.plot(drawing)
    assert plot.box is not None
    sheet._place_over([plot])
    wide, high = sheet.size
    alone = QImage(wide, high, QImage.Format.Format_ARGB32_Premultiplied)
    alone.fill(0)
    with QPainter(alone) as painter:
        sheet.plotter.draw(painter, [plot], sheet.view)
    painted = QRegion(QBitmap.fromImage(alone.createAlphaMask())).boundingRect()
    repainted = sheet.rect(plot.box, plot.outreach, plot.rise)
    assert repainted.contains(painted) or painted.isEmpty(), (drawing, painted, repainted)
    return not painted.isEmpty()


@pytest.mark.source("method", "all painted dots against the box that is repainted")
@pytest.mark.parametrize("size", [(500, 400), (230, 130)])
@pytest.mark.parametrize("cleared", [True, False])
def test_words_are_repainted_whole(qtbot: QtBot, size: tuple[int, int], cleared: bool) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6), plate("o", 300, 400)), *size)
    seen = 0
    for text, anchor, height, turn in product(WORDS, ANCHORS, SIZES, (0.0, 30.0, 90.0)):
        for across, up in product((0.02, 0.3, 0.97), repeat=2):
            at = canvas.view.to_table((across * size[0], up * size[1]))
            label = TextLabel(
                at, text, "graphite", turn=turn, anchor=anchor, size=height, cleared=cleared
            )
            seen += require_painted_within_the_repainted(canvas, (label,))
    assert seen > 700


@pytest.mark.source("method", "all painted dots against the box that is repainted")
def test_signs_frames_and_dimensions_are_repainted_whole(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)), 500, 400)
    for x, y in product((250.0, 600.0), repeat=2):
        for mark in get_args(SymbolKind):
            for turn in (0.0, 45.0):
                sign = Symbol((x, y), mark, "check", turn)
                assert require_painted_within_the_repainted(canvas, (sign,))
        frame = HighlightBox((x, y), (x + 90.0, y + 40.0), "selected", corners=True)
        assert require_painted_within_the_repainted(canvas, (frame,))
        for offset in (-8.0, 5.0):
            size = Dimension((x, y), (x + 90.0, y + 40.0), "1060.7 mm", "selected", offset)
            assert require_painted_within_the_repainted(canvas, (size,))


@pytest.mark.source("method", "all painted dots against the box that is repainted")
def test_a_piece_in_hand_is_repainted_with_its_words(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6), plate("o", 300, 400)), 700, 500)
    canvas.set_tool(PlaceTool(canvas.document, "stop-fixed"))
    worded = 0
    table = canvas.document.job.table
    for col, row in product(range(0, table.columns, 3), range(0, table.rows, 2)):
        x, y = canvas.view.to_screen(table.at(Hole(col, row)))
        move(canvas, QPoint(round(x), round(y)))
        overlay = canvas.controller.overlay()
        if overlay:
            worded += any(isinstance(shape, TextLabel) for shape in overlay)
            assert require_painted_within_the_repainted(canvas, overlay)
    assert worded > 5
