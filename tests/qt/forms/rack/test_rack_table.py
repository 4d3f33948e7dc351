"""The rack's table: which pieces are selected."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.qt.forms.rack.rack_form import RackForm
from tests.qt.formhands import form_over
from tests.workshop import laid


def test_a_piece_chosen_while_ctrl_is_held_is_the_only_one_selected(qtbot: QtBot) -> None:
    form = form_over(qtbot, laid(), RackForm)
    table = form.table
    table.choose("pin")
    QTest.keyPress(form.windowHandle(), Qt.Key.Key_F1, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.keyboardModifiers() == Qt.KeyboardModifier.ControlModifier
    table.choose("slider")
    assert table.chosen_ids() == ("slider",)
