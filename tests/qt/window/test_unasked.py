"""Nothing changes behind the person's back: by wheel, letters or focus, in forms or drawings."""

from collections.abc import Callable

import pytest
from msgspec import structs
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QCursor, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QPushButton, QTabBar, QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import Settings
from gridjig.model import Hole, Job
from gridjig.qt.actions.port import Page
from gridjig.qt.widgets.line_edit import FieldEdit
from gridjig.qt.window.keys_sheet import keys_html
from gridjig.qt.window.window import Window
from gridjig.tools.core.pointer import KeyPress, Pointer
from gridjig.tools.draw.place_tool import PlaceTool
from gridjig.tools.pick.hole_tool import HoleTool
from tests.qt.anglehands import ARMED, STRUT, aside, typed
from tests.qt.anglehands import opened as angle_opened
from tests.qt.windows import make_window, on_plan, told
from tests.solve.weldments import frame
from tests.workshop import EMPTY, laid, pin, plate, put, seat, stop

JOB = laid(
    stop("s", 3, 13),
    pin("p", 16, 12),
    put("arm", "arm", seat("h", 12, 14), seat("a", 14, 14)),
    put("clamp", "clamp", seat("p", 14, 5), reach=100.0),
    plate("bar", 700, 100, 200, 40),
    *frame(),
)


def settle() -> None:
    for _ in range(4):
        QApplication.processEvents()


def shown_widgets(window: Window) -> list[QWidget]:
    every = window.findChildren(QWidget)
    return [w for w in every if w.isVisible() and w is not window.workspace.canvas]


def turn_wheel(widget: QWidget) -> None:
    at = QPointF(widget.rect().center())
    event = QWheelEvent(
        at,
        QPointF(widget.mapToGlobal(at.toPoint())),
        QPoint(),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, event)


SELECTIONS = [(), ("s",), ("front",), ("bar",), ("s", "p")]


@pytest.mark.parametrize("page", ["placed", "angle", "weldment"])
def test_the_wheel_takes_no_focus_and_changes_nothing(qtbot: QtBot, page: Page) -> None:
    window = make_window(qtbot, JOB)
    window.port.pages.show(page)
    boxes = 0
    for ids in SELECTIONS:
        window.document.select(ids)
        settle()
        on_plan(qtbot, window)
        every = [w for w in shown_widgets(window) if not canvas_of(window).isAncestorOf(w)]
        before = choices(every)
        boxes += sum(isinstance(w, QComboBox) for w in every)
        for widget in every:
            wheel_too = widget.focusPolicy() == Qt.FocusPolicy.WheelFocus
            assert not wheel_too, (widget, widget.accessibleName())
            turn_wheel(widget)
        settle()
        assert len(every) > 50
        assert window.focusWidget() is canvas_of(window)
        assert choices(every) == before
    assert boxes > 3 or page == "weldment"  # its pages have lists and buttons only
    assert window.document.job is JOB


def canvas_of(window: Window) -> QWidget:
    return window.workspace.canvas


def choices(widgets: list[QWidget]) -> dict[int, int]:
    """What is chosen in every box and tab bar."""
    return {id(w): w.currentIndex() for w in widgets if isinstance(w, QComboBox | QTabBar)}


@pytest.mark.parametrize("ids", [("front",), ("arm",), ()])
def test_letters_do_not_reach_a_choice_that_was_not_opened(
    qtbot: QtBot, ids: tuple[str, ...]
) -> None:
    window = make_window(qtbot, JOB)
    window.document.select(ids)
    settle()
    boxes = [w for w in shown_widgets(window) if isinstance(w, QComboBox) and w.isEnabled()]
    assert boxes
    for box in boxes:
        box.setFocus()
        before = box.currentIndex()
        for key in (Qt.Key.Key_M, Qt.Key.Key_B, Qt.Key.Key_S, Qt.Key.Key_N, Qt.Key.Key_9):
            QTest.keyClick(box, key)
        assert box.currentIndex() == before, box.accessibleName()
        assert not box.view().isVisible()
    settle()
    assert window.document.job is JOB
    box = next(one for one in boxes if not one.isEditable())
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Space)  # opened on purpose
    assert box.view().isVisible()
    box.hidePopup()


# -- after an act the plan has the focus -------------------------------------------------------


def button(window: Window, words: str) -> QPushButton:
    found = [
        b
        for b in window.workspace.findChildren(QPushButton)
        if b.isVisible() and b.text().startswith(words)
    ]
    assert found, words
    return found[0]


def by_mouse(one: QPushButton) -> None:
    QTest.mouseClick(one, Qt.MouseButton.LeftButton)


