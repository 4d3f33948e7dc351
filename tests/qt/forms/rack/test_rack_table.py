"""The rack's table: which pieces are selected."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractItemView, QLineEdit
from pytestqt.qtbot import QtBot

from gridjig.qt.forms.rack.rack_form import RackForm
from gridjig.qt.forms.rack.rack_rows import OWNED
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


def test_enter_where_an_editor_is_open_already_says_nothing_to_qt(qtbot: QtBot) -> None:
    """Qt would warn, which fails the test: a click elsewhere ends its editing, not the editor."""
    form = form_over(qtbot, laid(), RackForm)
    table = form.table
    table.choose("pin", OWNED)
    QTest.keyClick(table, Qt.Key.Key_Return)
    assert len(table.viewport().findChildren(QLineEdit)) == 1
    table.setState(QAbstractItemView.State.NoState)
    QTest.keyClick(table, Qt.Key.Key_Return)
    assert len(table.viewport().findChildren(QLineEdit)) == 1
    assert form.isVisible()
