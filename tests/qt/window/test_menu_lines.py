"""A menu has no room beside its lines: what looks like a part of a line takes a click."""

import pytest
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import Settings
from tests.qt.windows import make_window
from tests.workshop import EMPTY


@pytest.mark.parametrize("glove", [False, True])
def test_every_line_of_a_menu_takes_a_click_over_the_whole_width(qtbot: QtBot, glove: bool) -> None:
    window = make_window(qtbot, EMPTY, Settings(glove=glove))
    narrow, seen = [], 0
    for menu in window.findChildren(QMenu):
        menu.ensurePolished()
        menu.resize(menu.sizeHint())
        lines = [menu.actionGeometry(a) for a in menu.actions() if not a.isSeparator()]
        if not lines:
            continue
        seen += 1
        covered = sum({line.left(): line.width() for line in lines}.values())
        if covered < menu.width() - 8:
            narrow.append((menu.title(), covered, menu.width()))
    assert seen > 15
    assert narrow == []
