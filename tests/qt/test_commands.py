"""Deeds of the window that need no mouse: tools, marks on holes, pages, transfers, recovery."""

from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import QMimeData, QPoint, Qt, QUrl
from PySide6.QtGui import QAction, QDragEnterEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from gridjig.edits.selection import shift
from gridjig.files.jobs.job_file import write_job
from gridjig.files.storage import recent
from gridjig.files.storage.settings import Settings
from gridjig.model import Hole
from gridjig.model.labels import address
from gridjig.qt.actions.piece import place
from gridjig.qt.actions.registry import ACTIONS
from gridjig.qt.forms.job.floor_view import FloorView
from gridjig.qt.forms.job.new_job import NewJobForm
from gridjig.qt.forms.settings_form import SettingsForm
from gridjig.qt.style.theme import THEMES
from gridjig.qt.widgets.flow_layout import FlowLayout
from gridjig.qt.window.window import Window
from gridjig.tools.draw.plate_tool import PlateTool
from tests.qt.hands import drag_event
from tests.qt.windows import Answers, copied, make_window, told
from tests.workshop import EMPTY, laid, pin, stop

JOB = laid(stop("s", 4, 4), pin("p", 9, 9))


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    return make_window(qtbot, JOB)


def answers(window: Window) -> Answers:
    assert isinstance(window.questions, Answers)
    return window.questions


def hint(window: Window) -> str:
    return window.entry.said.words()


def hole(col: int, row: int) -> str:
    return address(EMPTY.table, Hole(col, row))


# -- names of files --------------------------------------------------------------------------------


@pytest.mark.expectation(51)
@pytest.mark.parametrize(
    "action_id", ["pull.save", "cuts.save", "welds.save", "rack.export", "file.save_as"]
)
def test_every_file_is_proposed_with_the_name_of_the_job(window: Window, action_id: str) -> None:
    named = structs.replace(JOB, name="gate 2/3: left")
    window.document.do(named, "Name the job")
    window.port.do(action_id)
    (asked,) = answers(window).asked
    assert asked.startswith("save gate 2 3 left")


# -- turning and flipping --------------------------------------------------------------------------


def test_turning_there_and_back_and_flipping(window: Window) -> None:
    window.document.select(["s"])
    window.port.do("piece.turn")
    assert window.document.placed_pieces["s"].turn == pytest.approx(90)
    window.port.do("piece.turn_back")
    assert window.document.placed_pieces["s"].turn == pytest.approx(0)
    window.port.do("piece.flip")
    assert window.document.placed_pieces["s"].placement.flipped


def test_turning_and_flipping_go_to_the_piece_in_hand(window: Window) -> None:
    place(window.port, "stop")
    window.entry.typed.emit("180")
    window.port.do("piece.turn")
    window.port.do("piece.turn_back")
    window.port.do("piece.flip")
    assert window.document.job is JOB
    window.entry.typed.emit(hole(1, 1))
    placed = window.document.job.placements[-1]
    assert placed.piece == "stop"
    assert placed.flipped


def test_the_tick_is_at_the_tool_in_hand(window: Window) -> None:
    made = window.actions_made.made

    def ticked() -> list[str]:
        return [key for key, one in made.items() if key.startswith("tool.") and one.isChecked()]

    assert ticked() == ["tool.select"]
    made["tool.holes"].trigger()
    assert ticked() == ["tool.holes"]
    made["tool.place"].trigger()  # no piece is chosen yet
    assert ticked() == ["tool.holes"]
    place(window.port, "stop")
    assert ticked() == ["tool.place"]
    made["tool.place"].trigger()
    assert ticked() == ["tool.place"]
    window.port.tools.take(PlateTool(window.document))  # of a pane, not of the row
    assert ticked() == []
    made["tool.select"].trigger()
    assert ticked() == ["tool.select"]


def test_undo_and_redo_without_a_step_do_nothing(window: Window) -> None:
    window.port.do("edit.undo")
    window.port.do("edit.redo")
    assert window.document.job is JOB


