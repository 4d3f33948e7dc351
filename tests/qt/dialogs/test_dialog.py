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


def delete_now(widget: QWidget) -> None:
    widget.deleteLater()
    QCoreApplication.sendPostedEvents(widget, QEvent.Type.DeferredDelete.value)
    assert not isValid(widget)


@pytest.mark.usefixtures("qtbot")
@pytest.mark.parametrize("make", [question, FormDialog])
def test_what_was_accepted_does_not_count_once_the_window_is_gone(
    make: Callable[[QWidget], FormDialog],
) -> None:
    over = QWidget()
    asked = make(over)

    def go() -> None:
        if isinstance(asked, QuestionDialog):
            asked.answer = "discard"
        asked.accept()
        delete_now(over)

    QTimer.singleShot(0, go)
    answer = asked.answered() if isinstance(asked, QuestionDialog) else asked.ask()
    assert answer == ("stay" if make is question else False)
    assert not isValid(asked)


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

    QTimer.singleShot(0, act)
    assert asked.answered() == answer
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert not isValid(asked)
    assert isValid(over)
