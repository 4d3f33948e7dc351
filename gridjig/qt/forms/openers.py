"""Which form an action opens.  A new form is added to this table and nowhere else.

The forms are imported when they are first opened, so that starting stays quick.
"""

from collections.abc import Callable, Mapping

from PySide6.QtWidgets import QWidget

from gridjig.session.desk import Desk

from ..windowstyle import Look

Opener = Callable[[QWidget, Desk, Look], None]


def openers() -> Mapping[str, Opener]:
    """Action id to what opens its form over a window, for a desk."""
    return {"file.drawing": _drawing, "angle.chart": _chart}


def _chart(window: QWidget, desk: Desk, look: Look) -> None:
    from .chart import open_chart  # noqa: PLC0415

    open_chart(window, desk, look)


def _drawing(window: QWidget, desk: Desk, look: Look) -> None:
    from .drawing import ask_drawing  # noqa: PLC0415

    ask_drawing(window, desk, look)


def _table(window: QWidget, desk: Desk, look: Look) -> None:
    from .table import open_table  # noqa: PLC0415

    open_table(window, desk, look)


def _rack(window: QWidget, desk: Desk, look: Look) -> None:
    from .rack import open_rack  # noqa: PLC0415

    open_rack(window, desk, look)
