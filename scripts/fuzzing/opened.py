"""Job files opened in the window: every pane is shown, everything selected, the job checked."""

from collections.abc import Iterator
from pathlib import Path
from random import Random

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTabWidget

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.qt.window.window import Window
from tests.qt.windows import Answers

from .jobs import Jobs, require_sentence
from .kind import Find, Parts
from .offscreen import Ear, application, dispose, settle, window_with

_HELD = 40  # openings after which the window is replaced by a new one
_ACTIONS = ("edit.all", "view.fit", "check.run", "check.next", "view.fit_selection", "edit.delete")


class Opened:
    """Each case is a job file; one window opens them all, as it does for a user."""

    def __init__(self, folder: Path) -> None:
        self._jobs = Jobs()
        self._file = folder / "case.gridjig"
        self._app = application()
        self._ear = Ear()
        self._window: Window | None = None
        self._answers = Answers()
        self._held = 0

    def make(self, chance: Random) -> bytes:
        """Return a job file."""
        return self._jobs.make(chance)

    def _window_for_case(self) -> Window:
        """Return the window, a new one now and then."""
        if self._window is None or self._held >= _HELD:
            self._put_away()
            self._answers = Answers()
            self._answers.close = "discard"
            first = load_job(next(iter(samples().values())))
            self._window, self._held = window_with(first, self._answers), 0
        self._held += 1
        return self._window

    def _put_away(self) -> None:
        """Give up the window; results from a broken one say nothing new."""
        if self._window is not None:
            window, self._window = self._window, None
            dispose(window)
            self._ear.heard.clear()

    def run(self, data: bytes) -> str:
        """Open the job and look at everything."""
        self._file.write_bytes(data)
        try:
            window = self._window_for_case()
            self._answers.asked.clear()
            well = window.open_path(self._file)
            settle()
            if well:
                look_at_all(window)
            self._ear.require_silence()
        except Exception:
            self._put_away()
            raise
        if well:
            return "opened"
        require_sentence((self._answers.asked or ["nothing was said"])[-1])
        return "refused"

    def parts(self, data: bytes) -> Parts | None:
        """Split the file into parts that can be left out."""
        return self._jobs.parts(data)


def look_at_all(window: Window) -> None:
    """Show every pane, point at places, run actions that ask nothing, and undo them."""
    settle()
    document = window.document
    job = document.job
    for tabs in tab_widgets(window):
        for index in range(tabs.count()):
            tabs.setCurrentIndex(index)
            settle(1)
    canvas = window.workspace.canvas
    for x, y in ((0.5, 0.5), (0.1, 0.9), (0.95, 0.05), (0.3, 0.6)):
        at = canvas.rect().topLeft()
        at.setX(round(canvas.width() * x))
        at.setY(round(canvas.height() * y))
        QTest.mouseMove(canvas, at)
        QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)
    for action in _ACTIONS:
        window.port.do(action)
        settle(1)
    for thing in [*job.placements[:2], *job.parts[:2]]:
        document.select({thing.id})
        settle(1)
        QTest.keyClick(canvas, Qt.Key.Key_Right)
    settle()
    window.workspace.checker.stop()
    while document.undo() is not None:
        pass
    if document.job is not job:
        raise Find("undo does not give back the identical job")
    settle()


def tab_widgets(window: Window) -> Iterator[QTabWidget]:
    """Yield every tab widget in the window, including those inside pages shown before."""
    seen: set[int] = set()
    while True:
        fresh = [tabs for tabs in window.findChildren(QTabWidget) if id(tabs) not in seen]
        if not fresh:
            return
        for tabs in fresh:
            seen.add(id(tabs))
            yield tabs


def opening(folder: Path) -> Opened:
    """Return the trial for this kind."""
    return Opened(folder)
