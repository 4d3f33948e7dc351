"""Esc in a list of a form closes the form: no list swallows the key."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QListWidget,
    QTableWidget,
    QTreeWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.panes.weldment.weldment_page import PageList
from gridjig.qt.style.appearance import Appearance
from gridjig.qt.style.metrics import measure
from gridjig.qt.style.theme import THEMES
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.layout import in_column
from gridjig.qt.widgets.list_entry import ListEntry
from gridjig.qt.widgets.order_list import OrderEntry, OrderList


def appearance() -> Appearance:
    return Appearance(THEMES["light"], measure(QApplication.primaryScreen()))


def filled(view: EntryListView) -> EntryListView:
    view.show_entries([ListEntry(key="a", head="A"), ListEntry(key="b", head="B")], None)
    return view


def order() -> QWidget:
    made = OrderList("Order")
    made.show_entries((OrderEntry("a", "A"), OrderEntry("b", "B")))
    return made


LISTS: dict[str, Callable[[], QWidget]] = {
    "entries": lambda: filled(EntryListView("Entries", appearance())),
    "choices": lambda: filled(PageList("Choices", appearance())),
    "several choices": lambda: filled(PageList("Several", appearance(), single=False)),
    "order": order,
    "list": QListWidget,
    "table": lambda: QTableWidget(2, 2),
    "tree": QTreeWidget,
}


@pytest.mark.parametrize("kind", LISTS)
def test_esc_in_a_list_of_a_form_closes_the_form(qtbot: QtBot, kind: str) -> None:
    form = FormDialog()
    qtbot.addWidget(form)
    made = LISTS[kind]()
    in_column(made, over=form)
    form.show()
    view = made if isinstance(made, QAbstractItemView) else made.findChild(QAbstractItemView)
    assert isinstance(view, QAbstractItemView)
    view.setFocus()
    QTest.keyClick(view, Qt.Key.Key_Escape)
    assert not form.isVisible()
