"""Qt's own messages: kept in the log, and off the terminal of a user who ran some other command."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from threading import get_ident

from PySide6.QtCore import QMessageLogContext, QtMsgType, qInstallMessageHandler

log = logging.getLogger("qt")

_MOST = 1000
_LEVELS = {
    QtMsgType.QtDebugMsg: logging.DEBUG,
    QtMsgType.QtInfoMsg: logging.INFO,
    QtMsgType.QtWarningMsg: logging.WARNING,
    QtMsgType.QtCriticalMsg: logging.ERROR,
    QtMsgType.QtFatalMsg: logging.CRITICAL,
}


def keep(kind: QtMsgType, context: QMessageLogContext, words: str) -> None:
    """Write one of Qt's messages to the log."""
    log.log(_LEVELS.get(kind, logging.WARNING), "%s", words)


@contextmanager
def listened() -> Iterator[list[str]]:
    """Collect Qt's messages while something is drawn or read, and still pass them on as usual.

    Only messages from this thread are kept, at most a thousand.
    """
    said: list[str] = []
    mine = get_ident()

    def hear(kind: QtMsgType, context: QMessageLogContext, words: str) -> None:
        if get_ident() == mine and len(said) < _MOST:
            said.append(words)
            log.info("%s", words)
        elif before is not None:
            before(kind, context, words)

    before = qInstallMessageHandler(hear)
    try:
        yield said
    finally:
        qInstallMessageHandler(before)


@contextmanager
def quietly() -> Iterator[None]:
    """Send Qt's messages to the log only while something is drawn or read."""
    before = qInstallMessageHandler(keep)
    quiet = logging.NullHandler()  # without a handler Python prints warnings itself
    log.addHandler(quiet)
    try:
        yield
    finally:
        log.removeHandler(quiet)
        qInstallMessageHandler(before)
