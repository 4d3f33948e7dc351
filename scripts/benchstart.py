"""A process that opens one window, says when it was first painted, and ends: for the benchmark."""

import os
import sys
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget


def _empty() -> None:
    from PySide6.QtWidgets import QApplication, QWidget  # noqa: PLC0415

    app = QApplication([])
    window = QWidget()
    window.resize(1280, 800)
    _watch(window)
    window.show()
    app.exec()


def _gridjig() -> None:
    from gridjig.qt.warmup import hold  # noqa: PLC0415

    hold()  # as the program does
    from PySide6.QtWidgets import QApplication  # noqa: PLC0415

    from gridjig.files.settings import Settings  # noqa: PLC0415
    from gridjig.qt.starting import empty_job  # noqa: PLC0415
    from gridjig.qt.window import Window  # noqa: PLC0415

    app = QApplication([])
    settings = Settings()
    window = Window(empty_job(settings), settings, app.font().pointSizeF())
    window.resize(1280, 800)
    _watch(window.work.canvas)
    window.show()
    app.exec()


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
    {"empty": _empty, "gridjig": _gridjig}[sys.argv[1]]()
