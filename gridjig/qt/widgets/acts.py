"""Lets the part of the window that holds a button or a field know what was done there.

After an act the plan has the focus; only the part that holds both knows whether the press was one.
"""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget


class ActPlace(QWidget):
    """A part of the window whose buttons may act on the job.

    `keys_changed` is emitted when keys do something else in the field that has the focus.
    """

    keys_changed = Signal()

    def begin_act(self) -> None:
        """A button in it was pressed; what it does comes next."""
        raise NotImplementedError


def tell_act(button: QWidget) -> None:
    """Tell the place that holds a button, if there is one, that it was pressed."""
    place = _place_of(button)
    if place is not None:
        place.begin_act()


def tell_keys(field: QWidget) -> None:
    """Tell the place that holds a field, if there is one, that keys do something else in it."""
    place = _place_of(field)
    if place is not None:
        place.keys_changed.emit()


def _place_of(widget: QWidget) -> ActPlace | None:
    one = widget.parentWidget()
    while one is not None and not isinstance(one, ActPlace):
        one = one.parentWidget()
    return one
