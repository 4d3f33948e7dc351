"""The legend over the window: its samples can be told apart without colour."""

from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtGui import QFont, QImage, QPainter
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from gridjig.geometry.display import Circle, DisplayList
from gridjig.qt.forms.legend_form import LegendForm, sample_of
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.paint.view import View
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.sheets.drawings.hole_marks import hole_mark_at
from gridjig.sheets.lists.legend import legend
from tests.qt.windows import make_window
from tests.workshop import EMPTY

Bits = NDArray[np.bool_]


def inked(image: QImage) -> Bits:
    """Which dots are dark, as on paper printed in black and white."""
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    dots = np.frombuffer(grey.constBits(), np.uint8).reshape(grey.height(), grey.bytesPerLine())
    return dots[:, : grey.width()] < 128


def unlike(one: Bits, two: Bits) -> float:
    """How much two drawings differ: the dots in one of them only, of those in either."""
    return int((one ^ two).sum()) / max(1, int((one | two).sum()))


@pytest.mark.expectation(78, 79)
def test_every_sample_is_seen_and_told_apart_in_black_and_white(qapp: QApplication) -> None:
    look = Appearance(THEMES["print"], Metrics(4.0))
    pictures = {
        line.words: inked(sample_of(line, look).toImage())
        for group in legend()
        for line in group.lines
    }
    assert len(pictures) > 25
    for words, bits in pictures.items():
        assert bits.sum() >= 15, words
    for (one, a), (two, b) in combinations(pictures.items(), 2):
        assert unlike(a, b) > 0.1, (one, two)


def drawn(drawing: DisplayList, scale: float, theme: str = "print") -> Bits:
    side = max(16, round(40 * scale))
    image = QImage(side, side, QImage.Format.Format_RGB32)
    look = THEMES[theme]  # type: ignore[index]
    image.fill(look.colour("paper"))
    plotter = Plotter(look, 4.0, 1.0, QFont())
    with QPainter(image) as painter:
        middle = side / 2
        plotter.draw(painter, [plotter.plot(drawing)], View(scale, middle, middle))
    return inked(image)


@pytest.mark.expectation(78)
@pytest.mark.parametrize("theme", ["print", "light"])
@pytest.mark.parametrize("scale", [0.05, 0.1, 0.17, 0.25, 0.4, 0.6, 1.0, 1.6, 2.5])
def test_a_blocked_hole_and_a_pin_differ_in_shape_at_every_zoom(
    qapp: QApplication, scale: float, theme: str
) -> None:
    at, radius = (0.0, 0.0), 9.5
    blocked = hole_mark_at(at, radius, "blocked")
    pin = (
        Circle(at, radius, "thin", fill="paper"),
        Circle(at, 0.55 * radius, "held", fill="held"),
    )
    cross, dot = drawn(blocked, scale, theme), drawn(pin, scale, theme)
    assert cross.any()
    assert unlike(cross, dot) > 0.3
    if scale >= 0.25:  # the cross has arms to its corners, a pin has none
        assert corners(cross) > 0.2
        assert corners(dot) < 0.6 * corners(cross)


def corners(bits: Bits) -> float:
    """How full of ink the corners of a drawing are: a quarter of its width and height each."""
    rows, columns = np.nonzero(bits)
    own = bits[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1]
    high, wide = (max(1, side // 4) for side in own.shape)
    cells = (own[:high, :wide], own[:high, -wide:], own[-high:, :wide], own[-high:, -wide:])
    return float(min(cell.mean() for cell in cells))


def test_the_legend_opens_beside_the_window_in_its_colours(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("theme.dark")
    window.port.do("view.legend")
    (form,) = (w for w in QApplication.topLevelWidgets() if isinstance(w, LegendForm))
    assert form.isVisible()
    assert not form.isModal()
    pictures = [one for one in form.findChildren(QLabel) if not one.pixmap().isNull()]
    words = {line.words for group in legend() for line in group.lines}
    assert {one.accessibleName() for one in pictures} == words
    for name in ("dark", "light"):
        window.port.do(f"theme.{name}")
        grounds = [one.pixmap().toImage().pixelColor(1, 1) for one in pictures]
        assert grounds == [THEMES[name].colour("paper")] * len(words)
    form.close()
