"""F1 in a form opens the help that belongs to it."""

import ast
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

import gridjig.qt
from gridjig.qt.dialogs.dialog import FormDialog, HelpSheet
from gridjig.qt.dialogs.help import TOPICS, HelpPane
from gridjig.qt.dialogs.questions import AnswerButton, QuestionDialog
from tests.qt.windows import FORMS, opened
from tests.workshop import laid, plate, stop

QT = Path(gridjig.qt.__file__).parent
TOPIC_OF = {
    "angle.chart": "angle",
    "check.exact": "check",
    "check.loading": "check",
    "file.changes": "files",
    "file.export": "files",
    "file.sheet": "sheet",
    "rack.form": "rack",
    "table.form": "table",
    "piece.suggest": "suggest",
    "table.repeat": "table",
    "view.floor": "sheet",
    "view.legend": "select",
    "weldment.chain": "member",
    "weldment.section": "member",
    "weldment.starter": "starters",
    "settings": "settings",
    "help.keys": "start",
}


@pytest.mark.expectation(97)
@pytest.mark.parametrize("action", [*FORMS, "settings", "help.keys"])
def test_f1_in_a_form_opens_its_help_over_it(qtbot: QtBot, action: str) -> None:
    with opened(qtbot, laid(stop("s", 6, 6), plate("o", 300, 400))) as window:
        window.port.do(action)
        form = next(
            w for w in QApplication.topLevelWidgets() if isinstance(w, FormDialog) and w.isVisible()
        )
        form.activateWindow()
        qtbot.waitUntil(form.isActiveWindow)
        QTest.keyClick(form.focusWidget() or form, Qt.Key.Key_F1)
        sheet = form.findChild(HelpSheet)
        assert sheet is not None
        assert sheet.isVisible()
        assert sheet.pane.topic == TOPIC_OF[action]
        sheet.reject()
        assert form.isVisible()
        form.done(0)


def test_a_question_has_the_help_of_the_form_that_asks(qtbot: QtBot) -> None:
    class Asking(FormDialog):
        topic = "rack"

    form, window = Asking(), QWidget()
    for over, topic in ((form, "rack"), (window, "files")):
        qtbot.addWidget(over)
        asked = QuestionDialog("Sure?", "Why.", (AnswerButton("yes", "Yes"),), over)
        assert asked.help_topic() == topic


def test_every_dialog_is_a_form_and_every_topic_there_is() -> None:
    named: set[str] = set()
    for file in sorted(QT.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.ClassDef):
                continue
            bases = {base.id for base in node.bases if isinstance(base, ast.Name)}
            assert "QDialog" not in bases or file.name == "dialog.py", f"{file.name}: {node.name}"
            for one in node.body:
                if isinstance(one, ast.Assign) and ast.unparse(one.targets[0]) == "topic":
                    topic = ast.literal_eval(one.value)
                    assert topic in {*TOPICS, ""}, f"{file.name}: {topic}"
                    named.add(topic)
    assert len(named) >= 8  # one for each kind of form


def test_help_begins_with_the_start_once_it_is_seen(qtbot: QtBot) -> None:
    pane, asked = HelpPane(), HelpPane()
    for one in (pane, asked):
        qtbot.addWidget(one)
    pane.set_letters(False)
    assert pane.document().isEmpty()
    pane.show()
    assert pane.topic == "start"
    assert "Letter keys are off" in pane.toPlainText()
    asked.show_topic("check")
    asked.show()
    assert asked.topic == "check"


def test_a_licence_stays_when_the_letter_keys_are_turned_off(qtbot: QtBot) -> None:
    pane = HelpPane()
    qtbot.addWidget(pane)
    pane.anchorClicked.emit(QUrl("text:PySide6-Essentials"))
    pane.set_letters(False)
    pane.show()
    assert "GNU LESSER GENERAL PUBLIC LICENSE" in pane.toPlainText()


def test_the_licences_can_be_read_from_the_page_about_the_program(qtbot: QtBot) -> None:
    pane = HelpPane()
    qtbot.addWidget(pane)
    pane.show_topic("about")
    assert "Built with" in pane.toPlainText()
    pane.anchorClicked.emit(QUrl("text:PySide6-Essentials"))
    assert "GNU LESSER GENERAL PUBLIC LICENSE" in pane.toPlainText()
    pane.anchorClicked.emit(QUrl("text:nothing"))
    assert "GNU LESSER GENERAL PUBLIC LICENSE" in pane.toPlainText()
    pane.show_topic("about")
    assert "Built with" in pane.toPlainText()
