"""Hands at a window for tests: only keys and mouse buttons, nothing of what lies behind them."""

from pathlib import Path
from typing import Any

from PySide6.QtCore import QLibraryInfo, QMimeData, QPoint, QPointF, Qt, QVersionNumber
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.qtbot import QtBot

from gridjig.model.labels import find_hole
from gridjig.qt.window.window import Window
from tests.qt.windows import Answers

CTRL = Qt.KeyboardModifier.ControlModifier
LEFT = Qt.MouseButton.LeftButton


class Hands:
    """Somebody at a window: keys go where the focus is, clicks go to a place on the table."""

    def __init__(self, qtbot: QtBot, window: Window, folder: Path) -> None:
        self.window, self.folder, self.qtbot = window, folder, qtbot
        self.come_back()

    def come_back(self) -> None:
        """To the window, as a window manager does after a form is closed, and to its sheet."""
        self.window.activateWindow()
        self.qtbot.waitUntil(self.window.isActiveWindow)
        self.sheet()

    # -- keys ----------------------------------------------------------------------------------

    def key(self, key: Qt.Key, held: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
        QApplication.processEvents()  # a hand needs longer than the window to follow
        QTest.keyClick(self.window.focusWidget() or self.window, key, held)

    def write(self, text: str) -> None:
        """Type over what stands in the field in hand, and press Enter."""
        self.key(Qt.Key.Key_A, CTRL)
        QTest.keyClicks(self.window.focusWidget(), text)
        self.key(Qt.Key.Key_Return)

    def sheet(self) -> None:
        self.key(Qt.Key.Key_2, CTRL)
        assert self.window.focusWidget() is self.window.workspace.canvas

    def typed(self, text: str) -> None:
        """Into the row below the plan, and out of the tool."""
        self.key(Qt.Key.Key_T)
        self.write(text)
        self.key(Qt.Key.Key_Escape)

    def named(self, name: str) -> None:
        """Name what is selected."""
        self.key(Qt.Key.Key_F2)
        self.write(name)
        self.sheet()

    # -- mouse ---------------------------------------------------------------------------------

    def spot(self, address: str) -> QPoint:
        canvas = self.window.workspace.canvas
        table = self.window.document.job.table
        x, y = canvas.view.to_screen(table.at(find_hole(table, address)))
        return QPoint(round(x), round(y))

    def click(self, address: str) -> None:
        canvas = self.window.workspace.canvas
        QTest.mouseMove(canvas, self.spot(address))
        QTest.mouseClick(canvas, LEFT, Qt.KeyboardModifier.NoModifier, self.spot(address))

    def cell(self, label: str, text: str) -> None:
        """Click a cell of the form and type over it."""
        QApplication.processEvents()
        edit = self._cells()[label]
        QTest.mouseClick(edit, LEFT)
        self.write(text)
        self.sheet()

    def _cells(self) -> dict[str, QLineEdit]:
        return {
            edit.accessibleName(): edit
            for edit in self.window.workspace.properties.findChildren(QLineEdit)
            if edit.isVisibleTo(self.window)
        }

    # -- files ---------------------------------------------------------------------------------

    def save(self, name: str) -> Path:
        path = self.folder / name
        answers(self.window).path = str(path)
        self.key(Qt.Key.Key_S, CTRL)
        assert path.exists()
        return path

    def open(self, path: Path) -> None:
        answers(self.window).path = str(path)
        self.key(Qt.Key.Key_O, CTRL)


def answers(window: Window) -> Answers:
    assert isinstance(window.questions, Answers)
    return window.questions


def drag_event(kind: Any, at: QPoint, data: QMimeData) -> QDropEvent:
    """Something is dragged to a place of a widget, or dropped there.

    Since Qt 6.12 all such events take a place in fractions of a pixel; before, only drops did.
    """
    fine = kind is QDropEvent or QLibraryInfo.version() >= QVersionNumber(6, 12)
    event = kind(
        QPointF(at) if fine else at,
        Qt.DropAction.CopyAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    assert isinstance(event, QDropEvent)
    return event
