"""A form that asks, and what is left when its window goes while it does."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QTimer
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.dialogs.questions import AnswerButton, QuestionDialog


def question(over: QWidget) -> QuestionDialog:
    buttons = (AnswerButton("discard", "Discard"), AnswerButton("stay", "Keep editing"))
    return QuestionDialog("Not changed yet", "Discard the changes?", buttons, over)


def meanwhile(act: Callable[[], object]) -> None:
    """Do something once a form asks."""
    QTimer.singleShot(0, act)


def delete_now(widget: QWidget) -> None:
    widget.deleteLater()
    QCoreApplication.sendPostedEvents(widget, QEvent.Type.DeferredDelete.value)
    assert not isValid(widget)


@pytest.mark.usefixtures("qtbot")
def test_the_last_answer_is_given_for_a_window_that_goes_while_it_asks() -> None:
    over = QWidget()
    asked = question(over)

    def go() -> None:
        asked.answer = "discard"
        delete_now(over)

    meanwhile(go)
    assert asked.answered() == "stay"
    assert not isValid(asked)


@pytest.mark.usefixtures("qtbot")
def test_an_accepted_form_that_is_gone_counts_as_not_accepted() -> None:
    over = QWidget()
    form = FormDialog(over)

    def go() -> None:
        form.accept()
        delete_now(over)

    meanwhile(go)
    assert form.ask() is False


@pytest.mark.usefixtures("qtbot")
@pytest.mark.parametrize(
    ("verb", "answer"), [("Discard", "discard"), ("Keep editing", "stay"), ("", "stay")]
)
def test_a_question_gives_its_answer_and_is_removed(verb: str, answer: str) -> None:
    over = QWidget()
    asked = question(over)
    assert {b.text() for b in asked.buttons.values()} == {"Discard", "Keep editing"}

    def act() -> None:
        assert QApplication.activeModalWidget() is asked
        pressed = [b for b in asked.buttons.values() if b.text() == verb]
        pressed[0].click() if pressed else asked.reject()

    meanwhile(act)
    assert asked.answered() == answer
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert not isValid(asked)
    assert isValid(over)
