"""The colours of states as they are painted, seen with colour-blind eyes: still apart."""

from collections import Counter
from itertools import combinations

import pytest
from PySide6.QtGui import QFont, QImage, QPainter
from PySide6.QtWidgets import QApplication

from gridjig.geometry.display import DisplayList, HighlightBox, Polyline, Symbol
from gridjig.qt.paint.painter import Plotter
from gridjig.qt.paint.view import View
from gridjig.qt.style.theme import THEMES
from tests.qt.colours import DEFECTS, ciede2000, lab, seen

SIDE = 80
HERE = (0.0, 0.0)
STATES: dict[str, DisplayList] = {
    "held": (Symbol(HERE, "pin", "held"),),
    "clash": (Polyline(((-20.0, 0.0), (20.0, 0.0)), "clash"),),
    "check": (Symbol(HERE, "check", "check"),),
    "selected": (HighlightBox((-10.0, -10.0), (10.0, 10.0), "selected", corners=True),),
    "reach": (Polyline(((-20.0, 0.0), (20.0, 0.0)), "reach"),),
}


def colour_of(drawing: DisplayList, theme: str) -> str:
    """The colour that most of a sign is painted in, beside ground and ink."""
    look = THEMES[theme]  # type: ignore[index]
    image = QImage(SIDE, SIDE, QImage.Format.Format_RGB32)
    ground = look.colour("paper")
    image.fill(ground)
    plotter = Plotter(look, 4.0, 1.0, QFont())
    with QPainter(image) as painter:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
        plotter.draw(painter, [plotter.plot(drawing)], View(1.0, SIDE / 2, SIDE / 2))
    dots = Counter(image.pixelColor(x, y).name() for x in range(SIDE) for y in range(SIDE))
    for plain in ("paper", "ink", "desk", "panel"):
        dots.pop(look.colour(plain).name(), None)
    [(found, count)] = dots.most_common(1)
    assert count > 8
    return found


@pytest.mark.source("memory", "Machado, Oliveira, Fernandes 2009, severity 1.0")
@pytest.mark.expectation(80, 81)
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_painted_states_keep_apart_for_every_kind_of_eye(qapp: QApplication, theme: str) -> None:
    painted = {state: colour_of(drawing, theme) for state, drawing in STATES.items()}
    palette = THEMES[theme].palette.colours()  # type: ignore[index]
    assert {state: colour.upper() for state, colour in painted.items()} == {
        state: palette[state].upper() for state in STATES
    }
    assert len(DEFECTS) == 4
    for defect in DEFECTS:
        for one, two in combinations(painted, 2):
            a, b = painted[one], painted[two]
            assert ciede2000(lab(seen(a, defect)), lab(seen(b, defect))) >= 12, (defect, one, two)
