"""Deferred calls, which end with their owner."""

import gc
import weakref
from collections.abc import Callable
from functools import partial

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QTimer
from PySide6.QtWidgets import QApplication, QDialog
from pytestqt.qtbot import QtBot

from gridjig.qt.tasks.timers import call_later, due


class Form(QDialog):
    """A form that counts the calls."""

    def __init__(self) -> None:
        super().__init__()
        self.count = 0

    def step(self) -> None:
        self.count += 1


def remove() -> None:
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def test_it_is_called_once_after_what_was_posted_before(qtbot: QtBot) -> None:
    form, heard = Form(), list[str]()
    qtbot.addWidget(form)
    form.windowTitleChanged.connect(heard.append)
    call_later(form, lambda: heard.append("later"))
    form.setWindowTitle("now")
    assert heard == ["now"]
    qtbot.waitUntil(lambda: heard == ["now", "later"])
    qtbot.waitUntil(lambda: not form.findChildren(QTimer))  # nothing is left to come again


def test_a_timer_that_is_due_calls_each_time_it_is_started(qtbot: QtBot) -> None:
    form = Form()
    qtbot.addWidget(form)
    timer = due(form, form.step)
    for count in (1, 2):
        timer.start()
        qtbot.waitUntil(lambda: not timer.isActive())
        assert form.count == count


@pytest.mark.parametrize("early", [False, True])
@pytest.mark.parametrize(
    "ask",
    [
        lambda form: call_later(form, form.step),
        lambda form: call_later(form, partial(form.step)),
        lambda form: due(form, form.step).start(),
    ],
)
def test_nothing_is_called_or_kept_if_the_owner_goes_first(
    qtbot: QtBot, early: bool, ask: Callable[[Form], None]
) -> None:
    """`early`: asked for before the form was told to go; otherwise it is on its way out already.

    The one that Qt has for this keeps the form for good in the second case.
    """
    form = Form()
    there = weakref.ref(form)
    if early:
        ask(form)
    form.deleteLater()
    if not early:
        ask(form)
    remove()
    count = form.count
    QApplication.processEvents()
    assert form.count == count == 0
    del form
    gc.collect()
    assert there() is None
