"""Starts the program: one QApplication, a log, and the handling of uncaught exceptions.

The bare table is on the screen before the code that works on it is loaded.  An exception in a slot
never ends the program: it is logged and reported, and the job stays open.
"""

import faulthandler
import logging
import os
import sys
import threading
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, TextIO

from msgspec import Struct
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication
from shiboken6 import isValid

from gridjig.files.library.default_job import default_job
from gridjig.files.storage.locations import make_private, state_dir
from gridjig.files.storage.settings import read_settings, spelling_in_use
from gridjig.files.storage.state import CRASH_NAME, LOG_NAME, is_odd, state_trouble
from gridjig.qt.style.font_size import use_letters
from gridjig.qt.style.metrics import measured
from gridjig.units.limits import LimitError
from gridjig.units.spelling import use_spelling

from .startup_frame import StartupFrame

if TYPE_CHECKING:
    from gridjig.qt.window.window import Window

log = logging.getLogger(__name__)

_LOG_BYTES = 1_000_000
_FIRST_MS = 100
"""By this delay the whole window is painted, and what may be needed next is loaded."""


class EarlyLog(logging.Handler):
    """Keeps log records until the log is open: loading what writes it takes as long as painting
    the table does, and the window comes first.
    """

    def __init__(self) -> None:
        super().__init__()
        self._kept: list[logging.LogRecord] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep a record."""
        self._kept.append(record)

    def give_to(self, handler: logging.Handler) -> None:
        """Let another handler write the records kept so far."""
        for record in self._kept:
            if record.levelno >= handler.level:
                handler.handle(record)
        self._kept.clear()


class LogFile(Struct, frozen=True):
    """The open log file."""

    path: Path
    handler: logging.Handler

    def close(self) -> None:
        """Stop logging."""
        logging.getLogger().removeHandler(self.handler)
        self.handler.close()


def note_crashes(folder: Path) -> TextIO | None:
    """Write crashes of Python itself to a file in the state folder; return the open file, or None.

    The caller must keep a reference to the file, or it is closed.
    """
    try:
        make_private(folder)
        if is_odd(folder / CRASH_NAME):
            return None
        crashes = (folder / CRASH_NAME).open("a", encoding="utf-8")
    except OSError:
        return None
    faulthandler.enable(crashes)
    return crashes


def start_log(folder: Path) -> LogFile | None:
    """Log to a file in the state folder; return None if nothing can be written there."""
    from logging.handlers import RotatingFileHandler  # noqa: PLC0415 - dear, see Early

    try:
        make_private(folder)
        if is_odd(folder / LOG_NAME):
            return None
        handler = RotatingFileHandler(
            folder / LOG_NAME, maxBytes=_LOG_BYTES, backupCount=2, encoding="utf-8"
        )
    except OSError:
        return None
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s %(message)s"))
    logging.getLogger().addHandler(handler)
    return LogFile(folder / LOG_NAME, handler)


class ExceptionHook:
    """Handles uncaught exceptions: logs them and reports them in the window."""

    def __init__(self, logged: bool = False) -> None:
        self.logged = logged
        self.window: Window | None = None

    def __call__(
        self,
        kind: type[BaseException],
        value: BaseException,
        trace: TracebackType | None,
    ) -> None:
        """Log and report an exception."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, value, trace)
            return
        if isinstance(value, LimitError):  # not a bug: a requested value is out of range
            log.info("asked for too much: %s", value)
            words = str(value)
            self._say(f"{words[:1].upper()}{words[1:]}. The job is unchanged.")
            return
        log.error("something broke", exc_info=(kind, value, trace))
        if not self.logged:
            sys.__excepthook__(kind, value, trace)
        self._say("Something failed; the job is unchanged. Save it under another name to be safe.")

    def _say(self, words: str) -> None:
        window = self.window
        if window is not None and isValid(window):
            from gridjig.qt.tasks.timers import call_later  # noqa: PLC0415 - loaded with the window

            call_later(window, lambda: window.show_message(words))

    def thread(self, args: threading.ExceptHookArgs) -> None:
        """Do the same for an exception in a thread."""
        if args.exc_value is not None:
            self(args.exc_type, args.exc_value, args.exc_traceback)


def leave_at_once(code: int) -> None:
    """End the process without waiting for its threads: they only read, and save nothing."""
    for stream in (sys.stdout, sys.stderr):
        with suppress(OSError, ValueError, AttributeError):
            stream.flush()
    os._exit(code)


