"""Tells a widget that is being left whether its ancestors are still alive.

Qt destroys a tree of widgets from the outside in, and meanwhile still sends the children events
that they lose the focus, are left or are hidden.  A handler that then asks for its parent gets a
new Python object for a half-destroyed widget, and the next garbage collection crashes the process.
So:

A handler of such an event (`focusOutEvent`, `leaveEvent`, `hideEvent`) touches more than its
own widget only if `Surroundings.whole()` is True.  Event filters and Qt's own signals of
leaving (`editingFinished`, `destroyed`) are not used.

`tests/qt/widgets/test_lifetime.py` finds handlers that break this rule.
"""

import weakref

from PySide6.QtWidgets import QWidget
from shiboken6 import createdByPython, isValid


class Surroundings:
    """A widget and its ancestors: noted when the widget is entered, and all are alive, and checked
    when it is left.

    Only widgets created by Python are noted: they are marked as gone before the rest of their
    destruction begins.  Widgets that Qt creates in between (a viewport, the pages of tabs) are
    destroyed along with them.
    """

    def __init__(self) -> None:
        self._noted: tuple[weakref.ref[QWidget], ...] = ()

    def note(self, widget: QWidget) -> None:
        """Note the widget and its ancestors; to be called when the widget is entered."""
        found = []
        one: QWidget | None = widget
        while one is not None:
            if createdByPython(one):
                found.append(weakref.ref(one))
            one = one.parentWidget()
        self._noted = tuple(found)

    def whole(self) -> bool:
        """Return True if widgets were noted and none of them is being destroyed."""
        return bool(self._noted) and all(map(_is_alive, self._noted))


def _is_alive(noted: "weakref.ref[QWidget]") -> bool:
    widget = noted()
    return widget is not None and isValid(widget)
