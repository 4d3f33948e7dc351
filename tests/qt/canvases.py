"""A canvas in a window for tests, and a hand on mouse and wheel."""

import numpy as np
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QImage, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.model import Hole, Job
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.style.metrics import Metrics
from gridjig.qt.style.theme import THEMES
from gridjig.session.document import Document
from tests.workshop import EMPTY

NONE = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier
LEFT = Qt.MouseButton.LeftButton
MIDDLE = Qt.MouseButton.MiddleButton
METRICS = Metrics(4.0)


def shown(qtbot: QtBot, job: Job = EMPTY, wide: int = 900, high: int = 700) -> Canvas:
    canvas = Canvas(Document(job), THEMES["light"], METRICS)
    qtbot.addWidget(canvas)
    canvas.resize(wide, high)
    canvas.show()
    qtbot.waitExposed(canvas)
    return canvas


def wheel(
    canvas: Canvas,
    at: QPointF,
    angle: QPoint,
    pixels: QPoint | None = None,
    held: Qt.KeyboardModifier = NONE,
) -> None:
    event = QWheelEvent(
        at,
        QPointF(canvas.mapToGlobal(at.toPoint())),
        pixels or QPoint(),
        angle,
        Qt.MouseButton.NoButton,
        held,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(canvas, event)


def spot(canvas: Canvas, hole: Hole) -> QPoint:
    x, y = canvas.view.to_screen(canvas.document.shown.table.at(hole))
    return QPoint(round(x), round(y))


def move(canvas: Canvas, to: QPoint, held: Qt.MouseButton = Qt.MouseButton.NoButton) -> None:
    where = QPointF(to)
    event = QMouseEvent(
        QEvent.Type.MouseMove,
        where,
        QPointF(canvas.mapToGlobal(to)),
        Qt.MouseButton.NoButton,
        held,
        NONE,
    )
    QApplication.sendEvent(canvas, event)


def picture(canvas: Canvas) -> QImage:
    return canvas.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def apart(one: QColor, two: QColor) -> int:
    """The largest difference in red, green or blue."""
    return max(
        abs(one.red() - two.red()), abs(one.green() - two.green()), abs(one.blue() - two.blue())
    )


def alike(one: QImage, two: QImage, by: int = 3) -> bool:
    """True if no dot differs by more than a rounding step or two: soft edges that are laid over a
    kept picture round otherwise than those drawn in place.
    """
    if one.size() != two.size():
        return False
    a, b = (np.frombuffer(i.constBits(), np.uint8).astype(np.int16) for i in (one, two))
    return int(np.abs(a - b).max()) <= by
