"""The window in use: by keys alone, by fingers and gloves, on screens of every size."""

import re

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gridjig.edits.selection import shift
from gridjig.files.storage.settings import Settings, read_settings
from gridjig.model import Hole, Member
from gridjig.qt.window.window import Window
from tests.qt.windows import CTRL, SHIFT, make_window, on_plan, press, told
from tests.workshop import EMPTY, laid, pin, plate, put, seat, stop

THREE = laid(pin("a", 2, 2), pin("b", 5, 5), plate("part", 150, 150))


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    return make_window(qtbot, THREE)


def test_what_was_said_before_a_step_is_not_what_just_happened(window: Window) -> None:
    window.document.do(shift(THREE, frozenset("a"), 1, 0), "Move the pin")
    window.port.do("edit.undo")
    assert window.entry.said.words() == "Undone: Move the pin."
    window.document.select(["b"])  # no step
    window.workspace.refresh()
    assert window.entry.said.words() == "Undone: Move the pin."
    window.document.do(shift(THREE, frozenset("b"), 1, 0), "Move the pin")
    assert window.entry.said.words() == ""


def test_nothing_in_the_list_is_called_fine_before_the_first_check(
    qtbot: QtBot, window: Window
) -> None:
    work = window.workspace

    def levels() -> list[str]:
        return [entry.level for entry in work.placed.list.given if not entry.heading]

    qtbot.waitUntil(lambda: bool(work.looked_at))
    work.looked_at, work.findings = (), ()  # as when the job was opened
    work.refresh()
    assert levels() == ["", "", ""]
    window.document.do(shift(THREE, frozenset("a"), 0, 9), "Move the pin")
    qtbot.waitUntil(lambda: bool(work.looked_at))
    assert len(levels()) == 3
    assert all(levels())


# -- keyboard --------------------------------------------------------------------------------------


@pytest.mark.expectation(25, 26, 61)
def test_a_whole_jig_is_set_with_the_keyboard_alone(qtbot: QtBot) -> None:
    """Three stops, an arm, two clamps, and the check, with keys only."""
    window = make_window(qtbot, EMPTY)
    window.start_pages.dismiss()

    def place(search: str, *keys: Qt.Key, hole: str = "") -> None:
        canvas = on_plan(qtbot, window)
        press(qtbot, canvas, Qt.Key.Key_P)
        press(qtbot, window.workspace.drawer.list, Qt.Key.Key_Backtab, SHIFT)
        window.workspace.drawer.search.selectAll()
        QTest.keyClicks(window.workspace.drawer.search, search)
        press(qtbot, window.workspace.drawer.search, Qt.Key.Key_Return)
        assert window.focusWidget() is canvas
        assert canvas.tool.name == "place"  # type: ignore[attr-defined]
        press(qtbot, canvas, Qt.Key.Key_T)
        assert window.focusWidget() is window.entry.edit
        QTest.keyClicks(window.entry.edit, hole)
        count = len(window.document.job.placements)
        press(qtbot, window.entry.edit, Qt.Key.Key_Return)
        assert len(window.document.job.placements) == count + 1, told(window)
        press(qtbot, window.entry.edit, Qt.Key.Key_Escape)
        for key in keys:
            press(qtbot, canvas, key)

    from gridjig.model import Hole
    from gridjig.model.labels import address

    def at(col: int, row: int) -> str:
        return address(EMPTY.table, Hole(col, row))

    place("fixed stop", hole=at(1, 1))
    place("fixed stop", hole=at(4, 1))
    place("fixed stop", hole=at(1, 4))
    place("swing arm", hole=at(4, 4))
    place("clamp", hole=at(8, 2))
    place("clamp", hole=at(8, 6))
    canvas = on_plan(qtbot, window)
    press(qtbot, canvas, Qt.Key.Key_Escape)
    assert window.workspace.canvas.tool.name == "select"
    assert [p.piece for p in window.document.job.placements] == [
        "stop",
        "stop",
        "stop",
        "arm",
        "clamp",
        "clamp",
    ]
    press(qtbot, canvas, Qt.Key.Key_F8)
    assert window.workspace.tabs.currentWidget() is window.workspace.checks
    assert window.workspace.checker.answered is window.document.job


@pytest.mark.expectation(63)
def test_the_focus_goes_round_and_leaves_the_sheet(qtbot: QtBot, window: Window) -> None:
    on_plan(qtbot, window)
    seen = []
    for _ in range(4):
        seen.append(window.focusWidget())
        press(qtbot, window, Qt.Key.Key_F6)
    assert window.focusWidget() is seen[0] is window.workspace.canvas
    assert len({id(w) for w in seen}) == 4
    press(qtbot, window, Qt.Key.Key_F6, SHIFT)
    assert window.focusWidget() is window.workspace.drawer.list
    press(qtbot, window, Qt.Key.Key_3, CTRL)
    focus = window.focusWidget()
    assert focus is not None
    assert window.workspace.properties.isAncestorOf(focus)
    press(qtbot, window, Qt.Key.Key_4, CTRL)
    assert window.focusWidget() is window.workspace.placed.list


