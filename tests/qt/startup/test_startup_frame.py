"""The first picture: a bare table at once, in the place where the sheet will lie, then all."""

import json
import logging
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QMargins, QPoint, QRect, QTimer
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import write_job
from gridjig.files.library.default_job import default_job, default_table
from gridjig.files.storage.locations import settings_file
from gridjig.files.storage.settings import Settings, read_settings
from gridjig.files.storage.state import LOG_NAME
from gridjig.model import Job
from gridjig.qt.startup.app import EarlyLog, ExceptionHook, begin, note_crashes, note_room
from gridjig.qt.startup.startup_frame import StartupFrame
from gridjig.qt.startup.startup_view import StartupView, startup_view
from gridjig.qt.window.window import Window
from tests.qt.windows import Answers, told
from tests.workshop import EMPTY, laid, pin


def bare(settings: Settings, path: Path | None = None) -> StartupView:
    return startup_view(settings, QApplication.primaryScreen(), path)


def furnished(
    qtbot: QtBot, job: Job, settings: Settings | None = None
) -> tuple[StartupFrame, Window]:
    frame = StartupFrame()
    qtbot.addWidget(frame, before_close_func=lambda _: window.file.document.mark_saved())
    frame.show()
    window = Window(job, settings or Settings(), 10.0, frame)
    window.questions = Answers()  # type: ignore[assignment]
    window.file.answer_by(window.questions)
    frame.take(window)
    qtbot.waitExposed(frame)
    return frame, window


# -- the first picture ----------------------------------------------------------------------------


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("unit", ["inch fractions", "millimetres"])
def test_the_bare_table_is_painted_where_and_as_the_sheet_shows_it(
    qtbot: QtBot, theme: str, unit: str
) -> None:
    settings = Settings(theme=theme, unit=unit)  # type: ignore[arg-type]
    frame, window = furnished(qtbot, default_job(settings), settings)
    window.start_pages.dismiss()
    window.row.setFocus()  # the sheet has a frame of its own while it has the focus
    QApplication.processEvents()
    note_room(window)
    seen = window.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    first = QImage(seen.size(), QImage.Format.Format_RGB32)
    with QPainter(first) as painter:
        bare(window.settings).paint(painter, QRect(QPoint(0, 0), seen.size()), 1.0)
    canvas = window.workspace.canvas
    at, table, view = canvas.mapTo(window, QPoint(0, 0)), window.document.job.table, canvas.view
    left, top = view.to_screen((0.0, table.depth))
    plate = QRect(round(left), round(top), round(table.width * view.scale), 0).translated(at)
    plate.setHeight(round(table.depth * view.scale))
    whole = plate.adjusted(-3, -3, 3, 3)  # with its edge; beyond lie the addresses
    assert first.copy(whole) == seen.copy(whole)
    corner = at + QPoint(5, 5)
    assert first.pixel(corner) == seen.pixel(corner)
    assert first.pixel(at - QPoint(5, 5)) == window.appearance.theme.colour("panel").rgb()
    assert frame.windowTitle().startswith("New job")


def test_it_is_the_table_of_the_job_that_is_asked_for(tmp_path: Path, qapp: QApplication) -> None:
    settings = Settings(unit="millimetres")
    path = tmp_path / "frame.gridjig"
    path.write_bytes(write_job(EMPTY))
    assert bare(settings, path).table == EMPTY.table
    path.write_bytes(b"{ no job")
    assert bare(settings, path).table == default_table(settings)
    path.write_bytes(write_job(EMPTY) + b" " * 1_000_000)  # read once only, when it is opened
    assert bare(settings, path).table == default_table(settings)
    assert bare(settings, tmp_path / "gone.gridjig").table == default_table(settings)
    assert bare(settings, tmp_path / "plate.dxf").table == default_table(settings)


def test_a_window_too_small_for_a_sheet_shows_none(qapp: QApplication) -> None:
    small = QImage(200, 100, QImage.Format.Format_RGB32)
    one = bare(Settings(round_sheet=(150, 70, 150, 70)))
    assert one.round_sheet == QMargins(150, 70, 150, 70)
    with QPainter(small) as painter:
        one.paint(painter, small.rect(), 1.0)
    panel = one.theme.colour("panel").rgb()
    assert {small.pixel(x, y) for x in (0, 99, 199) for y in (0, 50, 99)} == {panel}


def test_the_room_round_the_sheet_is_kept_for_the_next_start(qtbot: QtBot) -> None:
    _, window = furnished(qtbot, laid(pin("a", 2, 2)))
    note_room(window)
    left, top, right, below = read_settings().round_sheet
    assert left == window.workspace.drawer.width() + 1
    assert right == window.workspace.side.width() + 1
    assert min(top, below) > 20
    window.banner.show_reason("somebody works on it")
    window.use_settings(Settings(rack_shown=False))
    note_room(window)  # with the banner the sheet lies lower than it will next time
    assert window.settings.round_sheet == Settings().round_sheet


