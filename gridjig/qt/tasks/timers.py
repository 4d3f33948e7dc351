"""Calls that come later.  They go with their owner: if it is gone by then, nothing is called.

Never `QTimer.singleShot` instead: for an owner that is already on its way out it keeps what it was
to call, and all that hangs on that, for good.
"""

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer


def due(owner: QObject, call: Callable[[], object], after_ms: int = 0) -> QTimer:
    """Return a timer that, each time it is started, calls once after so long."""
    timer = QTimer(owner, singleShot=True, interval=after_ms)
    timer.timeout.connect(call)
    return timer


def call_later(owner: QObject, call: Callable[[], object], after_ms: int = 0) -> None:
    """Call once after so long, and not before what was posted until now has happened."""
    timer = due(owner, call, after_ms)
    timer.timeout.connect(timer.deleteLater)
    timer.start()
