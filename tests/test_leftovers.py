"""The guard of the window's tests sees what a test leaves behind."""

from PySide6.QtCore import QThread, QTimer
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tests.conftest import leftovers


def test_nothing_left_is_nothing_found(qtbot: QtBot) -> None:
    assert leftovers() == []


def test_a_window_a_thread_and_a_timer_are_found(qtbot: QtBot) -> None:
    widget = QWidget()
    widget.setWindowTitle("forgotten")
    widget.show()
    thread = QThread()
    thread.start()
    timer = QTimer()
    timer.setObjectName("ticker")
    timer.start(1000)
    assert set(leftovers()) == {
        "window QWidget 'forgotten'",
        "running thread QThread",
        "ticking timer ticker",
    }
    timer.stop()
    thread.quit()
    thread.wait()
    widget.close()
    assert leftovers() == []