def test_f2_types_over_the_name(qtbot: QtBot, window: Window) -> None:
    on_plan(qtbot, window)
    window.document.select(["a"])
    qtbot.waitUntil(window.actions_made.made["edit.name"].isEnabled)
    press(qtbot, window, Qt.Key.Key_F2)
    focus = window.focusWidget()
    assert isinstance(focus, QLineEdit)
    QTest.keyClicks(focus, "datum")
    press(qtbot, focus, Qt.Key.Key_Return)
    assert getattr(window.document.job.find("a"), "name") == "datum"  # noqa: B009


@pytest.mark.expectation(66)
def test_every_control_has_a_name_for_readers(qtbot: QtBot, window: Window) -> None:
    kinds = (QAbstractButton, QLineEdit, QComboBox, QAbstractItemView, QPlainTextEdit)
    unnamed, looked_at = [], 0
    for widget in window.findChildren(QWidget):
        if not isinstance(widget, kinds) or widget.objectName().startswith("qt_"):
            continue
        if isinstance(widget.parent(), QComboBox) or type(widget.parent()).__name__ == "QTabBar":
            continue
        if isinstance(widget.parent(), QLineEdit):
            continue
        looked_at += 1
        text = widget.text() if isinstance(widget, QAbstractButton) else ""
        inside_combo = any(isinstance(p, QComboBox) for p in _parents(widget))
        if not inside_combo and not widget.accessibleName() and not text:
            unnamed.append(f"{type(widget).__name__} in {type(widget.parent()).__name__}")
        if widget.accessibleName() and text and isinstance(widget, QToolButton):
            assert widget.accessibleName().startswith(text.split("\n")[0].rstrip("…"))
    assert looked_at >= 30
    assert unnamed == []


def _parents(widget: QWidget) -> list[QWidget]:
    found = []
    above = widget.parentWidget()
    while above is not None:
        found.append(above)
        above = above.parentWidget()
    return found


# -- room and look ---------------------------------------------------------------------------------


@pytest.mark.expectation(74)
@pytest.mark.parametrize(("wide", "high"), [(1280, 800), (800, 1280), (1920, 1200)])
@pytest.mark.parametrize("percent", [100, 150, 200])
def test_everything_fits_the_screen_both_ways_up(
    qtbot: QtBot, wide: int, high: int, percent: int
) -> None:
    window = make_window(qtbot, THREE, Settings(text_percent=percent))
    window.resize(wide, high)
    qtbot.waitUntil(lambda: window.width() == wide)
    assert window.width() <= wide
    assert window.height() <= high
    upright = window.workspace.outer.orientation() == Qt.Orientation.Vertical
    assert upright == (high > wide)
    assert window.workspace.canvas.width() >= 240
    assert window.workspace.canvas.height() >= 180
    form = window.workspace.properties
    QApplication.processEvents()  # the form may become one of the pages
    for part in (
        window.workspace.drawer,
        window.workspace.tabs if window.workspace.form_is_page() else form,
        window.workspace.tabs,
        window.status_bar.lamp,
    ):
        inside = window.rect().contains(part.mapTo(window, QPoint(part.width() - 1, 1)))
        assert inside, type(part).__name__


@pytest.mark.expectation(70)
def test_letters_twice_as_large_cut_no_button(qtbot: QtBot) -> None:
    window = make_window(qtbot, THREE, Settings(text_percent=200))
    window.resize(1280, 800)

    def whole() -> None:
        worded = [b for b in window.findChildren(QAbstractButton) if b.isVisible() and b.text()]
        assert len(worded) >= 8
        for button in worded:
            assert button.width() >= button.fontMetrics().horizontalAdvance(
                max(button.text().split("\n"), key=len)
            ), button.text()

    qtbot.waitUntil(whole)


@pytest.mark.expectation(71)
@pytest.mark.source(
    "published", "Microsoft guideline on touch targets", "9 mm for fingers, seen as an excerpt"
)
def test_targets_suit_a_finger(qtbot: QtBot, window: Window) -> None:
    _all_at_least(window, window.appearance.metrics.whole(9.0))


@pytest.mark.expectation(72)
@pytest.mark.source(
    "published", "Colle and Hiszem 2004", "20 mm keys for standing use, seen as an excerpt"
)
def test_targets_suit_a_glove(qtbot: QtBot) -> None:
    window = make_window(qtbot, THREE, Settings(glove=True))
    window.document.select(["a"])
    qtbot.waitUntil(lambda: _all_at_least(window, window.appearance.metrics.whole(20.0)))
    assert window.height() <= 800


def _all_at_least(window: Window, side: int) -> None:
    buttons = [
        button
        for button in window.findChildren(QAbstractButton)
        if button.isVisible()
        and not isinstance(button.parent(), QLineEdit | QComboBox)
        and type(button.parent()).__name__ != "QTabBar"
    ]
    assert len(buttons) >= 10
    small = [
        f"{button.text()!r} {button.width()} x {button.height()}"
        for button in buttons
        if min(button.width(), button.height()) < side
    ]
    assert small == []