class Program:
    """One run of the program: its window, and what to show in it."""

    def __init__(self, app: QApplication, path: str | None) -> None:
        self._points = app.font().pointSizeF()
        self._path = Path(path) if path is not None else None
        self._app = app
        self._early = EarlyLog()
        self._log: LogFile | None = None
        self._catcher = ExceptionHook()
        logging.getLogger().setLevel(logging.INFO)
        logging.getLogger().addHandler(self._early)
        sys.excepthook = self._catcher
        threading.excepthook = self._catcher.thread
        self._settings = read_settings()
        # Before the modules are loaded that hold the texts.
        use_spelling(spelling_in_use(self._settings))
        use_letters(app, self._points * measured(app.primaryScreen(), self._settings).letters)
        self._frame = StartupFrame()

    def run(self) -> int:
        """Show the window until it is closed; return the exit code."""
        crashes = note_crashes(state_dir())
        self._frame.shown.connect(self._furnish)
        self._frame.appear()
        from .startup_view import startup_view  # noqa: PLC0415 - while the screen makes room for the window

        screen = self._frame.screen()
        self._frame.show_startup_view(startup_view(self._settings, screen, self._path))
        code = self._app.exec()
        self._open_log()  # it has not been, if the window was closed at once or could not be made
        idle = self._end_tasks()
        if not idle:
            log.info("the program ends while background work is still under way")
        if self._log is not None:
            self._log.close()
        if crashes is not None:
            faulthandler.disable()
            crashes.close()
        if not idle:
            leave_at_once(code)
        return code

    def _end_tasks(self) -> bool:
        """Cancel background work and wait briefly; True if all of it has ended."""
        if self._catcher.window is None:
            return True
        from gridjig.qt.tasks import cancel_all  # noqa: PLC0415 - loaded with the window

        return cancel_all()

    def _furnish(self) -> None:
        """Fill the frame; end the program if that fails."""
        try:
            from gridjig.qt.tasks.timers import call_later  # noqa: PLC0415 - the first picture comes without
            from gridjig.qt.tasks.warmup import Warmup  # noqa: PLC0415
            from gridjig.qt.window.window import Window  # noqa: PLC0415

            window = Window(default_job(self._settings), self._settings, self._points, self._frame)
        except BaseException:
            self._app.exit(1)
            raise
        self._catcher.window = window
        self._frame.take(window)
        call_later(window, self._open_log, _FIRST_MS)
        call_later(window, lambda: look_about(window), _FIRST_MS)
        call_later(window, Warmup(window).start, _FIRST_MS)
        log.info("the window is open")
        begin(window, self._path)  # before painting, or another table would flash up

    def _open_log(self) -> None:
        """Open the log, if it is not open yet, and write what was kept for it."""
        if self._early not in logging.getLogger().handlers:
            return
        self._log = start_log(state_dir())
        logging.getLogger().removeHandler(self._early)
        handler = self._log.handler if self._log is not None else logging.lastResort
        if handler is not None:
            self._early.give_to(handler)
        self._catcher.logged = self._log is not None


def spare_imports() -> None:
    """Keep PySide from reading the source of every module that is imported from now on.

    It looks there for uses of Qt, so that `from __feature__ import ...` works; nothing here needs
    that, and reading four hundred sources takes a twentieth of the start.  There is no public way;
    if PySide has no such function any more, nothing is changed.
    """
    feature = vars(import_module("shibokensupport.feature"))
    if "_mod_uses_pyside" in feature:
        feature["_mod_uses_pyside"] = lambda module: False


def run(path: str | None) -> int:
    """Open the window, with the job at `path` if given, and run until it is closed."""
    spare_imports()
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
    app.setApplicationName("GridJig")
    app.setDesktopFileName("gridjig")
    return Program(app, path).run()


def begin(window: "Window", path: Path | None) -> None:
    """Do what follows once the window is ready: recover, or open the requested job."""
    if window.start_pages.offer_copies():
        if path is not None:
            window.show_message(
                f"{path.name} was not opened, to keep the recovered job; open it from the File "
                "menu."
            )
    elif path is not None:
        window.open_path(path)


def look_about(window: "Window") -> None:
    """Report once what in the user's own folder cannot be used, before anything is saved there."""
    words = state_trouble()
    if words:
        log.warning("%s", words)
        window.show_message(words)
    note_room(window)


def note_room(window: "Window") -> None:
    """Save the margins around the plan, for the first picture of the next start."""
    if window.banner.isVisible():  # rarely
        return
    sheet = window.workspace.canvas
    low = sheet.mapTo(window, QPoint(0, 0))
    high = sheet.mapTo(window, QPoint(sheet.width(), sheet.height()))
    room = (low.x(), low.y(), window.width() - high.x(), window.height() - high.y())
    window.change_settings(round_sheet=room)
