"""Under a finger: whatever a drag tells is also told where neither finger nor hand covers it."""

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import Settings
from gridjig.geometry.display import Dimension, TextLabel
from gridjig.model import Hole
from tests.qt.windows import make_window
from tests.workshop import laid, stop

FINGER_MM = 10.0
"""How far round its middle a gloved finger covers the screen."""


def distance(at: QPoint, widget: QWidget) -> float:
    """How far a place on the screen is from the nearest edge of a widget, px."""
    low = widget.mapToGlobal(QPoint(0, 0))
    dx = max(low.x() - at.x(), 0, at.x() - low.x() - widget.width())
    dy = max(low.y() - at.y(), 0, at.y() - low.y() - widget.height())
    return float((dx * dx + dy * dy) ** 0.5)


@pytest.mark.expectation(19, 73)
@pytest.mark.parametrize("glove", [False, True])
@pytest.mark.parametrize("to", [Hole(9, 8), Hole(5, 9), Hole(2, 3)])
def test_a_drag_by_finger_is_told_beside_the_finger(qtbot: QtBot, glove: bool, to: Hole) -> None:
    job = laid(stop("s", 5, 5))
    window = make_window(qtbot, job, Settings(glove=glove))
    window.resize(1280, 800)
    QApplication.processEvents()
    canvas = window.workspace.canvas
    device = QTest.createTouchDevice()

    def at(hole: Hole) -> QPoint:
        x, y = canvas.view.to_screen(job.table.at(hole))
        return QPoint(round(x), round(y))

    QTest.touchEvent(canvas, device).press(0, at(Hole(5, 5)), canvas).commit()
    for part in (1, 2, 3):
        step = at(Hole(5, 5)) + (at(to) - at(Hole(5, 5))) * part / 3
        QTest.touchEvent(canvas, device).move(0, step, canvas).commit()
    row = window.entry
    told = [m.text for m in canvas._overlay if isinstance(m, TextLabel | Dimension)]
    assert len(told) >= 2  # the hole, and how far it is from where it was
    for words in told:
        assert words in row.hint.words(), words
    finger = canvas.mapToGlobal(at(to))
    reach = window.appearance.metrics.px(FINGER_MM)
    for shown in (row.hint, window.status_bar.pointer):
        assert shown.isVisible()
        assert distance(finger, shown) > reach
    QTest.touchEvent(canvas, device).release(0, at(to), canvas).commit()
    assert window.document.undo_name.startswith("Move fixed stop")