def test_redo_says_what_it_did(window: Window) -> None:
    window.document.do(shift(JOB, {"p"}, 1, 0), "Move the pin")
    window.port.do("edit.undo")
    assert hint(window) == "Undone: Move the pin."
    window.port.do("edit.redo")
    assert hint(window) == "Redone: Move the pin."


# -- holes -----------------------------------------------------------------------------------------


def test_holes_are_marked_by_typed_address(qtbot: QtBot, window: Window) -> None:
    window.port.do("tool.holes")
    assert window.entry.state.isVisible()
    assert not window.entry.amount.isVisible()
    window.entry.edit.setText(hole(1, 1))
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Return)
    mark = window.document.job.table.mark(Hole(1, 1))
    assert mark is not None
    assert mark.state == "blocked"
    window.entry.edit.setText("")
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Return)


def test_a_shallow_hole_needs_its_depth(qtbot: QtBot, window: Window) -> None:
    window.port.do("tool.holes")
    row = window.entry.state.findData("shallow")
    window.entry.state.setCurrentIndex(row)
    window.entry.state.activated.emit(row)
    assert window.entry.amount.isVisible()
    assert window.entry.hint.words().startswith("Type how deep the holes are")
    assert window.entry.amount.property("wrong") is True
    window.entry.amount.setText("q")
    window.entry.amount.left.emit()
    assert "“q” is not understood" in window.entry.hint.words()
    window.entry.amount.setText("-1")
    window.entry.amount.left.emit()
    assert "The depth of a shallow hole must be" in window.entry.hint.words()
    assert window.entry.amount.property("wrong") is True
    window.entry.amount.setText("12 mm")
    window.entry.amount.left.emit()
    assert window.entry.amount.property("wrong") is False
    window.entry.typed.emit(hole(2, 2))
    mark = window.document.job.table.mark(Hole(2, 2))
    assert mark is not None
    assert (mark.state, mark.size) == ("shallow", 12.0)
    row = window.entry.state.findData("oversize")
    window.entry.state.setCurrentIndex(row)
    window.entry.amount.clear()
    window.entry.state.activated.emit(row)
    assert window.entry.hint.words().startswith("Type how wide the holes are")


def test_a_tool_can_be_left_without_a_key(window: Window) -> None:
    window.port.do("tool.polygon")
    assert window.entry.out.isVisible()
    window.entry.out.click()
    assert window.workspace.canvas.tool.name == "select"
    assert not window.entry.out.isVisible()


def test_escape_in_the_row_goes_back_to_the_sheet(qtbot: QtBot, window: Window) -> None:
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.port.do("go.type")
    assert window.focusWidget() is window.entry.edit
    QTest.keyClick(window.entry.edit, Qt.Key.Key_Escape)
    assert window.focusWidget() is window.workspace.canvas


# -- view ------------------------------------------------------------------------------------------


@pytest.mark.expectation(6, 7)
def test_every_view_has_a_deed(window: Window) -> None:
    canvas = window.workspace.canvas
    window.port.do("view.actual")
    assert canvas.view.scale == pytest.approx(canvas.metrics.px_per_mm)
    window.port.do("view.in")
    nearer = canvas.view.scale
    window.port.do("view.out")
    assert canvas.view.scale == pytest.approx(nearer / 1.2)
    window.document.select(["p"])
    window.port.do("view.fit_selection")
    chosen = canvas.view
    window.port.do("view.fit")
    assert canvas.view != chosen


@pytest.mark.expectation(72)
def test_in_glove_mode_one_button_opens_all_menus(qtbot: QtBot, window: Window) -> None:
    window.port.do("view.glove")
    assert not window.menu_bar.isVisible()
    assert window.row.menu.isVisible()
    menu = window.row.menu.menu()
    assert menu is not None
    assert next(a.text().replace("&", "") for a in menu.actions()) == "File"
    window.port.do("view.glove")
    assert window.menu_bar.isVisible()


