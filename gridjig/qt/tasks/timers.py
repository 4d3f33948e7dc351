"""Deferred calls that end with their owner: if it is deleted first, nothing is called.

Never use `QTimer.singleShot`: if its receiver has already been told to delete itself, the callable
is never freed, nor is anything that it refers to.
"""

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer


def due(owner: QObject, call: Callable[[], object], after_ms: int = 0) -> QTimer:
    """Return a timer that calls once, `after_ms` after each start."""
    timer = QTimer(owner, singleShot=True, interval=after_ms)
    timer.timeout.connect(call)
    return timer


def call_later(owner: QObject, call: Callable[[], object], after_ms: int = 0) -> None:
    """Call once after `after_ms`, and not before the events posted until now are handled."""
    timer = due(owner, call, after_ms)
    timer.timeout.connect(timer.deleteLater)
    timer.start()