# -- the frame -------------------------------------------------------------------------------------


def settle(frame: StartupFrame) -> None:
    """Let all that is due by now happen: what is posted, and every timer of no time."""
    done: list[bool] = []
    QTimer.singleShot(0, frame, lambda: done.append(True))
    while not done:
        QApplication.processEvents()


def test_the_rest_comes_once_after_the_first_picture(qtbot: QtBot) -> None:
    frame = StartupFrame()
    qtbot.addWidget(frame)
    told: list[str] = []
    frame.shown.connect(lambda: told.append("shown"))
    frame.appear()
    qtbot.waitExposed(frame)
    assert not told
    frame.show_startup_view(bare(Settings()))
    qtbot.waitUntil(lambda: bool(told), timeout=900)  # before the wait for a hidden window ends
    frame.repaint()  # at once
    settle(frame)
    assert told == ["shown"]


def test_the_rest_comes_though_nothing_is_ever_painted(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("gridjig.qt.startup.startup_frame._AT_LATEST_MS", 20)
    frame = StartupFrame()
    qtbot.addWidget(frame)
    with qtbot.waitSignal(frame.shown, timeout=1000):
        frame.show_startup_view(bare(Settings()))


def test_closed_before_it_is_filled_it_asks_for_nothing_more(qtbot: QtBot) -> None:
    frame = StartupFrame()
    qtbot.addWidget(frame)
    told: list[str] = []
    frame.shown.connect(lambda: told.append("shown"))
    frame.show_startup_view(bare(Settings()))
    frame.close()
    settle(frame)
    assert not told
    assert not frame._waiting.isActive()


def test_title_and_mark_of_changes_stand_on_the_frame(qtbot: QtBot) -> None:
    frame, window = furnished(qtbot, laid(pin("a", 2, 2)))
    assert frame.windowTitle() == "Test[*] — GridJig"
    assert not frame.isWindowModified()
    window.document.select(frozenset({"a"}))
    window.port.do("edit.delete")
    qtbot.waitUntil(frame.isWindowModified)


@pytest.mark.parametrize("way", ["frame", "quit"])
def test_unsaved_work_keeps_the_frame_open(qtbot: QtBot, way: str) -> None:
    frame, window = furnished(qtbot, laid(pin("a", 2, 2)))
    window.document.select(frozenset({"a"}))
    window.port.do("edit.delete")
    answers = window.questions
    assert isinstance(answers, Answers)

    def leave() -> None:
        if way == "quit":
            window.port.do("file.quit")
        else:
            frame.close()

    answers.close = "cancel"
    leave()
    assert frame.isVisible()
    assert window.isVisible()
    answers.close = "discard"
    leave()
    assert not frame.isVisible()
    assert answers.asked == ["closing Test", "closing Test"]


# -- the program -----------------------------------------------------------------------------------

RUN = """
import sys, json, linecache
from PySide6 import QtWidgets
from PySide6.QtCore import QTimer
from gridjig.qt.startup import app, startup_frame
told = {}
class Watched(startup_frame.StartupFrame):
    def __init__(self):
        super().__init__()
        self.shown.connect(self.note)
    def note(self):
        told["first"] = sorted(sys.modules)
    def take(self, inside):
        super().take(inside)
        told["widgets"] = sorted(vars(QtWidgets))
        QTimer.singleShot(150, self.look)
    def look(self):
        inside = self._inside
        parts = (self, inside, inside.menu_bar, inside.workspace, inside.status_bar)
        parts += (inside.workspace.drawer,)
        told["letters"] = [part.font().pointSizeF() for part in parts]
        told["title"] = self.windowTitle()
        told["all"] = sorted(sys.modules)
        from gridjig.qt.tasks.collector import Collector
        told["collector"] = bool(inside.findChildren(Collector))
        told["read"] = sorted(linecache.cache)
        print(json.dumps(told))
        self._inside.file.document.mark_saved()
        self.close()
app.StartupFrame = Watched
BROKEN
from gridjig.cli import main
sys.exit(main(sys.argv[1:]))
"""


def run(*arguments: str, broken: str = "") -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-c", RUN.replace("BROKEN", broken), *arguments],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )


def test_the_program_shows_a_table_before_it_loads_what_works_on_it(own_state: Path) -> None:
    own_state.mkdir(exist_ok=True)
    settings_file().write_text("{ no settings", encoding="utf-8")
    done = run()
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    first = {name for name in told["first"] if name.startswith("gridjig.")}
    for part in ("gridjig.qt.window.window", "gridjig.tools", "gridjig.solve", "gridjig.session"):
        assert not any(name.startswith(part) for name in first), part
    assert len(first) < 67, sorted(first)  # each costs a third of a millisecond and more
    assert "PySide6.QtSvg" not in told["first"]  # the icons come with the window
    assert "PySide6.QtSvg" in told["all"]
    assert "gridjig.qt.window.window" in told["all"]
    assert told["collector"]
    # PySide reads the source of no module of the window to look for uses of Qt.
    assert not [name for name in told["read"] if Path(name).parent.name in ("canvas", "window")]
    assert "QScrollArea" in told["widgets"]
    assert "QMdiArea" not in told["widgets"]  # only the classes of widget that are used
    written = (own_state / LOG_NAME).read_text(encoding="utf-8")
    assert "settings at" in written  # told before the log was open
    assert written.index("settings at") < written.index("the window is open")


def test_the_program_opens_the_job_that_it_is_given(tmp_path: Path) -> None:
    path = tmp_path / "frame.gridjig"
    path.write_bytes(write_job(laid(pin("a", 2, 2))))
    done = run(str(path))
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["title"] == "frame.gridjig[*] — GridJig"


@pytest.mark.expectation(70)
def test_the_program_writes_all_in_letters_of_the_size_asked_for(own_state: Path) -> None:
    own_state.mkdir(exist_ok=True)
    usual = set(json.loads(run().stdout)["letters"])
    settings_file().write_text('{"text_percent": 200}', encoding="utf-8")
    large = set(json.loads(run().stdout)["letters"])
    assert len(usual) == len(large) == 1
    assert large.pop() == 2 * usual.pop()


def test_the_program_ends_if_its_window_cannot_be_made() -> None:
    done = run(broken="sys.modules['gridjig.qt.window.window'] = None")
    assert done.returncode == 1
    assert not done.stdout


# -- before the log is open ------------------------------------------------------------------------


def test_what_is_logged_early_is_written_once() -> None:
    kept: list[str] = []

    class Kept(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            kept.append(record.getMessage())

    early = EarlyLog()
    early.handle(logging.makeLogRecord({"msg": "one", "levelno": logging.INFO}))
    early.give_to(Kept())
    early.give_to(Kept())
    assert kept == ["one"]


def test_only_what_matters_is_printed_if_there_is_no_log(
    capsys: pytest.CaptureFixture[str],
) -> None:
    early = EarlyLog()
    for level in (logging.INFO, logging.WARNING):
        early.handle(logging.makeLogRecord({"msg": f"level {level}", "levelno": level}))
    assert logging.lastResort is not None
    early.give_to(logging.lastResort)
    assert capsys.readouterr().err == f"level {logging.WARNING}\n"


@pytest.mark.parametrize(
    "broken",
    [
        "sys.modules['gridjig.qt.window.window'] = None",  # it cannot be made
        "Watched.take = lambda self, inside: self.close()",  # it is closed at once
    ],
)
def test_the_log_is_written_though_the_window_is_never_seen(own_state: Path, broken: str) -> None:
    own_state.mkdir(exist_ok=True)
    settings_file().write_text("{ no settings", encoding="utf-8")
    run(broken=broken)
    written = (own_state / LOG_NAME).read_text(encoding="utf-8")
    assert "settings at" in written
    assert ("something broke" if "None" in broken else "the window is open") in written


def test_crashes_are_noted_where_there_is_room(tmp_path: Path) -> None:
    program = (
        "import sys, pathlib, ctypes; from gridjig.qt.startup.app import note_crashes;"
        "held = note_crashes(pathlib.Path(sys.argv[1])); ctypes.string_at(0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path)], capture_output=True, text=True, check=False
    )
    assert done.returncode != 0
    assert "Fatal Python error" in (tmp_path / "crash.log").read_text(encoding="utf-8")
    (tmp_path / "file").write_text("in the way")
    assert note_crashes(tmp_path / "file" / "state") is None


def test_an_exception_before_the_log_is_open_is_printed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    fault = LookupError("odd")
    ExceptionHook()(LookupError, fault, None)
    assert "odd" in capsys.readouterr().err


def test_a_recovered_job_comes_before_the_one_that_was_named(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, window = furnished(qtbot, EMPTY)
    monkeypatch.setattr(window.start_pages, "offer_copies", lambda: True)
    begin(window, tmp_path / "gate.gridjig")
    assert "gate.gridjig was not opened" in told(window)


def test_the_program_ends_though_something_is_still_read_beside_the_window() -> None:
    slow = """
from gridjig.qt.tasks import TaskRunner
import time
runner = TaskRunner()
runner.start(lambda progress: time.sleep(50))
"""
    begun = time.monotonic()
    done = run(broken=slow)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["all"]
    assert time.monotonic() - begun < 40
