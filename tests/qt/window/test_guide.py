"""The guided first job in the window: begun, followed, left at once and found again."""

from pathlib import Path

import pytest
from msgspec import structs
from pytestqt.qtbot import QtBot

from gridjig.files.storage.settings import read_settings
from gridjig.model.labels import address
from gridjig.qt.window.window import Window
from gridjig.session.first_job import NAME
from gridjig.sheets.text.first_job_text import guide_holes
from tests.qt.events import settle
from tests.qt.windows import Answers, make_window
from tests.session.test_first_job import finished, located
from tests.workshop import EMPTY, laid, pin


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    made = make_window(qtbot, EMPTY)
    made.port.do("help.first_job")
    return made


def title(window: Window) -> str:
    return window.guide.strip.title.text()


def at_step(qtbot: QtBot, window: Window, number: int) -> None:
    qtbot.waitUntil(lambda: title(window).startswith(f"Step {number} of 10"))


def test_it_begins_an_empty_job_and_says_the_first_step(window: Window) -> None:
    assert window.document.job.name == NAME
    assert not window.document.job.parts
    assert window.guide.strip.isVisible()
    assert title(window) == "Step 1 of 10: Look around"
    assert window.start_pages.page is None
    assert window.workspace.canvas.hasFocus() or window.focusWidget() is window.workspace.canvas


def test_each_step_is_recognised_as_it_is_done(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    settle()  # the scale is noted once the strip has its place
    window.port.do("view.in")
    at_step(qtbot, window, 2)
    hole = address(window.document.job.table, guide_holes(window.document.job.table).begin)
    assert hole in window.guide.strip.words.text()
    window.document.do(finished(window.document.job), "Do all of it")
    at_step(qtbot, window, 7)
    assert read_settings().first_job == 6
    window.port.do("edit.undo")
    at_step(qtbot, window, 8)  # once done, it stays done
    window.port.do("edit.redo")
    window.port.do("check.run")
    at_step(qtbot, window, 9)
    window.workspace.tabs.setCurrentWidget(window.workspace.pull_list)
    at_step(qtbot, window, 10)
    assert window.guide.strip.skip.isVisible()
    assert isinstance(window.questions, Answers)
    window.questions.path = str(tmp_path / "first.gridjig")
    window.port.do("file.save")
    qtbot.waitUntil(lambda: title(window) == "First job: done")
    assert not window.guide.strip.skip.isVisible()
    window.guide.strip.leave.click()
    assert not window.guide.strip.isVisible()


def test_it_can_be_left_at_once_and_found_again(qtbot: QtBot, window: Window) -> None:
    window.guide.strip.skip.click()
    window.document.do(located(window.document.job), "Place stops")
    at_step(qtbot, window, 6)
    window.guide.strip.leave.click()
    assert not window.guide.strip.isVisible()
    assert "goes on from here" in window.entry.said.words()
    window.port.do("check.run")  # nobody is guided
    job = window.document.job
    window.port.do("help.first_job")
    assert window.document.job is job
    at_step(qtbot, window, 6)


def test_it_does_not_go_along_to_another_job(qtbot: QtBot, window: Window) -> None:
    window.file.new(laid(pin("a", 2, 2)))
    assert not window.guide.strip.isVisible()
    assert window.guide.guide is None
    window.port.do("help.first_job")  # a new one, as this is another job
    assert window.document.job.name == NAME
    at_step(qtbot, window, 1)


def test_unsaved_work_is_asked_about_first(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    window.document.do(structs.replace(EMPTY, name="mine"), "Name the job")
    window.port.do("help.first_job")
    assert window.document.job.name == "mine"
    assert not window.guide.strip.isVisible()
    assert isinstance(window.questions, Answers)
    assert window.questions.asked == ["closing mine"]
