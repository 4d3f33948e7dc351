"""The window as a whole: actions, keys, questions, words and room."""

import re
from pathlib import Path

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QLabel,
    QWidget,
)
from pytestqt.qtbot import QtBot

from gridjig.checks.findings import Finding
from gridjig.edits.details import set_notes
from gridjig.edits.selection import shift
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.library import user_library
from gridjig.files.library.assets import rack_for, ready_tables, samples
from gridjig.files.storage import recent
from gridjig.model import Display
from gridjig.qt.actions.piece import place
from gridjig.qt.actions.registry import ACTIONS, action
from gridjig.qt.paint.scale_bar import scale_text
from gridjig.qt.window.keys_sheet import keys_html
from gridjig.qt.window.window import Window
from tests.qt.formhands import drop_file
from tests.qt.windows import CTRL, Answers, make_window, on_plan, press, told
from tests.workshop import EMPTY, laid, pin, plate, stop

THREE = laid(pin("a", 2, 2), pin("b", 5, 5), plate("part", 150, 150))


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    return make_window(qtbot, THREE)


def answers(window: Window) -> Answers:
    assert isinstance(window.questions, Answers)
    return window.questions


# -- actions ---------------------------------------------------------------------------------------


@pytest.mark.expectation(64)
@pytest.mark.source("practice", "keys of desktop programs")
@pytest.mark.parametrize(
    ("action_id", "key"),
    [
        ("edit.undo", "Ctrl+Z"),
        ("edit.redo", "Ctrl+Y"),
        ("file.save", "Ctrl+S"),
        ("file.open", "Ctrl+O"),
        ("file.new", "Ctrl+N"),
        ("edit.all", "Ctrl+A"),
        ("edit.copy", "Ctrl+C"),
        ("edit.cut", "Ctrl+X"),
        ("edit.paste", "Ctrl+V"),
        ("edit.delete", "Del"),
        ("help.topic", "F1"),
    ],
)
def test_standard_keys_mean_the_standard_thing(action_id: str, key: str) -> None:
    assert key in action(action_id).keys


@pytest.mark.expectation(65)
def test_single_letters_work_only_on_the_sheet(qtbot: QtBot, window: Window) -> None:
    for one in ACTIONS:
        for key in one.keys:
            if "+" not in key.removesuffix("+") and len(key) == 1:
                assert one.on_plan, one.id
    window.document.select(["a"])
    window.workspace.drawer.search.setFocus()
    QTest.keyClicks(window.workspace.drawer.search, "v o r")
    assert window.workspace.drawer.search.text() == "v o r"
    assert window.workspace.canvas.tool.name == "select"
    on_plan(qtbot, window)
    press(qtbot, window.workspace.canvas, Qt.Key.Key_O)
    assert window.workspace.canvas.tool.name == "plate"


@pytest.mark.expectation(65)
def test_single_letters_can_be_switched_off(qtbot: QtBot, window: Window) -> None:
    window.change_settings(letters=False)
    shortcuts = [s.toString() for s in window.actions_made.made["edit.delete"].shortcuts()]
    assert shortcuts == ["Del", "Backspace"]
    assert window.actions_made.made["tool.rectangle"].shortcuts() == []


def test_no_key_is_given_twice() -> None:
    seen: dict[str, str] = {}
    for one in ACTIONS:
        for key in one.keys:
            assert QKeySequence(key).toString() not in seen, (one.id, seen)
            seen[QKeySequence(key).toString()] = one.id
    assert len(seen) >= 60


@pytest.mark.expectation(94)
def test_what_cannot_be_done_now_says_why(window: Window) -> None:
    made = window.actions_made.made
    for one in ACTIONS:
        qt = made[one.id]
        assert qt.isEnabled() != bool(window.actions_made.why_not(one.id))
        if not qt.isEnabled():
            assert window.actions_made.why_not(one.id) in qt.toolTip()
    assert not made["edit.undo"].isEnabled()
    assert "Nothing to undo" in made["edit.undo"].toolTip()
    assert "Select a piece on the table first" in made["piece.flip"].toolTip()


