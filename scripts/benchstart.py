"""A process that opens one window, says when it was first painted, and ends: for the benchmark."""

import os
import sys
import time


def _empty() -> None:
    from PySide6.QtGui import QPainter, QPaintEvent  # noqa: PLC0415
    from PySide6.QtWidgets import QApplication, QWidget  # noqa: PLC0415

    class Window(QWidget):
        def paintEvent(self, event: QPaintEvent) -> None:
            with QPainter(self) as painter:
                painter.fillRect(self.rect(), "#FBFAF5")
            _tell()

    app = QApplication([])
    window = Window()
    window.resize(1280, 800)
    window.show()
    app.exec()


def _gridjig() -> None:
    from benchjobs import few  # noqa: PLC0415

    from gridjig.files.assets import ready_tables  # noqa: PLC0415
    from gridjig.qt import app as program  # noqa: PLC0415

    job = few(ready_tables()["48x96-5/8"])
    program.bench(job, _tell)


def _canvas() -> None:
    from benchjobs import few  # noqa: PLC0415
    from PySide6.QtCore import QTimer  # noqa: PLC0415
    from PySide6.QtWidgets import QApplication  # noqa: PLC0415

    from gridjig.files.assets import ready_tables  # noqa: PLC0415
    from gridjig.qt.canvas import Canvas  # noqa: PLC0415
    from gridjig.qt.metrics import measure  # noqa: PLC0415
    from gridjig.qt.theme import THEMES, apply  # noqa: PLC0415
    from gridjig.session.desk import Desk  # noqa: PLC0415

    app = QApplication([])
    metrics = measure(app.primaryScreen())
    apply(app, THEMES["light"], metrics)
    canvas = Canvas(Desk(few(ready_tables()["48x96-5/8"])), THEMES["light"], metrics)
    canvas.resize(1280, 800)
    canvas.show()
    canvas.repaint()
    QTimer.singleShot(0, _tell)
    app.exec()


def _tell() -> None:
    print(time.time(), flush=True)
    os._exit(0)  # how long a program takes to end is not asked


if __name__ == "__main__":
    {"empty": _empty, "gridjig": _gridjig, "canvas": _canvas}[sys.argv[1]]()
