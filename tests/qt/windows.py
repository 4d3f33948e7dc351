"""A window for tests: the job of the workshop in it, and somebody who answers its questions."""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.autosave import AutosavedCopy
from gridjig.files.storage.settings import Settings
from gridjig.model import Job
from gridjig.qt.actions.action import OpenForm
from gridjig.qt.actions.registry import ACTIONS
from gridjig.qt.dialogs.questions import Closing, Locked, Overwrite
from gridjig.qt.window.open_file import OpenFile
from gridjig.qt.window.window import Window

FORMS = (
    *(one.id for one in ACTIONS if isinstance(one.handler, OpenForm)),
    "angle.chart",
    "file.changes",
    "file.export",
    "table.repeat",
    "view.floor",
    "file.sheet",
    "weldment.section",
)
"""The actions that open a form of the program's own over the window."""


class Answers:
    """Answers every question as told, and notes what was asked."""

    def __init__(self) -> None:
        self.asked: list[str] = []
        self.asked_kinds: list[str] = []
        self.close: Closing = "cancel"
        self.lock: Locked = "read"
        self.over = False
        self.replace: Overwrite = "cancel"
        self.elsewhere = False
        self.forgets = False
        self.path = ""
        self.copy: AutosavedCopy | None = None

    def closing(self, name: str) -> Closing:
        self.asked.append(f"closing {name}")
        return self.close

    def locked(self, name: str, why: str) -> Locked:
        self.asked.append(f"locked {name}: {why}")
        return self.lock

    def take_over(self, name: str, why: str) -> bool:
        self.asked.append(f"take over {name}: {why}")
        return self.over

    def overwrite(self, name: str, gone: bool) -> Overwrite:
        self.asked.append(f"overwrite {name} {'gone' if gone else 'changed'}")
        return self.replace

    def forget(self, what: str, name: str) -> bool:
        self.asked.append(f"forget {what} {name}")
        return self.forgets

    def problem(self, title: str, body: str) -> None:
        self.asked.append(f"problem {title}: {body}")

    def save_problem(self, name: str, body: str) -> bool:
        self.asked.append(f"not saved {name}: {body}")
        return self.elsewhere

    def recover(
        self, copies: tuple[AutosavedCopy, ...]
    ) -> tuple[AutosavedCopy | None, tuple[AutosavedCopy, ...]]:
        self.asked.append(f"recover {len(copies)}")
        return (copies[0] if self.copy is None else self.copy, ())

    def open_path(self, folder: str, title: str = "", kinds: str = "") -> str:
        self.asked.append(f"open {folder}")
        self.asked_kinds.append(kinds)
        return self.path

    def save_path(self, proposed: str, title: str = "", kinds: str = "") -> str:
        self.asked.append(f"save {Path(proposed).name}")
        return self.path


def make_window(qtbot: QtBot, job: Job, settings: Settings | None = None) -> Window:
    """A shown window with that job; nobody has to answer when it closes."""
    window = Window(job, settings or Settings(), 10.0)
    window.questions = Answers()  # type: ignore[assignment]
    window.file.answer_by(window.questions)
    qtbot.addWidget(window, before_close_func=lambda w: w.file.document.mark_saved())
    window.show()
    qtbot.waitExposed(window)
    return window


@contextmanager
def opened(qtbot: QtBot, job: Job, settings: Settings | None = None) -> Iterator[Window]:
    """The same, closed at the end."""
    window = make_window(qtbot, job, settings)
    try:
        yield window
    finally:
        window.file.document.mark_saved()
        window.close()


def told(window: Window) -> str:
    """What has happened and what comes next, as they stand in the window."""
    return f"{window.entry.said.words()} {window.entry.hint.words()}".strip()


def press(qtbot: QtBot, widget: QWidget, key: Qt.Key, *held: Qt.KeyboardModifier) -> None:
    modifiers = Qt.KeyboardModifier.NoModifier
    for one in held:
        modifiers |= one
    QTest.keyClick(widget, key, modifiers)


CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def on_plan(qtbot: QtBot, window: Window) -> QWidget:
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.workspace.canvas.setFocus()
    return window.workspace.canvas


def copied(file: OpenFile) -> None:
    """Write the copy that is due, and wait for it."""
    file.copies.tick()
    for _ in range(2000):
        if not file.copies.busy:
            return
        QApplication.processEvents()
        time.sleep(0.005)
    raise AssertionError("the copy takes longer than ten seconds")
