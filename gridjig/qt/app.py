"""Starts the program: one QApplication, a log, and what to do when something breaks.

An exception in a slot never ends the program: it is logged, said, and the work stays open.
"""

import faulthandler
import logging
import sys
import threading
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType
from typing import TextIO

from msgspec import Struct
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from gridjig.files.assets import samples
from gridjig.files.places import make_private, state_dir
from gridjig.files.settings import read_settings

from .starting import empty_job
from .warmup import Warmup
from .window import Window

log = logging.getLogger(__name__)

LOG_NAME = "gridjig.log"
_LOG_BYTES = 1_000_000
_FIRST_MS = 100
"""After so long the first picture is painted, and what may be needed next is loaded."""


class Log(Struct, frozen=True):
    """Where it is logged, and what has to stay open for it."""

    path: Path
    handler: logging.Handler
    crashes: TextIO

    def close(self) -> None:
        """Log no more."""
        logging.getLogger().removeHandler(self.handler)
        self.handler.close()
        faulthandler.disable()
        self.crashes.close()


def start_log(folder: Path) -> Log | None:
    """Log to a file of the state folder; None where nothing can be written."""
    try:
        make_private(folder)
        handler = RotatingFileHandler(
            folder / LOG_NAME, maxBytes=_LOG_BYTES, backupCount=2, encoding="utf-8"
        )
        crashes = (folder / "crash.log").open("a", encoding="utf-8")
    except OSError:
        return None
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s %(message)s"))
    root = logging.getLogger()
    root.setLevel(logging.INFO)
    root.addHandler(handler)
    faulthandler.enable(crashes)
    return Log(folder / LOG_NAME, handler, crashes)


class Catcher:
    """What is done with an exception that nobody caught: it is logged and said in the window."""

    def __init__(self, logged: bool) -> None:
        self._logged = logged
        self.window: Window | None = None

    def __call__(
        self,
        kind: type[BaseException],
        value: BaseException,
        trace: TracebackType | None,
    ) -> None:
        """Log and say it."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, value, trace)
            return
        log.error("something broke", exc_info=(kind, value, trace))
        if not self._logged:
            sys.__excepthook__(kind, value, trace)
        window = self.window
        if window is not None:
            words = "Something broke; the job is as it was. Save it under another name to be safe."
            QTimer.singleShot(0, window, lambda: window.say(words))

    def thread(self, args: threading.ExceptHookArgs) -> None:
        """The same for an exception in a thread."""
        if args.exc_value is not None:
            self(args.exc_type, args.exc_value, args.exc_traceback)


def run(path: str | None, first_time: bool = False) -> int:
    """Open the window, with the job of `path` or without, and stay until it is closed."""
    logged = start_log(state_dir())  # held here, since what is not held is closed
    catcher = Catcher(logged is not None)
    sys.excepthook = catcher
    threading.excepthook = catcher.thread
    app = QApplication.instance()
    if not isinstance(app, QApplication):
        app = QApplication(sys.argv[:1])
    app.setApplicationName("GridJig")
    app.setDesktopFileName("gridjig")
    settings = read_settings()
    window = Window(empty_job(settings), settings, app.font().pointSizeF())
    catcher.window = window
    screen = window.screen().availableGeometry()
    if screen.width() <= 1300 or screen.height() <= 820:
        window.showMaximized()
    else:
        window.show()
    QTimer.singleShot(0, window, lambda: begin(window, path, first_time))
    warmup = Warmup(window)
    QTimer.singleShot(_FIRST_MS, window, warmup.start)
    log.info("the window is open")
    code = app.exec()
    if logged is not None:
        logged.close()
    return code


def begin(window: Window, path: str | None, first_time: bool) -> None:
    """What happens once the window stands: recover, open what was asked for, or a sample."""
    if window.starting.offer_copies():
        return
    if path is not None:
        window.open_path(Path(path))
    elif first_time and samples():
        window.file.open_sample(next(iter(samples().values())))
