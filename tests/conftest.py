"""What every test gets: no screen, no access to the person's own files, no leftovers of the last.

The environment is set before anything of Qt is imported.
"""

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest

from registerplugin import require_well_formed

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

PATIENCE_S = 1.0

ROOT = Path(__file__).resolve().parent.parent

# "ci" is hypothesis' own: no deadline, the same examples at every run.  It loads itself when the
# variable CI is set; everywhere else new examples are tried each time and failures are remembered.
hypothesis.settings.register_profile("local", deadline=None, print_blob=True)
PROFILE = "ci" if os.environ.get("CI") else "local"
hypothesis.settings.load_profile(PROFILE)


def pytest_report_header() -> str:
    """Say which examples the property tests try."""
    same = "the same examples at every run" if PROFILE == "ci" else "new examples at every run"
    return f"property tests: profile {PROFILE}, {same}"


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Fail a test whose source marks are not well formed."""
    require_well_formed(item)


@pytest.fixture(autouse=True)
def own_state(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A state folder of the test's own, so that nothing touches the person's settings and files."""
    folder = tmp_path_factory.mktemp("state")
    monkeypatch.setenv("GRIDJIG_STATE", str(folder))
    return folder


def leftovers() -> list[str]:
    """What a test of the window left behind: windows, running threads, ticking timers."""
    import threading
    import time

    from PySide6.QtCore import QCoreApplication, QEvent, QThread, QTimer
    from PySide6.QtWidgets import QApplication
    from shiboken6 import isValid

    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    QCoreApplication.processEvents()
    gc.collect()
    until = time.monotonic() + PATIENCE_S
    tasks = [thread for thread in threading.enumerate() if thread.name == "gridjig-task"]
    for thread in tasks:  # one that is cancelled needs a moment to notice
        thread.join(max(until - time.monotonic(), 0.0))
    found = ["running task" for thread in tasks if thread.is_alive()]
    found += [
        f"window {type(widget).__name__} '{widget.windowTitle()}'"
        for widget in QApplication.topLevelWidgets()
        if widget.isVisible()
    ]
    for thing in gc.get_objects():
        if isinstance(thing, QThread) and isValid(thing) and thing.isRunning():
            if thing is not QThread.currentThread():
                found.append(f"running thread {type(thing).__name__}")
        elif isinstance(thing, QTimer) and isValid(thing) and thing.isActive():
            found.append(f"ticking timer {thing.objectName() or type(thing).__name__}")
    return found


@pytest.fixture(autouse=True)
def no_leftovers(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a test of the window that leaves a window, a thread or a timer to the next one."""
    yield
    if {"qtbot", "qapp"} & set(request.fixturenames):
        found = leftovers()
        if found:
            pytest.fail("left behind: " + ", ".join(sorted(found)), pytrace=False)
