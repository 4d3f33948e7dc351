"""What every test gets: no screen, no access to the person's own files, no leftovers of the last.

The environment is set before anything of Qt is imported.
"""

import gc
import itertools
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import hypothesis
import pytest

from registerplugin import require_well_formed

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["GRIDJIG_SPELLING"] = "UK"  # whatever the language of this machine

PATIENCE_S = 1.0

ROOT = Path(__file__).resolve().parent.parent

# "ci" is hypothesis' own: no deadline, the same examples at every run.  It loads itself when the
# variable CI is set; everywhere else new examples are tried each time and failures are remembered.
# "deep" is what `check.py --deep` asks for.
USUAL, DEEPER = 25, 80
hypothesis.settings.register_profile("local", deadline=None, print_blob=True, max_examples=USUAL)
hypothesis.settings.register_profile(
    "ci", hypothesis.settings.get_profile("ci"), max_examples=USUAL
)
hypothesis.settings.register_profile(
    "deep", deadline=None, print_blob=True, max_examples=DEEPER * USUAL
)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "local")


def profile() -> str:
    """The profile that the property tests run under."""
    return hypothesis.settings.get_current_profile_name()


def pytest_report_header() -> str:
    """Say which examples the property tests try."""
    same = "the same examples at every run" if profile() == "ci" else "new examples at every run"
    return f"property tests: profile {profile()}, {same}"


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Fail a test whose source marks are not well formed."""
    require_well_formed(item)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Deepen the tests that name their own number of examples, which no profile changes."""
    if profile() != "deep":
        return
    usual = hypothesis.settings()
    done = set()
    for item in items:
        test: Any = getattr(item, "obj", None)
        test = getattr(test, "__func__", test)
        own = getattr(test, "_hypothesis_internal_use_settings", usual)
        if own.max_examples != usual.max_examples and test not in done:
            done.add(test)
            more = own.max_examples * DEEPER
            test._hypothesis_internal_use_settings = hypothesis.settings(own, max_examples=more)


@contextmanager
def untraced() -> Iterator[None]:
    """Stop measuring the coverage for a while: tracing makes Python up to four times as slow.

    In a worker of xdist, pytest-cov measures twice, one within the other.
    """
    coverage = sys.modules.get("coverage")
    stopped = []
    while coverage and (measured := coverage.Coverage.current()):
        measured.stop()
        stopped.append(measured)
    try:
        yield
    finally:
        for measured in reversed(stopped):
            measured.start()


@pytest.hookimpl(wrapper=True)
def pytest_pyfunc_call(pyfuncitem: pytest.Function) -> Iterator[None]:
    """Run a test marked as `untraced` without measuring the coverage."""
    if pyfuncitem.get_closest_marker("untraced") is None:
        return (yield)
    with untraced():
        return (yield)


GARBAGE_AFTER = (20_000, 20, 20)


def pytest_collection_finish() -> None:
    """Look for garbage less often, and not in what is imported: it took an eighth of the time."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(*GARBAGE_AFTER)


_states = itertools.count()


@pytest.fixture(scope="session", autouse=True)
def application() -> object:
    """Qt's application for windows, before any test.

    A verb that paints a page makes one that knows no windows, and a process has only one: in some
    orders every test of a window that came after it failed.
    """
    from PySide6.QtWidgets import QApplication

    there = QApplication.instance() or QApplication(["gridjig"])
    assert isinstance(there, QApplication)
    return there


@pytest.fixture(autouse=True)
def state_elsewhere(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> Path:
    """A state folder of the test's own, so that nothing touches the person's settings and files.

    Most tests never use it, so it is made only by what does.
    """
    folder = tmp_path_factory.getbasetemp() / f"state{next(_states)}"
    monkeypatch.setenv("GRIDJIG_STATE", str(folder))
    return folder


@pytest.fixture
def own_state(state_elsewhere: Path) -> Path:
    """The same folder, there from the start."""
    state_elsewhere.mkdir()
    return state_elsewhere


def leftovers() -> list[str]:
    """What a test of the window left behind: windows, running threads, ticking timers."""
    import threading
    import time

    from PySide6.QtCore import QCoreApplication, QEvent, QThread, QTimer
    from PySide6.QtWidgets import QApplication
    from shiboken6 import delete, isValid

    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    QCoreApplication.processEvents()
    gc.collect()
    until = time.monotonic() + PATIENCE_S
    tasks = [thread for thread in threading.enumerate() if thread.name == "gridjig-task"]
    for thread in tasks:  # one that is cancelled needs a moment to notice
        thread.join(max(until - time.monotonic(), 0.0))
    found = ["running task" for thread in tasks if thread.is_alive()]
    for widget in QApplication.topLevelWidgets():
        if isValid(widget):  # it may have belonged to the last one
            found.append(f"window {type(widget).__name__} '{widget.windowTitle()}'")
            delete(widget)
    for thing in gc.get_objects():
        if isinstance(thing, QThread) and isValid(thing) and thing.isRunning():
            if thing is not QThread.currentThread():
                found.append(f"running thread {type(thing).__name__}")
        elif isinstance(thing, QTimer) and isValid(thing) and thing.isActive():
            found.append(f"ticking timer {thing.objectName() or type(thing).__name__}")
    return found


def let_go() -> None:
    """Let go of the keys that Qt still takes as held down.

    QTest releases only the key itself, so that after Ctrl+Enter the lists of the next test would
    select as if Ctrl were held.
    """
    from PySide6.QtCore import Qt
    from PySide6.QtGui import QGuiApplication, QWindow
    from PySide6.QtTest import QTest

    if QGuiApplication.keyboardModifiers() != Qt.KeyboardModifier.NoModifier:
        QTest.keyRelease(QWindow(), Qt.Key.Key_Control)


def undress() -> None:
    """Remove the style sheet of a window that is gone: it would slow the next test down and change
    the sizes of its widgets.
    """
    from PySide6.QtWidgets import QApplication

    application = QApplication.instance()
    if isinstance(application, QApplication):
        application.setStyleSheet("")


_SETTLE = 200
_seen = itertools.count()


def set_aside() -> None:
    """Keep what was there before a test out of the search for leftovers: it would take most of the
    time.

    What other tests left in circles is set aside with it, and thrown away every so many tests.
    """
    if next(_seen) % _SETTLE == 0:
        gc.unfreeze()
        gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def no_leftovers(request: pytest.FixtureRequest) -> Iterator[None]:
    """Fail a test of the window that leaves a window, a thread or a timer to the next one."""
    of_the_window = bool({"qtbot", "qapp"} & set(request.fixturenames))
    if of_the_window:
        set_aside()
        gc.disable()  # as in the program, see gridjig/qt/tasks/collector.py
    yield
    if of_the_window:
        let_go()
        found = leftovers()
        undress()
        gc.enable()
        if found:
            pytest.fail("left behind: " + ", ".join(sorted(found)), pytrace=False)