@pytest.mark.expectation(91)
def test_tooltips_give_name_key_and_one_line(window: Window) -> None:
    tip = window.actions_made.made["view.fit"].toolTip()
    assert tip == "Whole table  (0)\nShow the whole table"


@pytest.mark.expectation(69)
def test_the_sheet_of_keys_is_made_from_the_actions(qtbot: QtBot, window: Window) -> None:
    html = keys_html()
    for one in ACTIONS:
        if one.keys:
            native = QKeySequence(one.keys[0]).toString(QKeySequence.SequenceFormat.NativeText)
            assert native in html
            assert one.text in html
    window.port.do("help.keys")
    sheet = QApplication.activeModalWidget()
    assert sheet is not None
    assert sheet.windowTitle() == "All keys"
    sheet.close()


@pytest.mark.expectation(36)
def test_undo_and_redo_name_their_step(qtbot: QtBot, window: Window) -> None:
    on_plan(qtbot, window)
    window.document.select(["a"])
    press(qtbot, window.workspace.canvas, Qt.Key.Key_Left)
    name = window.document.undo_name
    qtbot.waitUntil(window.actions_made.made["edit.undo"].isEnabled)
    text = window.actions_made.made["edit.undo"].text()
    assert text == f"Undo {name[0].lower()}{name[1:]}"
    press(qtbot, window, Qt.Key.Key_Z, CTRL)
    assert window.document.job is THREE
    qtbot.waitUntil(window.actions_made.made["edit.redo"].isEnabled)
    assert name[1:] in window.actions_made.made["edit.redo"].text()
    press(qtbot, window, Qt.Key.Key_Y, CTRL)
    assert window.document.job is not THREE


@pytest.mark.expectation(14)
def test_selecting_changes_nothing(qtbot: QtBot, window: Window) -> None:
    before = write_job(window.document.job)
    window.port.do("edit.all")
    assert len(window.document.selection) == 3
    window.document.select(["a"])
    assert write_job(window.document.job) == before
    assert not window.isWindowModified()


@pytest.mark.expectation(40)
def test_deleting_asks_nothing_and_can_be_undone(qtbot: QtBot, window: Window) -> None:
    on_plan(qtbot, window)
    window.document.select(["a"])
    qtbot.waitUntil(window.actions_made.made["edit.delete"].isEnabled)
    press(qtbot, window.workspace.canvas, Qt.Key.Key_Delete)
    assert window.document.job.find("a") is None
    assert answers(window).asked == []
    assert "Ctrl+Z" in told(window)
    window.port.do("edit.undo")
    assert window.document.job is THREE
    assert window.document.selection == {"a"}


def test_copy_and_paste_and_cut(qtbot: QtBot, window: Window) -> None:
    window.document.select(["a"])
    window.port.do("edit.copy")
    window.port.do("edit.paste")
    assert len(window.document.job.placements) == 3
    window.port.do("edit.cut")
    assert len(window.document.job.placements) == 2
    window.port.do("edit.paste")
    window.port.do("edit.duplicate")
    assert len(window.document.job.placements) == 4


def test_what_was_copied_goes_along_to_another_job(window: Window) -> None:
    window.document.select(["a"])
    window.port.do("edit.copy")
    window.file.new(EMPTY)
    window.port.do("edit.paste")
    assert len(window.document.job.placements) == 1


# -- units -----------------------------------------------------------------------------------------


@pytest.mark.expectation(57)
def test_another_unit_changes_no_geometry(window: Window) -> None:
    before = window.document.job
    for key in ("8", "16", "32", "64", "decimals", "mm"):
        window.port.do(f"unit.{key}")
        after = window.document.job
        assert after.placements is before.placements
        assert after.parts is before.parts
        assert after.table is before.table
    assert after.display.unit == "millimetres"


