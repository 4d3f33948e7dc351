"""Garbage is collected between two events of the window, and nowhere else."""

import gc
import threading
from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from gridjig.qt.tasks.collector import MANY_NEW, Collector


class Ours(QWidget):
    """A widget of a class of our own, as every part of the window is."""

    me: "Ours"


class Destroyed:
    """Writes down in which threads widgets were destroyed."""

    def __init__(self) -> None:
        self.where: list[threading.Thread] = []

    def left_in_a_circle(self) -> None:
        """Make a widget that only the collector can free."""
        widget = Ours()
        widget.me = widget
        here = Qt.ConnectionType.DirectConnection
        widget.destroyed.connect(self._note, here)

    def _note(self) -> None:
        self.where.append(threading.current_thread())


@pytest.fixture
def collector(qapp: QApplication) -> Iterator[Collector]:
    gc.enable()  # as Python has it
    made = Collector(qapp)
    yield made
    made.deleteLater()


def many() -> list[list[None]]:
    """So many new objects that Python itself would collect."""
    return [[] for _ in range(2 * max(gc.get_threshold()[0], MANY_NEW))]


def test_a_widget_is_destroyed_by_the_window_and_not_by_a_task(
    qtbot: QtBot, collector: Collector
) -> None:
    destroyed = Destroyed()
    destroyed.left_in_a_circle()
    task = threading.Thread(target=many)
    task.start()
    task.join()
    assert destroyed.where == []
    kept = many()
    qtbot.waitUntil(lambda: bool(destroyed.where))
    assert destroyed.where == [threading.main_thread()]
    assert kept


class Answering(QWidget):
    """Makes many objects when it is told of a change of style."""

    def __init__(self) -> None:
        super().__init__()
        self.told = 0

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.StyleChange:
            self.told += 1
            many()


@pytest.mark.usefixtures("collector")
def test_no_widget_is_destroyed_while_qt_goes_through_them_all(
    qtbot: QtBot, qapp: QApplication
) -> None:
    """Qt lists them first, and would visit one that no longer exists."""
    destroyed = Destroyed()
    asks = Answering()
    qtbot.addWidget(asks)
    destroyed.left_in_a_circle()
    qapp.setStyleSheet("QLabel { padding: 1px; }")
    asks.show()
    qapp.setStyleSheet("")
    assert asks.told > 0
    assert destroyed.where == []
    kept = many()
    qtbot.waitUntil(lambda: bool(destroyed.where))
    assert kept


def test_what_has_become_old_is_collected_too(collector: Collector) -> None:
    destroyed = Destroyed()
    destroyed.left_in_a_circle()
    gc.freeze()
    gc.unfreeze()  # into the oldest generation
    times = 0
    kept: list[list[None]] = []
    while not destroyed.where and times < 150:
        times += 1
        kept += [[] for _ in range(MANY_NEW + 1)]
        collector.look()
    assert destroyed.where
    assert times > 1  # not every time: a full collection takes longest


def test_nothing_is_looked_through_for_a_few_objects(
    collector: Collector, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(gc, "get_count", lambda: (MANY_NEW - 1, 0, 0))
    destroyed = Destroyed()
    destroyed.left_in_a_circle()
    for _ in range(200):
        collector.look()
    assert destroyed.where == []
    gc.collect()
    assert destroyed.where == [threading.main_thread()]