def test_the_letters_grow_with_the_setting(qtbot: QtBot, window: Window) -> None:
    before = window.font().pointSizeF()
    window.change_settings(text_percent=150)
    qtbot.waitUntil(lambda: window.font().pointSizeF() == pytest.approx(before * 1.5))
    window.change_settings(text_percent=100)


def test_the_settings_open(qtbot: QtBot, window: Window) -> None:
    window.port.do("settings")
    form = QApplication.activeModalWidget()
    assert isinstance(form, SettingsForm)
    form.close()


@pytest.mark.expectation(92, 94)
def test_the_row_says_what_an_action_does_or_why_it_cannot(window: Window) -> None:
    from PySide6.QtGui import QStatusTipEvent

    before = hint(window)
    made = window.actions_made.made
    QApplication.sendEvent(window, QStatusTipEvent(made["piece.flip"].statusTip()))
    assert hint(window) == "Select a piece on the table first. Turn the piece over."
    QApplication.sendEvent(window, QStatusTipEvent(made["view.fit"].statusTip()))
    assert hint(window) == "Show the whole table"
    QApplication.sendEvent(window, QStatusTipEvent(""))
    assert hint(window) == before


# -- check -----------------------------------------------------------------------------------------


def test_the_lamp_runs_the_check_and_without_findings_there_is_no_next(window: Window) -> None:
    window.status_bar.lamp.click()
    assert window.workspace.tabs.currentWidget() is window.workspace.checks
    window.port.do("check.next")
    assert window.document.selection == frozenset()


# -- files and pages -------------------------------------------------------------------------------


def test_transfers_that_do_not_work_are_said(window: Window, tmp_path: Path) -> None:
    answers(window).path = ""
    for action in ("pull.save", "rack.export", "rack.import"):
        window.port.do(action)
    assert window.document.job is JOB
    answers(window).path = str(tmp_path / "none" / "pull.csv")
    window.port.do("pull.save")
    assert answers(window).asked[-1].startswith("problem “pull.csv” was not saved")


@pytest.mark.expectation(49)
def test_the_start_page_lists_recent_jobs_and_takes_missing_ones_off(
    qtbot: QtBot, tmp_path: Path
) -> None:
    there, gone = tmp_path / "there.gridjig", tmp_path / "gone.gridjig"
    there.write_bytes(write_job(JOB))
    for path in (there, gone):
        recent.add(path)
    window = make_window(qtbot, EMPTY)
    page = window.start_pages.page
    assert page is not None
    buttons = {b.text(): b for b in page.findChildren(QPushButton)}
    assert not buttons["gone"].isEnabled()
    buttons["Remove from the list"].click()
    assert recent.load() == (there,)
    again = {b.text(): b for b in page.findChildren(QPushButton) if not b.isHidden()}
    again["there"].click()
    assert window.file.path == there


def test_the_recent_menu_says_what_it_is_for_when_it_is_empty(window: Window) -> None:
    window.start_pages.menu.aboutToShow.emit()
    (only,) = window.start_pages.menu.actions()
    assert only.text() == "Jobs that you save are listed here"
    assert not only.isEnabled()


