"""The guard of the window's tests sees what a test leaves behind."""

from PySide6.QtCore import Qt, QThread, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from tests.conftest import leftovers, let_go


def test_nothing_left_is_nothing_found(qtbot: QtBot) -> None:
    assert leftovers() == []


def test_a_window_a_thread_and_a_timer_are_found(qtbot: QtBot) -> None:
    widget = QWidget()
    widget.setWindowTitle("forgotten")
    widget.show()
    hidden = QWidget()
    hidden.setWindowTitle("never shown")
    thread = QThread()
    thread.start()
    timer = QTimer()
    timer.setObjectName("ticker")
    timer.start(1000)
    assert set(leftovers()) == {
        "window QWidget 'forgotten'",
        "window QWidget 'never shown'",
        "running thread QThread",
        "ticking timer ticker",
    }
    timer.stop()
    thread.quit()
    thread.wait()
    assert not isValid(widget)  # or it would be reported after every later test
    assert leftovers() == []


def test_a_key_that_closed_a_window_is_let_go(qtbot: QtBot) -> None:
    held = Qt.KeyboardModifier.ControlModifier
    widget = QWidget()
    qtbot.addWidget(widget)
    widget.show()
    QTest.keyClick(widget.windowHandle(), Qt.Key.Key_Return, held)
    assert QGuiApplication.keyboardModifiers() == held
    let_go()
    assert QGuiApplication.keyboardModifiers() == Qt.KeyboardModifier.NoModifier
