"""Tells a widget that is being left whether what it lies in is still whole.

Qt destroys a tree of widgets from the outside in, and in between it still tells the children that
they lose the focus, are left or are hidden.  A handler that then asks for its parent is given a new
Python object for half a widget, and the next garbage collection ends the process.  So:

    A handler of leaving (`focusOutEvent`, `leaveEvent`, `hideEvent`) touches more than its own
    widget only if `Surroundings.whole()` says so, and nothing is done by an event filter or by
    Qt's own signals of leaving (`editingFinished`, `destroyed`).

`tests/qt/widgets/test_lifetime.py` finds handlers that break this rule.
"""

import weakref

from PySide6.QtWidgets import QWidget
from shiboken6 import createdByPython, isValid


class Surroundings:
    """What a widget lies in: noted when it is entered, when all of it is alive, and asked when it
    is left.

    Only widgets that Python made are noted: they are marked as gone before anything else of their
    destruction happens.  Those that Qt makes in between (a viewport, the pages of tabs) go with
    them.
    """

    def __init__(self) -> None:
        self._noted: tuple[weakref.ref[QWidget], ...] = ()

    def note(self, widget: QWidget) -> None:
        """Note what the widget lies in, itself included; to be called while it is entered."""
        found = []
        one: QWidget | None = widget
        while one is not None:
            if createdByPython(one):
                found.append(weakref.ref(one))
            one = one.parentWidget()
        self._noted = tuple(found)

    def whole(self) -> bool:
        """True unless some of what was noted is being destroyed, or nothing was noted."""
        return bool(self._noted) and all(map(_is_alive, self._noted))


def _is_alive(noted: "weakref.ref[QWidget]") -> bool:
    widget = noted()
    return widget is not None and isValid(widget)
