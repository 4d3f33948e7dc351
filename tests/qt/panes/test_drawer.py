"""Finding a piece in the drawer by typing and by the arrow keys."""

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.qt.panes.lists.drawer_pane import DrawerPane
from gridjig.qt.panes.lists.drawer_texts import DrawerTexts
from gridjig.qt.window.window import Window
from gridjig.rack import Piece
from gridjig.sheets.lists.drawer_list import DrawerLine
from tests.qt.windows import make_window, on_plan
from tests.trials.keyed import KEYED

KEY = Qt.Key


def pin_of(window: Window) -> Piece:
    return next(p for p in window.document.job.rack.pieces if p.kind == "pin")


def found(pane: DrawerPane) -> list[str]:
    return [line.piece_id for line in pane.model.lines if line.can_place]


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    window = make_window(qtbot, KEYED["T02"]())
    QTest.keyClick(on_plan(qtbot, window), KEY.Key_P)
    return window


def test_the_arrow_keys_go_through_what_was_found(window: Window) -> None:
    pane = window.workspace.drawer
    QTest.keyClicks(pane.list, "r")
    QTest.keyClicks(pane.search, "iser")
    assert pane.search.text() == "riser"
    pieces = found(pane)
    assert len(pieces) > 3
    assert pane.current() == pieces[0]
    for wanted in pieces[1:4]:
        QTest.keyClick(pane.search, KEY.Key_Down)
        assert pane.current() == wanted
    QTest.keyClick(pane.search, KEY.Key_Up)
    assert pane.current() == pieces[2]
    QTest.keyClick(pane.search, KEY.Key_Return)
    assert window.workspace.tool.name == "place"
    assert pane.current() == pieces[2]
    assert window.focusWidget() is window.workspace.canvas


def test_lines_are_measured_once_the_list_has_a_width(window: Window, qtbot: QtBot) -> None:
    pane = DrawerPane(window.appearance)
    qtbot.addWidget(pane)
    pane.show_job(window.document.job)
    rows = [k for k, line in enumerate(pane.model.lines) if line.piece is not None]
    before = {pane.list.sizeHintForIndex(pane.model.index(k)).height() for k in rows}
    metrics = window.appearance.metrics
    assert before == {metrics.target + metrics.gap}
    pane.resize(220, 700)
    pane.show()
    high = [pane.list.visualRect(pane.model.index(k)).height() for k in rows]
    assert len(high) > 5
    assert high == [pane.list.sizeHintForIndex(pane.model.index(k)).height() for k in rows]
    assert max(high) > metrics.target + metrics.gap


def test_a_line_is_as_tall_as_its_texts_are_now(window: Window) -> None:
    line = DrawerLine("Pins", pin_of(window), left=3)
    texts, font = DrawerTexts(), window.font()
    low = texts.of(line, font, 400)
    assert [words for words, *_ in low] == [line.name, line.size, line.count_words]
    assert texts.of(line, QFont(font), 400) is low  # nothing has changed
    narrow = texts.of(line, font, 60)
    assert sum(high for *_, high in narrow) > sum(high for *_, high in low)
    short = texts.of(structs.replace(line, left=-1), font, 60)
    assert short[-1][0] == "\N{BLACK UP-POINTING TRIANGLE} short by 1"
    assert short[-1][2] == "clash_text"
    font.setPointSizeF(2 * font.pointSizeF())
    large = texts.of(line, font, 400)
    assert large[0][3] > low[0][3]
    assert large == DrawerTexts().of(line, font, 400)


def test_home_and_end_pass_over_the_headings(window: Window) -> None:
    pane = window.workspace.drawer
    pieces = [line.piece_id for line in pane.model.lines if line.piece is not None]
    QTest.keyClick(pane.list, KEY.Key_End)
    assert pane.current() == pieces[-1]
    QTest.keyClick(pane.list, KEY.Key_Home)
    assert pane.current() == pieces[0]
    assert pane.list.verticalScrollBar().value() == 0


def test_the_search_is_cleared_once_its_piece_is_placed(window: Window, qtbot: QtBot) -> None:
    pane = window.workspace.drawer
    QTest.keyClicks(pane.list, "d")
    QTest.keyClicks(pane.search, "own-clamp")
    QTest.keyClick(pane.search, KEY.Key_Return)
    taken, before = pane.current(), len(window.document.job.placements)
    assert taken
    window.port.do("view.fit")
    QTest.keyClicks(window.workspace.canvas, "")
    window.entry.typed.emit("C4")
    assert len(window.document.job.placements) == before + 1
    qtbot.waitUntil(lambda: pane.search.text() == "")
    assert pane.current() == taken
    assert len(found(pane)) > 10


def test_home_and_end_go_to_the_ends_of_a_list_of_faces(window: Window) -> None:
    window.port.do("weldment.faces")
    lines = window.workspace.weldment.pane.faces.list
    keys = [entry.key for entry in lines.lines.entries if not entry.heading]
    assert len(keys) > 5
    QTest.keyClick(lines, KEY.Key_End)
    assert lines.current_key() == keys[-1]
    last = lines.visualRect(lines.currentIndex())
    assert lines.viewport().rect().contains(last)  # opened, and all of it in view
    QTest.keyClick(lines, KEY.Key_Home)
    assert lines.current_key() == keys[0]
    high = [lines.visualRect(lines.lines.index(row)).height() for row in (1, 2)]
    assert high[0] > high[1]  # only the highlighted one is shown in full