def by_key(one: QPushButton) -> None:
    one.setFocus()
    QTest.keyClick(one, Qt.Key.Key_Space)


@pytest.mark.parametrize("how", [by_mouse, by_key])
@pytest.mark.parametrize("ids", [("bar",), ("front", "back")])
def test_after_an_act_in_a_form_the_plan_has_the_focus(
    qtbot: QtBot, how: Callable[[QPushButton], None], ids: tuple[str, ...]
) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    window.document.select(ids)
    settle()
    step = next(
        e
        for e in window.workspace.properties.findChildren(FieldEdit)
        if e.accessibleName() == "Step along y" and e.isVisibleTo(window)
    )
    step.setFocus()
    step.selectAll()
    QTest.keyClicks(step, "200")
    QTest.keyClick(step, Qt.Key.Key_Return)
    assert window.focusWidget() is step  # a value is no act: the next one can be typed
    how(button(window, "Repeat"))
    settle()
    assert window.document.job is not JOB
    assert window.focusWidget() is canvas_of(window)


def test_a_value_entered_by_leaving_its_field_leaves_the_focus_where_it_went(
    qtbot: QtBot,
) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    window.document.select(["bar"])
    settle()
    name = window.workspace.properties.plate_form.name.edit
    name.setFocus()
    name.selectAll()
    QTest.keyClicks(name, "Base")
    repeat = button(window, "Repeat")
    repeat.setFocus(Qt.FocusReason.TabFocusReason)
    settle()
    assert window.document.job is not JOB
    assert window.focusWidget() is repeat


def test_after_setting_up_an_angle_the_plan_has_the_focus_also_the_second_time(
    qtbot: QtBot,
) -> None:
    window = make_window(qtbot, STRUT)
    pane = angle_opened(qtbot, window)
    typed(qtbot, pane, "37.5")
    qtbot.waitUntil(pane.answers.set.isEnabled, timeout=20000)
    by_mouse(pane.answers.set)
    settle()
    assert window.document.job is not STRUT
    assert window.focusWidget() is canvas_of(window)
    window.port.pages.show("placed")
    window.port.do("angle.find")
    settle()
    assert not isinstance(window.focusWidget(), QPushButton)


# -- letter keys -------------------------------------------------------------------------------

LETTERS = [Qt.Key.Key_R, Qt.Key.Key_F, Qt.Key.Key_L, Qt.Key.Key_B, Qt.Key.Key_C, Qt.Key.Key_M]


@pytest.mark.parametrize("ids", [("s",), ("arm",), ("front",)])
def test_letter_keys_off_are_off_on_the_plan_in_every_tool(
    qtbot: QtBot, ids: tuple[str, ...]
) -> None:
    window = make_window(qtbot, JOB, Settings(letters=False))
    canvas = on_plan(qtbot, window)
    window.document.select(ids)
    for tool in ("tool.select", "tool.member", "join.trim", "tool.holes"):
        window.port.do(tool)
        window.workspace.focus_plan()
        before = window.workspace.tool
        hint = window.workspace.canvas.prompt
        for key in (*LETTERS, Qt.Key.Key_S, Qt.Key.Key_V, Qt.Key.Key_H, Qt.Key.Key_P):
            QTest.keyClick(canvas, key)
            QTest.keyClick(canvas, key, Qt.KeyboardModifier.ShiftModifier)
        settle()
        assert window.document.job is JOB
        assert window.workspace.tool is before
        assert window.workspace.canvas.prompt == hint


def test_letter_keys_off_leave_prompt_tooltips_keys_and_help_without_letters(
    qtbot: QtBot,
) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    window.document.select(["s"])
    settle()
    turn = window.actions_made.made["piece.turn"]
    assert "R to turn" in told(window)
    assert "(R)" in turn.toolTip()
    assert "Letter keys are off" not in window.workspace.help.toPlainText()
    window.change_settings(letters=False)
    settle()
    assert "R to turn" not in told(window)
    assert "Del to delete" in told(window)
    assert "(R)" not in turn.toolTip()
    assert window.entry.label.text() == "Type (/)"
    window.port.pages.show_help("select")
    assert "Letter keys are off" in window.workspace.help.toPlainText()
    assert "<b>R</b>" in keys_html()
    assert "<b>R</b>" not in keys_html(letters=False)
    assert "<b>L</b>" not in keys_html(letters=False)
    assert "Ctrl+Z" in keys_html(letters=False)
    window.change_settings(letters=True)
    assert "(R)" in turn.toolTip()


# -- marks that need a size --------------------------------------------------------------------


