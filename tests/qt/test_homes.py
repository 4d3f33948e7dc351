"""Home folders in any state: the window opens with its usual settings, and says once what it passes
over.
"""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from gridjig.files.storage.locations import state_dir
from gridjig.files.storage.settings import Settings, read_settings
from gridjig.files.storage.state import state_trouble
from gridjig.qt.startup.app import note_crashes, start_log

POSIX = pytest.mark.skipif(os.name == "nt", reason="no such things there")
RUN = """
import sys
from PySide6.QtCore import QTimer
from gridjig.qt.startup import app, startup_frame
class Watched(startup_frame.StartupFrame):
    def take(self, inside):
        super().take(inside)
        QTimer.singleShot(600, self.look)
    def look(self):
        print(self._inside.entry.said.words())
        self._inside.file.document.mark_saved()
        self.close()
app.StartupFrame = Watched
from gridjig.cli import main
sys.exit(main(sys.argv[1:]))
"""


def no_folder_of_files(state: Path) -> Path:
    if not Path("/proc/self").exists():
        pytest.skip("there is no such folder here")
    return Path("/proc")


def a_file(state: Path) -> Path:
    state.touch()
    return state


def below_a_file(state: Path) -> Path:
    state.touch()
    return state / "below"


def pipes(state: Path) -> Path:
    state.mkdir()
    for name in ("settings.json", "gridjig.log", "crash.log", "recent.json", "own.json", "opened"):
        os.mkfifo(state / name)
    (state / "autosave").mkdir()
    for name in ("a.gridjig", "a.json", "b.gridjig"):
        os.mkfifo(state / "autosave" / name)
    return state


def folders(state: Path) -> Path:
    for name in ("settings.json", "gridjig.log", "crash.log", "recent.json", "own.json", "opened"):
        (state / name).mkdir(parents=True)
    (state / "autosave").touch()
    return state


def endless(state: Path) -> Path:
    state.mkdir()
    for name in ("settings.json", "recent.json", "own.json"):
        (state / name).symlink_to("/dev/zero")
    return state


def beyond(state: Path) -> Path:
    state.mkdir()
    (state / "settings.json").write_text('{"round_sheet": [2147483648, 0, 0, 0]}')
    return state


STATES: dict[Callable[[Path], Path], str] = {
    no_folder_of_files: "Settings and copies of unsaved work cannot be kept in /proc: ",
    a_file: "Settings and copies of unsaved work cannot be kept in",
    below_a_file: "a part of its path is not a folder. Save often.",
    pipes: "settings.json is not an ordinary file; own.json is not an ordinary file; recent.json "
    "is no",
    folders: "autosave is not a folder, so no copies are kept: save often.",
    endless: "settings.json is not an ordinary file; own.json is not an ordinary file",
    beyond: "settings.json cannot be read, so the default settings are used.",
}


@POSIX
@pytest.mark.parametrize("make", STATES, ids=lambda make: make.__name__)
def test_the_window_opens_and_says_what_it_passes_over(
    tmp_path: Path, make: Callable[[Path], Path]
) -> None:
    """There once was no window at all, or one that hung, or ate all memory."""
    state = make(tmp_path / "state")
    done = subprocess.run(
        [sys.executable, "-c", RUN],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env={
            **os.environ,
            "PYTHONPATH": os.pathsep.join(sys.path),
            "QT_QPA_PLATFORM": "offscreen",
            "GRIDJIG_STATE": str(state),
        },
    )
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    assert STATES[make] in done.stdout


@POSIX
@pytest.mark.parametrize("make", STATES, ids=lambda make: make.__name__)
def test_it_is_told_without_a_window(
    tmp_path: Path, make: Callable[[Path], Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    state = make(tmp_path / "state")
    monkeypatch.setenv("GRIDJIG_STATE", str(state))
    assert STATES[make] in state_trouble()
    assert read_settings() == Settings()
    if make is not beyond and make is not endless:
        assert start_log(state_dir()) is None
        assert note_crashes(state_dir()) is None


def test_a_folder_in_order_is_not_spoken_of(own_state: Path) -> None:
    assert state_trouble() == ""
    assert own_state.is_dir()
    (own_state / "settings.json").write_text("{}")
    assert state_trouble() == ""


def test_a_folder_that_may_not_be_written_is_told(
    own_state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(os, "open", refuse)
    assert "you have no permission for it. Save often." in state_trouble()


@pytest.mark.parametrize("edge", [20_000, -20_000])
def test_settings_are_taken_up_to_their_limits(own_state: Path, edge: int) -> None:
    own_state.mkdir(exist_ok=True)
    file = own_state / "settings.json"
    file.write_text(f'{{"round_sheet": [{edge}, 0, 0, 0]}}')
    assert read_settings().round_sheet == (edge, 0, 0, 0)
    further = edge + (1 if edge > 0 else -1)
    file.write_text(f'{{"round_sheet": [{further}, 0, 0, 0]}}')
    assert read_settings() == Settings()
    file.write_text(" " * (1024 * 1024 - 2) + "{}")
    assert read_settings() == Settings()
    assert state_trouble() == ""
    file.write_text(" " * (1024 * 1024 - 1) + "{}")
    assert state_trouble() != ""
