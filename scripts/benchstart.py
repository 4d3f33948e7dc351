"""How long it takes until a window is painted: each in a process of its own, which reports when."""

import os
import sys
import time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from gridjig.qt.startup.startup_view import StartupView


KINDS = ("empty", "frame", "whole")
"""An empty Qt window; the program's window when its table is shown; the same when it is
complete.
"""


def times(rounds: int) -> list[float]:
    """Return the seconds from before Python starts until painting ends, for each kind of window.

    The kinds take turns; the least disturbed round of each counts.  All run compiled modules, as an
    installed program does, whatever the environment says; a first round compiles them.
    """
    from tempfile import TemporaryDirectory  # noqa: PLC0415 - not in the processes that are timed

    with TemporaryDirectory() as state:
        taken = [[_time(kind, state) for kind in KINDS] for _ in range(rounds + 1)]
    return [min(each) for each in zip(*taken[1:], strict=True)]


def _time(kind: str, state: str) -> float:
    import subprocess  # noqa: PLC0415 - as above

    surroundings = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    begun = time.time()
    done = subprocess.run(
        [sys.executable, __file__, kind],
        capture_output=True,
        text=True,
        check=True,
        env={
            **surroundings,
            "GRIDJIG_STATE": state,
            "PYTHONPYCACHEPREFIX": f"{state}/compiled",
        },
    )
    return float(done.stdout.split()[-1]) - begun


def _empty() -> None:
    from PySide6.QtWidgets import QApplication, QWidget  # noqa: PLC0415

    app = QApplication([])
    window = QWidget()
    window.resize(1280, 800)
    _watch(window)
    window.show()
    app.exec()


def _frame() -> None:
    """Run the program until its table is on the screen."""
    import gridjig.cli.command  # noqa: F401, PLC0415 - the program loads it before Qt
    from gridjig.qt.startup import startup_frame  # noqa: PLC0415

    class Watched(startup_frame.StartupFrame):
        def show_startup_view(self, bare: "StartupView") -> None:
            _watch(self)
            super().show_startup_view(bare)

    startup_frame.StartupFrame = Watched  # type: ignore[misc]
    _run()


def _whole() -> None:
    """Run the program until its complete window is on the screen."""
    import gridjig.cli.command  # noqa: F401, PLC0415 - the program loads it before Qt
    from gridjig.qt.startup import startup_frame  # noqa: PLC0415

    class Watched(startup_frame.StartupFrame):
        def take(self, inside: "QWidget") -> None:
            super().take(inside)
            _watch(inside.workspace.canvas)  # type: ignore[attr-defined]

    startup_frame.StartupFrame = Watched  # type: ignore[misc]
    _run()


def _run() -> None:
    from gridjig.cli import main  # noqa: PLC0415

    sys.exit(main([]))


def _watch(widget: "QWidget") -> None:
    """Report when the widget has been painted for the first time."""
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
    os._exit(0)  # the time to exit is not measured


if __name__ == "__main__":
    dict(zip(KINDS, (_empty, _frame, _whole), strict=True))[sys.argv[1]]()