def test_a_new_job_starts_with_what_was_chosen(
    qtbot: QtBot, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(NewJobForm, "exec", lambda self: 1)
    window.port.do("file.new")
    assert window.document.job.name == "New job"
    assert window.document.job.placements == ()
    assert window.start_pages.page is None
    window.document.do(JOB, "Fill it")
    window.port.do("file.new")  # the person would rather stay
    assert window.document.job is JOB


def test_thrown_away_copies_go_and_none_is_opened(
    qtbot: QtBot, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    from gridjig.files.jobs import autosave

    assert not window.start_pages.offer_copies()
    window.document.do(shift(JOB, {"p"}, 1, 0), "Move")
    window.file.set_delay(0.0)
    copied(window.file)
    copies = list(autosave.recoverable())
    assert copies == []  # ours is of a running program
    monkeypatch.setattr("gridjig.files.storage.processes.is_running", lambda pid, birth: False)
    found = autosave.recoverable()
    monkeypatch.setattr(answers(window), "recover", lambda copies: (None, tuple(copies)))
    assert window.start_pages.offer_copies() is False
    assert len(found) <= 1
    assert autosave.recoverable() == ()


@pytest.mark.expectation(52)
def test_only_one_local_file_is_taken_by_a_drop(window: Window, tmp_path: Path) -> None:
    def offered(*urls: QUrl) -> bool:
        data = QMimeData()
        data.setUrls(list(urls))
        event = drag_event(QDragEnterEvent, QPoint(5, 5), data)
        event.ignore()
        assert isinstance(event, QDragEnterEvent)
        window.dragEnterEvent(event)
        return event.isAccepted()

    file = QUrl.fromLocalFile(str(tmp_path / "a.gridjig"))
    assert offered(file)
    assert not offered(file, file)
    assert not offered(QUrl("https://example.org/a.gridjig"))


def test_enter_in_a_list_opens_and_escape_leaves_the_search(qtbot: QtBot, window: Window) -> None:
    view = window.workspace.placed.list
    rows = {e.key: i for i, e in enumerate(view.lines.entries)}
    view.setCurrentIndex(view.lines.index(rows["p"]))
    QTest.keyClick(view, Qt.Key.Key_Return)
    assert window.document.selection == {"p"}
    QTest.keyClick(view, Qt.Key.Key_Up)


def test_every_action_is_in_the_menus(window: Window) -> None:
    shown: set[str] = set()

    def look(actions: list[QAction]) -> None:
        for action in actions:
            shown.add(action.objectName())
            below = action.menu()
            if below is not None:
                look(below.actions())  # type: ignore[attr-defined]

    look(window.menu_bar.actions())
    assert shown - {""} == {one.id for one in ACTIONS}


def test_a_row_of_parts_wraps(qtbot: QtBot) -> None:
    from PySide6.QtCore import QRect
    from PySide6.QtWidgets import QWidget

    box = QWidget()
    qtbot.addWidget(box)
    flow = FlowLayout(box)
    for _ in range(5):
        part = QWidget()
        part.setMinimumSize(100, 20)
        flow.addWidget(part)
    assert flow.heightForWidth(1000) < flow.heightForWidth(250)
    flow.setGeometry(QRect(0, 0, 250, 200))
    assert flow.itemAt(0) is not None
    assert flow.itemAt(9) is None
    assert flow.takeAt(9) is None
    assert flow.takeAt(0) is not None
    assert flow.count() == 4
    flow.set_gap(9)
    assert flow.minimumSize().width() >= 100
    assert flow.expandingDirections() == Qt.Orientation(0)


def test_a_system_that_turns_dark_is_followed(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = make_window(qtbot, JOB, Settings(theme="system"))
    assert window.appearance.theme.palette.name == "light"
    monkeypatch.setattr("gridjig.qt.style.theme.choose", lambda setting: THEMES["dark"])
    QApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert window.appearance.theme is THEMES["dark"]


def test_a_form_that_is_open_keeps_its_colours_until_it_is_closed(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its pictures are painted in the colours that it was opened with."""
    window = make_window(qtbot, JOB, Settings(theme="system"))
    window.port.do("view.floor")
    form = QApplication.activeModalWidget()
    assert isinstance(form, FloorView)
    monkeypatch.setattr("gridjig.qt.style.theme.choose", lambda setting: THEMES["dark"])
    QApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    QApplication.processEvents()
    assert window.appearance.theme is THEMES["light"]
    form.close()
    window.activateWindow()
    qtbot.waitUntil(lambda: window.appearance.theme is THEMES["dark"])


def test_the_edit_menu_sets_mirrored_copies_of_pieces(window: Window) -> None:
    window.document.select(["p"])
    window.port.do("edit.mirror_x")
    assert window.document.undo_name == "Mirror a copy of locating pin"
    assert window.document.selection == {"p-1"}
    assert "mirrored" in told(window)
    window.document.undo()
    assert window.document.job is JOB
    window.document.select([])
    window.port.do("edit.mirror_y")
    assert window.document.job is JOB