@pytest.mark.expectation(58)
def test_the_unit_is_said_once_in_the_strip(qtbot: QtBot, window: Window) -> None:
    assert window.status_bar.unit.words() == "millimetres"
    window.port.do("unit.32")
    qtbot.waitUntil(lambda: window.status_bar.unit.words() == "inches, 1/32")
    assert window.document.job.display == Display(denominator=32)


# -- files -----------------------------------------------------------------------------------------


@pytest.mark.expectation(50)
def test_the_title_shows_name_and_mark(qtbot: QtBot, window: Window, tmp_path: Path) -> None:
    assert window.windowTitle() == "Test[*] — GridJig"
    answers(window).path = str(tmp_path / "frame.gridjig")
    window.port.do("file.save")
    assert window.windowTitle() == "frame.gridjig[*] — GridJig"
    window.document.do(set_notes(window.document.job, "x"), "Write notes")
    qtbot.waitUntil(window.isWindowModified)
    window.port.do("edit.undo")
    qtbot.waitUntil(lambda: not window.isWindowModified())


@pytest.mark.expectation(43)
def test_closing_with_changes_asks_and_can_be_cancelled(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    window.document.do(set_notes(window.document.job, "x"), "Write notes")
    window.close()
    assert window.isVisible()
    assert answers(window).asked == ["closing Test"]
    answers(window).close = "save"
    answers(window).path = str(tmp_path / "frame.gridjig")
    window.close()
    assert not window.isVisible()
    assert load_job(tmp_path / "frame.gridjig").notes == "x"


@pytest.mark.expectation(44)
def test_closing_without_changes_asks_nothing(window: Window) -> None:
    window.close()
    assert not window.isVisible()
    assert answers(window).asked == []


@pytest.mark.expectation(52)
def test_a_file_dropped_on_the_window_opens(qtbot: QtBot, window: Window, tmp_path: Path) -> None:
    path = tmp_path / "dropped.gridjig"
    path.write_bytes(write_job(set_notes(THREE, "dropped")))
    drop_file(window, path)
    qtbot.waitUntil(lambda: window.document.job.notes == "dropped")
    assert window.file.path == path


def test_a_hostile_job_name_stays_on_the_line_of_the_status_bar(qtbot: QtBot) -> None:
    window = make_window(qtbot, structs.replace(THREE, name="<img src=x>\x07 a\nb\u202ec"))
    assert window.status_bar.job.words() == "<img src=x> a bc"


@pytest.mark.expectation(49)
def test_recent_files_are_listed_and_missing_ones_can_be_taken_off(
    window: Window, tmp_path: Path
) -> None:
    for number in range(12):
        path = tmp_path / f"job {number}.gridjig"
        path.write_bytes(write_job(THREE))
        recent.add(path)
    (tmp_path / "job 3.gridjig").unlink()
    window.start_pages.menu.aboutToShow.emit()
    actions = {a.text(): a for a in window.start_pages.menu.actions() if a.text()}
    assert sum(a.isEnabled() for a in actions.values()) >= 10
    assert not actions["job 3  (not there)"].isEnabled()
    actions["Remove job 3 from the list"].trigger()
    assert tmp_path / "job 3.gridjig" not in recent.load()
    actions["job 7"].trigger()
    assert window.file.path == tmp_path / "job 7.gridjig"


def test_reading_only_shows_why_and_the_way_out(window: Window, tmp_path: Path) -> None:
    from gridjig.files.storage import lock

    path = tmp_path / "a.gridjig"
    path.write_bytes(write_job(THREE))
    held = lock.take(path)
    assert isinstance(held, lock.Lock)
    window.open_path(path)
    assert window.banner.isVisible()
    assert "since" in window.banner.words.text()
    assert "(read-only)" in window.windowTitle()
    answers(window).over = True
    window.banner.button.click()
    assert not window.banner.isVisible()


def test_what_is_open_for_reading_is_saved_under_another_name_by_one_press(
    window: Window, tmp_path: Path
) -> None:
    from gridjig.files.storage import lock

    path = tmp_path / "a.gridjig"
    path.write_bytes(write_job(THREE))
    held = lock.take(path)
    window.open_path(path)
    assert "not save it in this file" in window.banner.words.text()
    answers(window).path = str(tmp_path / "mine.gridjig")
    window.banner.save_button.click()
    assert answers(window).asked[-1] == f"save {THREE.name}.gridjig"
    assert window.file.path == tmp_path / "mine.gridjig"
    assert not window.banner.isVisible()
    assert path.read_bytes() == write_job(THREE)
    del held


def test_the_bill_goes_to_the_clipboard_and_to_a_file(window: Window, tmp_path: Path) -> None:
    window.port.do("pull.copy")
    text = QApplication.clipboard().text()
    assert "locating pin" in text
    assert "\t" in text
    answers(window).path = str(tmp_path / "pull")
    window.port.do("pull.save")
    assert "locating pin" in (tmp_path / "pull.csv").read_text(encoding="utf-8-sig")


def test_a_rack_goes_out_and_comes_in(window: Window, tmp_path: Path) -> None:
    answers(window).path = str(tmp_path / "rack")
    window.port.do("rack.export")
    rack = window.document.job.rack
    answers(window).path = str(tmp_path / "rack.gridrack")
    window.port.do("rack.import")
    assert window.document.job.rack == rack
    (tmp_path / "rack.gridrack").write_text("{}")
    window.port.do("rack.import")
    assert answers(window).asked[-1].startswith("problem “rack.gridrack” was not imported")


# -- start -----------------------------------------------------------------------------------------


@pytest.mark.expectation(95, 96)
def test_the_start_page_has_three_ways_on_and_goes_with_the_first_part(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    page = window.start_pages.page
    assert page is not None
    assert page.isVisible()
    texts = [b.text() for b in page.findChildren(QAbstractButton)]
    assert {"New…", "Open…"} <= set(texts)
    assert "First job in ten steps" in texts
    assert len(texts) >= 10  # with three samples, four tables and the way to the empty table
    said = [label.text() for label in page.findChildren(QLabel)]
    assert (
        "A planning aid: strength is not checked. Follow the drawing and the shop's rules." in said
    )
    button(page, "Cautions").click()
    assert window.workspace.help.topic == "safety"
    window.document.do(laid(pin("a", 2, 2)), "Place a pin")
    qtbot.waitUntil(lambda: window.start_pages.page is None)
    window.document.undo()
    qtbot.waitUntil(lambda: window.workspace.checker.answered is window.document.job)
    assert window.start_pages.page is None
    window.port.do("file.start")
    assert window.start_pages.page is not None
    window.start_pages.dismiss()


def button(page: QWidget, text: str) -> QAbstractButton:
    return next(b for b in page.findChildren(QAbstractButton) if b.text() == text)


@pytest.mark.expectation(95)
def test_a_standard_table_and_the_person_s_own_start_a_job_by_one_press(qtbot: QtBot) -> None:
    own = structs.replace(next(iter(ready_tables().values())), name="bench 7")
    rack = structs.replace(rack_for(own), name="rack of bench 7")
    user_library.keep_table(own)
    user_library.keep_rack(rack)
    window = make_window(qtbot, EMPTY)
    page = window.start_pages.page
    assert page is not None
    button(page, "48 x 48 in, 3/4 in holes").click()
    job = window.document.job
    assert job.table.name == "48 x 48 in, 2 in centres, 3/4 in holes"
    assert (job.parts, job.placements) == ((), ())
    assert window.start_pages.page is None
    window.port.do("file.start")
    page = window.start_pages.page
    assert page is not None
    button(page, "bench 7").click()
    assert (window.document.job.table, window.document.job.rack) == (own, rack)


def test_a_sample_opens_from_the_start_page(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    page = window.start_pages.page
    assert page is not None
    button(page, load_job(next(iter(samples().values()))).name).click()
    assert window.document.job.placements
    assert window.file.path is None
    assert window.start_pages.page is None


# -- check, help, words ----------------------------------------------------------------------------


@pytest.mark.expectation(98)
def test_a_finding_leads_to_its_place(qtbot: QtBot) -> None:
    window = make_window(qtbot, laid(pin("a", 2, 2), pin("b", 2, 2)))
    window.port.do("check.run")
    assert window.workspace.tabs.currentWidget() is window.workspace.checks
    assert window.status_bar.lamp.property("level") == "stop"
    assert "1 to fix" in window.status_bar.lamp.text()
    assert "✕" in window.status_bar.lamp.text()
    entries = window.workspace.checks.list.lines.entries
    row = next(i for i, e in enumerate(entries) if not e.heading)
    window.workspace.checks.list.clicked.emit(window.workspace.checks.list.lines.index(row))
    assert window.document.selection == {"a", "b"}
    window.document.select([])
    window.port.do("check.next")
    assert window.document.selection == {"a", "b"}


def test_a_finding_of_a_piece_and_the_work_takes_the_piece_in_hand(qtbot: QtBot) -> None:
    """It is what moves, and the form is for one thing."""
    window = make_window(qtbot, laid(stop("s", 2, 2), plate("o", 60, 60)))
    clash = Finding("f", "clash", "stop", "It is in the work.", None, ("s", "o"), "Move it.")
    window.workspace.show_finding(clash)
    assert window.document.selection == {"s"}


def test_the_lamp_stays_dark_while_there_is_nothing_to_check(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.port.do("check.run")
    qtbot.waitUntil(lambda: "nothing to check yet" in window.status_bar.lamp.text())
    assert window.status_bar.lamp.property("level") == ""
    assert "○" in window.status_bar.lamp.text()


def test_strip_and_scale_bar_tell_one_scale(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    canvas = window.workspace.canvas
    for factor in (1.0, 0.6, 0.6, 3.0):
        canvas.zoom_by(factor)
        told = scale_text(window.appearance.metrics.px_per_mm, canvas.view.scale)
        assert window.status_bar.scale.words() == told


@pytest.mark.expectation(68)
def test_changes_and_verdicts_are_announced(
    qtbot: QtBot, window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    for where in ("window", "entry_row"):
        monkeypatch.setattr(
            f"gridjig.qt.window.{where}.announce", lambda widget, words: told.append(words)
        )
    focus = window.focusWidget()
    window.document.do(shift(window.document.job, {"a"}, 3, 3), "Move pin to F6")
    qtbot.waitUntil(lambda: "Move pin to F6" in told)
    qtbot.waitUntil(lambda: any(t.startswith("Check: ") for t in told))
    assert window.focusWidget() is focus


@pytest.mark.expectation(97)
def test_help_opens_on_the_thing_in_hand(qtbot: QtBot, window: Window) -> None:
    on_plan(qtbot, window)
    window.port.do("help.topic")
    assert window.workspace.help.topic == "select"
    assert window.workspace.tabs.currentWidget() is window.workspace.help
    window.port.do("tool.rectangle")
    assert window.port.pages.topic() == "plate"
    window.workspace.drawer.search.setFocus()
    assert window.port.pages.topic() == "rack"
    window.port.do("help.safety")
    assert "Arc rays" in window.workspace.help.toPlainText()
    assert "planning aid" in window.workspace.help.toPlainText()


@pytest.mark.expectation(93)
def test_the_row_says_what_comes_next(qtbot: QtBot, window: Window) -> None:
    window.port.do("tool.rectangle")
    assert "corner" in told(window)
    place(window.port, "pin")
    assert "Esc to stop" in told(window)


@pytest.mark.expectation(86, 87)
def test_words_of_actions_keep_to_the_rules() -> None:
    banned = re.compile(r"\b(invalid|illegal|fatal|failed to|please|e\.g\.|i\.e\.)\b|!", re.I)
    assert len(ACTIONS) >= 80
    for one in ACTIONS:
        assert not banned.search(f"{one.text} {one.hint}"), one.id
