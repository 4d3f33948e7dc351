"""One file dropped on a window or a form."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject
from PySide6.QtGui import QDragEnterEvent, QDropEvent

from gridjig.qt.tasks.timers import call_later


def accept_one_file(event: QDragEnterEvent) -> None:
    """Accept the drag of one file on this machine."""
    urls = event.mimeData().urls()
    if len(urls) == 1 and urls[0].isLocalFile():
        event.acceptProposedAction()


def take_dropped(event: QDropEvent, over: QObject, take: Callable[[Path], object]) -> None:
    """Take the dropped file once the drop has finished, because taking it may ask a question.

    Not if `over` is gone by then.
    """
    path = Path(event.mimeData().urls()[0].toLocalFile())
    event.acceptProposedAction()
    call_later(over, lambda: take(path))
