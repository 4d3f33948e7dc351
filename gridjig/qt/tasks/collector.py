"""Collects garbage in the window's thread only, between two events.

Python's own collector runs wherever an object happens to be created, and in two places that can
crash the program.  In the thread of a task it destroys widgets there, while the window is being
painted: PySide hands only widgets of Qt's own classes over to the window's thread.  In a handler it
can destroy a widget that Qt has yet to visit, for instance when Qt goes through all widgets because
the style has changed.
"""

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 100
"""How often to look for garbage, ms."""
MANY_NEW = 2000
"""A collection is due when this many objects created since the last one are still alive."""
_OLDER = 10
"""Every tenth collection takes in older objects too, and every hundredth takes in all of them."""


class Collector(QObject):
    """Turns Python's own collector off, and collects in its place as long as this object lives."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        self._done = 0
        self._timer = QTimer(self, interval=EVERY_MS)
        self._timer.timeout.connect(self.look)
        self._timer.start()

    def look(self) -> None:
        """Collect if enough is new: usually new objects only, older ones less often."""
        if gc.get_count()[0] < MANY_NEW:
            return
        self._done += 1
        old = self._done % (_OLDER * _OLDER) == 0
        middle = self._done % _OLDER == 0
        gc.collect(2 if old else 1 if middle else 0)
