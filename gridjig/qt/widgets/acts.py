"""Lets the part of the window that holds a button know that it was pressed.

After an act the plan has the focus; only the part that holds both knows whether the press was one.
"""

from PySide6.QtWidgets import QWidget


class ActPlace(QWidget):
    """A part of the window whose buttons may act on the job."""

    def begin_act(self) -> None:
        """A button in it was pressed; what it does comes next."""
        raise NotImplementedError


def tell_act(button: QWidget) -> None:
    """Tell the place that holds a button, if there is one, that it was pressed."""
    one = button.parentWidget()
    while one is not None:
        if isinstance(one, ActPlace):
            one.begin_act()
            return
        one = one.parentWidget()
