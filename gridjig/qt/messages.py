"""What Qt says by itself: kept in the log, and off the terminal of whoever asked something else."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

log = logging.getLogger("qt")

_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def keep(kind: QtMsgType, context: QMessageLogContext, words: str) -> None:
    """Put one line of Qt's in the log."""
    log.log(_LEVELS.get(kind, logging.WARNING), "%s", words)


@contextmanager
def quietly() -> Iterator[None]:
    """Keep Qt's lines in the log while something is drawn or read."""
    before = qInstallMessageHandler(keep)
    quiet = logging.NullHandler()  # without one Python prints warnings itself
    log.addHandler(quiet)
    try:
        yield
    finally:
        log.removeHandler(quiet)
        qInstallMessageHandler(before)
