"""Collects garbage in the window's thread only, between two events.

Python collects wherever an object happens to be made, and two such places end the program.  In the
thread of a task, a widget left in a circle of references would be destroyed while the window is
being painted: Qt's binding hands over only widgets of Qt's own classes to the window's thread.  In
a handler, a widget would be destroyed that Qt is about to come to, as it goes through all of them
when the style changes.
"""

import gc

from PySide6.QtCore import QObject, QTimer

EVERY_MS = 100
"""How often it is looked whether there may be garbage."""
MANY_NEW = 2000
"""Objects made since the last collection, and still there, after which the next is due."""
_OLDER = 10
"""Every so many collections of what is new, what is older is looked through too."""


class Collector(QObject):
    """Takes the place of Python's own collecting as long as it lives."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        self._done = 0
        self._timer = QTimer(self, interval=EVERY_MS)
        self._timer.timeout.connect(self.look)
        self._timer.start()

    def look(self) -> None:
        """Collect if there may be garbage; much less often what is older than most of it."""
        if gc.get_count()[0] < MANY_NEW:
            return
        self._done += 1
        old = self._done % (_OLDER * _OLDER) == 0
        middle = self._done % _OLDER == 0
        gc.collect(2 if old else 1 if middle else 0)