def test_shallow_without_a_size_asks_for_it_and_marks_nothing(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    window.port.do("tool.holes")
    row = window.entry
    row.state.setCurrentIndex(row.state.findData("shallow"))
    row.state.activated.emit(row.state.currentIndex())
    settle()
    assert window.focusWidget() is row.amount
    assert "Type how deep" in told(window)
    tool = window.workspace.tool
    assert isinstance(tool, HoleTool)
    x, y = JOB.table.at(Hole(5, 7))
    click(window, Pointer(x, y))
    assert window.document.job is JOB
    assert "Nothing was marked" in told(window)
    QTest.keyClicks(row.amount, "6")
    QTest.keyClick(row.amount, Qt.Key.Key_Return)
    settle()
    assert window.focusWidget() is window.workspace.canvas
    click(window, Pointer(x, y))
    (mark,) = window.document.job.table.marks
    assert (mark.hole, mark.state, mark.size) == (Hole(5, 7), "shallow", 6.0)
    window.port.do("tool.holes")
    assert row.state.currentData() == "blocked"  # the row shows what the tool marks


def click(window: Window, pointer: Pointer) -> None:
    send = window.workspace.canvas.send_to_tool
    send(lambda controller: controller.move(pointer))
    send(lambda controller: controller.press(pointer))
    send(lambda controller: controller.release(pointer))


# -- forms -------------------------------------------------------------------------------------


def test_a_form_never_shows_what_was_refused_for_another_piece(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    window.document.select(["s"])
    settle()
    form = window.workspace.properties.placement_form
    form.holes[0].edit.setFocus()
    form.holes[0].edit.selectAll()
    QTest.keyClicks(form.holes[0].edit, "ZZ99")
    QTest.keyClick(form.holes[0].edit, Qt.Key.Key_Return)
    assert form.holes[0].has_complaint()
    window.port.do("edit.delete")
    settle()
    assert window.document.job.find("s") is None
    window.port.tools.take(PlaceTool(window.document, "stop"))
    window.workspace.canvas.send_to_tool(lambda controller: controller.type("D14"))
    settle()
    (placed,) = [p for p in window.document.job.placements if p.piece == "stop"]
    window.document.select([placed.id])
    settle()
    assert not form.holes[0].has_complaint()
    assert form.holes[0].edit.text() == "D14"


def test_the_form_shows_what_is_dragged_selected_or_not(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    window.document.select(["arm"])
    settle()
    form = window.workspace.properties.placement_form
    assert form.thing_id == "arm"
    send = window.workspace.canvas.send_to_tool
    x, y = JOB.table.at(Hole(3, 13))
    send(lambda controller: controller.press(Pointer(x, y)))
    send(lambda controller: controller.move(Pointer(x + 100.0, y)))
    qtbot.waitUntil(lambda: form.thing_id == "s")
    assert form.holes[0].edit.text() == "F14"
    send(lambda controller: controller.key(KeyPress("escape")))
    qtbot.waitUntil(lambda: form.thing_id == "arm")
    assert window.document.job is JOB


def test_what_is_dragged_is_no_longer_shown_after_an_undo_or_a_step(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    document = window.document
    document.select(["arm"])
    document.preview(None, frozenset(["s"]))
    assert document.about == {"s"}
    document.preview(None)
    assert document.about == {"arm"}


def test_what_was_under_the_pointer_is_let_go_when_it_leaves_the_plan(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    canvas = window.workspace.canvas
    x, y = canvas.view.to_screen(JOB.table.at(Hole(16, 12)))
    QTest.mouseMove(canvas, QPoint(round(x), round(y)))
    assert "Click to select locating pin" in window.entry.hint.words()
    QApplication.sendEvent(canvas, QEvent(QEvent.Type.Leave))
    assert canvas._overlay == ()
    assert window.entry.hint.words().startswith("Click something")


def test_an_arrow_at_a_piece_goes_with_it_whoever_moves_it(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    tip = window.document.placed_pieces["clamp"].tip
    assert tip is not None
    send = window.workspace.canvas.send_to_tool
    window.document.select(["clamp"])
    send(lambda controller: controller.move(Pointer(*tip.at)))
    before = window.workspace.canvas.controller.overlay()
    assert before
    window.document.do(without(JOB, "clamp"), "Take the clamp off")
    assert window.document.job.find("clamp") is None
    drawn = window.workspace.canvas._overlay
    assert drawn == window.workspace.canvas.controller.overlay() != before
    window.document.undo()
    assert window.workspace.canvas._overlay == window.workspace.canvas.controller.overlay()


def without(job: Job, thing_id: str) -> Job:
    return structs.replace(job, placements=tuple(p for p in job.placements if p.id != thing_id))


def test_what_a_pane_draws_goes_with_the_piece_after_turn_it_there_and_undo(
    qtbot: QtBot,
) -> None:
    window = make_window(qtbot, ARMED)
    window.document.select(["arm-1"])
    pane = angle_opened(qtbot, window, "angle.reach")
    settle()
    at_first = aside(window)
    assert at_first
    free = [e for e in pane.reach.list.lines.entries if not e.level]
    pane.reach.list.go_to(free[len(free) // 2].key)
    pane.reach.turn_there()
    settle()
    job = window.document.job
    assert job is not ARMED
    assert window.focusWidget() is not pane.reach.go
    other = make_window(qtbot, job)
    other.document.select(["arm-1"])
    fresh = angle_opened(qtbot, other, "angle.reach")
    fresh.reach.list.go_to(pane.reach.list.current_key())
    settle()
    assert aside(window) == aside(other)
    window.document.undo()
    settle()
    pane.reach.list.go_nowhere()
    settle()
    assert aside(window) == at_first
    window.port.pages.show("placed")
    assert aside(window) == ()


# -- prompt and message ------------------------------------------------------------------------


@pytest.mark.expectation(93)
def test_a_message_stands_beside_the_prompt_and_goes_by_itself(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    row = window.entry
    prompt = row.hint.words()
    assert prompt == "Click something to select it, or drag a box around several."
    window.show_message("The file is saved.")
    assert row.said.words() == "The file is saved."
    assert row.hint.words() == prompt
    row._said_timer.setInterval(1)
    row._said_timer.start()
    qtbot.waitUntil(lambda: row.said.words() == "")
    assert row.hint.words() == prompt
    assert "The file is saved." in row.said.toolTip()
    window.show_message("a" * 100)
    assert row._said_timer.interval() > 10_000  # a longer one stays longer
    row.explain("What the button does")
    assert row.said.words() == "a" * 100, "the pointer was there before"
    QCursor.setPos(QCursor.pos() + QPoint(1, 0))
    row.explain("What the button does")
    assert row.hint.words() == prompt
    assert row.said.words() == "What the button does"
    assert row.done.text() == "ABOUT"
    row.explain("")
    assert row.done.text() == "JUST NOW"
    assert row.said.words() == "a" * 100


@pytest.mark.expectation(93)
def test_a_refusal_goes_once_the_next_act_has_begun(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    canvas = on_plan(qtbot, window)
    window.document.select(["s"])
    row = window.entry
    window.workspace.canvas.send_to_tool(lambda controller: controller.type("Z99"))
    assert "Z99" in row.said.words()
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert row.said.words() == ""
    window.show_message("The file is saved.")
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert row.said.words() == "The file is saved."  # that is no refusal, and stays its time


@pytest.mark.expectation(93)
def test_the_prompt_says_what_keys_do_where_the_focus_is(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    on_plan(qtbot, window)
    window.document.select(["s"])
    settle()
    row, work = window.entry, window.workspace
    assert "R to turn" in row.hint.words()
    places: list[tuple[QWidget, str]] = [
        (row.edit, "Enter uses what you type"),
        (work.drawer.list, "The arrow keys choose a piece, Enter takes it"),
        (work.drawer.search, "Enter takes the first piece found"),
        (work.properties.placement_form.holes[0].edit, "Type a value, Enter sets it"),
        (work.placed.list, "Arrow keys choose a line, Enter shows it on the plan"),
        (window.row.buttons["edit.undo"], "Space presses “Undo”"),
    ]
    for widget, words in places:
        widget.setEnabled(True)
        widget.setFocus()
        settle()
        assert words in row.hint.words(), widget
        assert "R to turn" not in row.hint.words()
    work.focus_plan()
    settle()
    assert "R to turn" in row.hint.words()


@pytest.mark.parametrize(("key", "after"), [(Qt.Key.Key_P, "drawer"), (Qt.Key.Key_M, "member")])
def test_on_an_empty_table_the_prompt_says_how_to_begin(
    qtbot: QtBot, key: Qt.Key, after: str
) -> None:
    window = make_window(qtbot, EMPTY)
    window.start_pages.dismiss()
    canvas = on_plan(qtbot, window)
    settle()
    assert window.entry.hint.words().startswith("Nothing is on the table yet")
    assert "P to choose a piece, M to draw a member" in window.entry.hint.words()
    QTest.keyClick(canvas, key)
    settle()
    if after == "drawer":
        assert window.focusWidget() is window.workspace.drawer.list
    else:
        assert window.workspace.tool.name == "member"
