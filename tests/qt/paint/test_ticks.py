"""Ticks across a seam: evenly spaced, square to it, at least one."""

import math

import pytest
from PySide6.QtGui import QImage, QPainter
from pytestqt.qtbot import QtBot

from gridjig.geometry.display import Ticks
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.paint.ticks import strokes
from gridjig.qt.paint.view import View
from gridjig.qt.style.theme import THEMES


@pytest.mark.source("method", "plane geometry by hand")
def test_strokes_stand_square_to_the_line_and_evenly() -> None:
    made = strokes([(0.0, 0.0), (30.0, 40.0)], 10.0, 6.0)
    assert len(made) == 5
    for x1, y1, x2, y2 in made:
        assert math.hypot(x2 - x1, y2 - y1) == pytest.approx(6.0)
        assert (x2 - x1) * 30.0 + (y2 - y1) * 40.0 == pytest.approx(0.0)
    middles = [((x1 + x2) / 2, (y1 + y2) / 2) for x1, y1, x2, y2 in made]
    assert middles[0] == pytest.approx((3.0, 4.0))
    assert middles[-1] == pytest.approx((27.0, 36.0))


def test_what_is_shorter_than_a_pitch_has_one_stroke_and_a_point_none() -> None:
    assert len(strokes([(0.0, 0.0), (1.0, 0.0)], 10.0, 6.0)) == 1
    assert strokes([(5.0, 5.0), (5.0, 5.0)], 10.0, 6.0) == []
    assert strokes([(5.0, 5.0)], 10.0, 6.0) == []


@pytest.mark.expectation(21)
def test_the_pitch_is_the_screens_at_every_zoom(qtbot: QtBot) -> None:
    from PySide6.QtWidgets import QApplication

    plotter = Plotter(THEMES["light"], 4.0, 1.0, QApplication.font())
    plot = plotter.plot((Ticks(((0.0, 0.0), (100.0, 0.0)), "edge"),))
    assert plot.box == (0.0, 0.0, 100.0, 0.0)

    def crossings(scale: float) -> int:
        image = QImage(900, 40, QImage.Format.Format_RGB32)
        image.fill(0xFFFFFF)
        with QPainter(image) as painter:
            plotter.draw(painter, [plot], View(scale, 10.0, 20.0))
        row = [image.pixelColor(x, 16).lightness() < 128 for x in range(900)]
        return sum(now and not before for before, now in zip([False, *row], row, strict=False))

    assert crossings(2.0) == round(200 / (1.9 * 4.0))
    assert crossings(4.0) == round(400 / (1.9 * 4.0))
