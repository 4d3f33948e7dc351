"""Measures what a window does against copying one picture of its size to the screen.

`bench.py` says what F is, and why.
"""

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from operator import attrgetter

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QImage, QMouseEvent, QPainter, QPaintEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

WIDE, HIGH = 1280, 800
Act = Callable[[], None]


@dataclass(frozen=True)
class Row:
    """One line of the results; `limit` is the most that is allowed, None for no limit."""

    what: str
    value: float
    unit: str
    limit: float | None

    def text(self) -> str:
        """Return the line as printed."""
        if self.limit is None:
            return f"{self.what:<66}{self.value:9.2f} {self.unit:<3}{'':>9}  told only"
        verdict = "met" if self.value <= self.limit else "NOT met"
        return f"{self.what:<66}{self.value:9.2f} {self.unit:<3}<= {self.limit:6.1f}  {verdict}"


class Picture(QWidget):
    """The widget that F is measured with."""

    def __init__(self) -> None:
        super().__init__()
        self._image = QImage(WIDE, HIGH, QImage.Format.Format_RGB32)
        for y in range(HIGH):  # no two rows are alike, so that no copying can be skipped
            for x in range(0, WIDE, 64):
                self._image.setPixel(x, y, (x * 7 + y * 13) & 0xFFFFFF)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setMouseTracking(True)
        self.resize(WIDE, HIGH)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Request a repaint of the whole frame."""
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Copy the picture."""
        with QPainter(self) as painter:
            painter.drawImage(0, 0, self._image)


def mouse(
    widget: QWidget,
    kind: QEvent.Type,
    at: QPointF,
    button: Qt.MouseButton = Qt.MouseButton.NoButton,
    held: Qt.MouseButton = Qt.MouseButton.NoButton,
) -> None:
    """Send a mouse event, and paint what it requested."""
    where = QPointF(widget.mapToGlobal(at.toPoint()))
    event = QMouseEvent(kind, at, where, button, held, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(widget, event)
    paint_now(widget)


def wheel(widget: QWidget, at: QPointF, angle: int) -> None:
    """Send a wheel turn with Ctrl held, and paint what it requested."""
    event = QWheelEvent(
        at,
        QPointF(widget.mapToGlobal(at.toPoint())),
        QPoint(),
        QPoint(0, angle),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.ControlModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)
    paint_now(widget)


def paint_now(widget: QWidget) -> None:
    """Paint what was requested, without waiting for the next screen refresh."""
    QApplication.sendEvent(widget.window(), QEvent(QEvent.Type.UpdateRequest))


def seconds(act: Act, times: int) -> list[float]:
    """Return how long each of `times` calls takes."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        act()
        found.append(time.perf_counter() - start)
    return found


def middle(values: list[float]) -> float:
    """Return the median."""
    return statistics.median(values)


def p95(values: list[float]) -> float:
    """Return the 95th percentile."""
    return sorted(values)[int(len(values) * 0.95)]


class Frames:
    """Measures what a canvas does, in F."""

    def __init__(self, rounds: int) -> None:
        self._rounds = rounds
        self._picture = Picture()
        self._picture.show()
        QApplication.processEvents()
        self.blits: list[float] = []

    def ratio(
        self, window: QWidget, act: Act, judge: Callable[[list[float]], float], times: int
    ) -> float:
        """Return judge(act) / median(F), from the least disturbed round."""
        found = []
        blit = partial(mouse, self._picture, QEvent.Type.MouseMove, QPointF(100, 100))
        seconds(act, 8)
        for _ in range(self._rounds):
            on_top(self._picture)
            blits = seconds(blit, 60)
            self.blits += blits
            on_top(window)
            found.append(judge(seconds(act, times)) / middle(blits))
        return min(found)

    def row(
        self,
        what: str,
        window: QWidget,
        act: Act,
        limit: float | None,
        judge: Callable[[list[float]], float] = middle,
        times: int = 60,
    ) -> Row:
        """Return one line of the results."""
        return Row(what, self.ratio(window, act, judge, times), "F", limit)


def least_disturbed(measure: Callable[[], list[Row]]) -> list[Row]:
    """Return the least of each row from measuring everything three times over.

    Between two measurements of a row lies all that is measured, so that one slow spell of the
    machine does not spoil all of them.
    """
    return [
        min(same, key=attrgetter("value"))
        for same in zip(*(measure() for _ in range(3)), strict=True)
    ]


def on_top(window: QWidget) -> None:
    """Bring a window to the front: what is covered, or not on the screen yet, costs less."""
    if QApplication.platformName() != "offscreen":  # it cannot raise windows, and warns each time
        window.raise_()
    assert QTest.qWaitForWindowExposed(window, 10_000), "the window does not come to the screen"
    QApplication.processEvents()
