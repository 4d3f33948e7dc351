"""A window without a screen, as in the tests, and a listener for whatever goes wrong in it."""

import logging
import sys
import threading
import traceback
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import (
    QCoreApplication,
    QEvent,
    QMessageLogContext,
    QtMsgType,
    qInstallMessageHandler,
)
from PySide6.QtWidgets import QApplication

from gridjig.files.storage.settings import Settings
from gridjig.model import Job
from gridjig.qt.tasks.collector import Collector
from gridjig.qt.tasks.warmup import before_thread
from gridjig.qt.window.window import Window
from tests.qt.windows import Answers

from .kind import Find, is_ours

_HARMLESS = ("This plugin does not support",)
"""What Qt's offscreen platform says about every window with a minimum size."""
_POINTS = 10.0
_MOST_BESIDE = 20


class Ear(logging.Handler):
    """Records exceptions in events and threads, Qt warnings, and warnings in the log."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []
        sys.excepthook = self._excepted
        threading.excepthook = lambda args: self._excepted(
            args.exc_type, args.exc_value, args.exc_traceback
        )
        qInstallMessageHandler(self._said)
        root = logging.getLogger()
        for handler in list(root.handlers):
            root.removeHandler(handler)
        root.addHandler(self)

    def _excepted(
        self,
        kind: type[BaseException],
        value: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        frames = [f for f in traceback.extract_tb(trace) if is_ours(f.filename)]
        at = f"{Path(frames[-1].filename).name} {frames[-1].name}" if frames else "nowhere"
        whole = "".join(traceback.format_exception(kind, value, trace))
        self.heard.append(f"{kind.__name__} in {at}: {value}\n{whole}")
        print(whole, file=sys.stderr)  # if it is the fuzzer's own fault, nothing else reports it

    def _said(self, kind: QtMsgType, _context: QMessageLogContext, words: str) -> None:
        if kind in (QtMsgType.QtDebugMsg, QtMsgType.QtInfoMsg) or words.startswith(_HARMLESS):
            return
        self.heard.append(f"Qt says: {words}")

    def emit(self, record: logging.LogRecord) -> None:
        """Record a warning."""
        self.heard.append(f"log of {record.name}: {self.format(record)}")

    def require_silence(self) -> None:
        """Raise Find with what was recorded since the last call."""
        heard, self.heard = self.heard, []
        if heard:
            raise Find("\n".join(heard))


def application() -> QApplication:
    """Return the one application of this process."""
    app = QApplication.instance() or QApplication(["gridjig"])
    assert isinstance(app, QApplication)
    before_thread()
    if not app.findChildren(Collector):
        Collector(app)
    return app


def window_with(job: Job, answers: Answers) -> Window:
    """Return a shown window whose questions are answered by `answers`."""
    window = Window(job, Settings(), _POINTS)
    window.questions = answers  # type: ignore[assignment]
    window.file.answer_by(answers)
    window.show()
    return window


def settle(times: int = 3) -> None:
    """Process everything that is due, including deferred deletions, as an event loop does."""
    for _ in range(times):
        QApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def dispose(window: Window) -> None:
    """Close a window for good, and every other open window."""
    window.file.document.mark_saved()
    window.close()
    for _ in range(_MOST_BESIDE):
        # Query again each time: closing one may close others.
        beside = [w for w in QApplication.topLevelWidgets() if w is not window and w.isVisible()]
        if not beside:
            break
        beside[0].close()
        settle(1)
    window.deleteLater()  # last: popups and forms above it belong to it
    settle()
