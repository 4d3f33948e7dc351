"""A process that opens one window, says when it was first painted, and ends: for the benchmark."""

import os
import sys
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from gridjig.qt.bare import Bare


def _empty() -> None:
    from PySide6.QtWidgets import QApplication, QWidget  # noqa: PLC0415

    app = QApplication([])
    window = QWidget()
    window.resize(1280, 800)
    _watch(window)
    window.show()
    app.exec()


def _frame() -> None:
    """The program itself, until its table is on the screen."""
    from gridjig.qt import frame  # noqa: PLC0415

    class Watched(frame.Frame):
        def show_bare(self, bare: "Bare") -> None:
            _watch(self)
            super().show_bare(bare)

    frame.Frame = Watched  # type: ignore[misc]
    _run()


def _whole() -> None:
    """The program itself, until all of its window is on the screen."""
    from gridjig.qt import frame  # noqa: PLC0415

    class Watched(frame.Frame):
        def take(self, inside: "QWidget") -> None:
            super().take(inside)
            _watch(inside.work.canvas)  # type: ignore[attr-defined]

    frame.Frame = Watched  # type: ignore[misc]
    _run()


def _run() -> None:
    from gridjig.cli import main  # noqa: PLC0415

    sys.exit(main([]))


def _watch(widget: "QWidget") -> None:
    """Tell when the widget has been painted for the first time."""
    from PySide6.QtCore import QEvent, QObject, QTimer  # noqa: PLC0415

    class Filter(QObject):
        def eventFilter(self, watched: QObject, event: QEvent) -> bool:
            if event.type() == QEvent.Type.Paint:
                QTimer.singleShot(0, _tell)
            return False

    watcher = Filter(widget)
    widget.installEventFilter(watcher)


def _tell() -> None:
    print(time.time(), flush=True)
    os._exit(0)  # how long a program takes to end is not asked


if __name__ == "__main__":
    {"empty": _empty, "frame": _frame, "whole": _whole}[sys.argv[1]]()