@pytest.mark.expectation(81)
def test_light_is_the_default_and_dark_a_choice(qtbot: QtBot, window: Window) -> None:
    def colours() -> str:
        return window.appearance.theme.palette.name

    assert colours() == "light"
    window.port.do("theme.dark")
    assert colours() == "dark"
    assert read_settings().theme == "dark"
    assert window.actions_made.made["theme.dark"].isChecked()


@pytest.mark.expectation(82)
def test_a_black_and_white_setting_exists(window: Window) -> None:
    window.port.do("theme.print")
    assert window.appearance.theme.palette.ink == "#000000"


def test_drawer_and_side_can_be_folded_away(qtbot: QtBot, window: Window) -> None:
    window.port.do("view.rack")
    assert not window.workspace.drawer.isVisible()
    assert window.entry.said.words() == "The rack drawer is hidden; F9 shows it again."
    window.port.do("view.side")
    assert not window.workspace.side.isVisible()
    assert "hidden; F10 shows them again" in window.entry.said.words()
    window.port.do("go.pull")
    assert window.workspace.side.isVisible()
    window.port.do("go.rack")
    assert window.workspace.drawer.isVisible()


@pytest.mark.expectation(10)
def test_zoom_and_pointer_are_in_the_strip(qtbot: QtBot, window: Window) -> None:
    window.workspace.canvas.actual_size()
    assert window.status_bar.scale.words() == "1:1"
    window.workspace.canvas.zoom_by(0.5)
    assert window.status_bar.scale.words() == "1:2"
    QTest.mouseMove(window.workspace.canvas, QPoint(200, 200))
    window.workspace.canvas.point(QPointF(200, 200))
    assert re.match(r"[A-Z]+\d+", window.status_bar.pointer.words())


@pytest.mark.expectation(9)
def test_the_view_stays_after_an_edit_and_an_undo(qtbot: QtBot, window: Window) -> None:
    window.workspace.canvas.zoom_by(1.1)
    before = window.workspace.canvas.view
    window.document.do(shift(window.document.job, {"a"}, 1, 0), "Move")
    qtbot.waitUntil(lambda: window.workspace.checker.answered is window.document.job)
    assert window.workspace.canvas.view == before
    window.port.do("edit.undo")
    assert window.workspace.canvas.view == before


@pytest.mark.expectation(38)
def test_undo_shows_the_place_if_it_is_off_the_screen(qtbot: QtBot) -> None:
    window = make_window(qtbot, laid(stop("near", 1, 1), put("far", "pin", seat("p", 9, 7))))
    window.document.do(shift(window.document.job, {"far"}, 0, -1), "Move far")
    window.document.select(["near"])
    window.workspace.canvas.set_view(window.workspace.canvas.view.zoomed(8.0, (0.0, 600.0)))
    before = window.workspace.canvas.view
    window.port.do("edit.undo")
    assert window.workspace.canvas.view != before


@pytest.mark.expectation(28)
def test_a_size_is_typed_over_the_sheet_while_something_is_drawn(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    canvas, edit = window.workspace.canvas, window.entry.edit
    canvas.zoom_by(2.0)
    view = canvas.view
    window.port.do("tool.member")
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_0)
    assert window.focusWidget() is edit
    QTest.keyClicks(edit, ".5")
    assert (edit.text(), canvas.view) == ("0.5", view)
    window.port.tools.select()
    assert "“0.5” was ignored" in told(window)
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_0)  # with nothing to draw it shows the whole table
    assert canvas.view != view
    assert edit.text() == ""
    window.port.do("tool.rectangle")
    canvas.setFocus()
    view = canvas.view
    QTest.keyClick(canvas, Qt.Key.Key_1, Qt.KeyboardModifier.KeypadModifier)
    assert (edit.text(), canvas.view) == ("1", view)


def test_doing_what_the_prompt_says_draws_a_member(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    canvas, edit = on_plan(qtbot, window), window.entry.edit
    window.port.do("tool.member")
    canvas.setFocus()
    qtbot.waitUntil(lambda: "press T and type a hole or x, y" in window.entry.hint.words())
    QTest.keyClick(canvas, Qt.Key.Key_T)
    assert window.focusWidget() is edit
    qtbot.waitUntil(lambda: "press T" not in window.entry.hint.words())  # it is there already
    assert "or type a hole or x, y" in window.entry.hint.words()
    for typed in ("E4", "360 at 70"):
        QTest.keyClicks(edit, typed)
        QTest.keyClick(edit, Qt.Key.Key_Return)
    (member,) = window.document.job.parts
    assert isinstance(member, Member)
    assert window.document.job.table.nearest(member.x, member.y) == Hole(4, 3)
    assert (member.turn, member.length) == pytest.approx((70.0, 360.0))
