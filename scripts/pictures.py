"""Makes the pictures of the README from the real program; run it from .venv.

    .venv/bin/python scripts/pictures.py

Each picture shows the real window, 1280 x 800, brought to a state as a user would do it.
"""

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["GRIDJIG_STATE"] = tempfile.mkdtemp(prefix="gridjig-pictures-")
sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from PySide6.QtCore import QSize
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from gridjig.files.library.assets import assets_dir, samples
from gridjig.files.library.default_job import default_job
from gridjig.files.storage.settings import Settings
from gridjig.qt.tasks import TaskRunner
from gridjig.qt.window.window import Window

SIZE = QSize(1280, 800)


def opened(sample: int, settings: Settings) -> Window:
    """A window with one of the sample jobs."""
    window = shown(settings)
    window.file.open_sample(list(samples().values())[sample])
    settle(window)
    return window


def settle(window: Window) -> None:
    """Wait until background work is done: the check lamp and the lists show their results."""
    quiet = 0
    for _ in range(600):
        QTest.qWait(100)
        busy = any(runner.busy for runner in window.findChildren(TaskRunner))
        quiet = 0 if busy else quiet + 1
        if quiet > 10:
            return
    raise SystemExit("The window is still busy after a minute; the pictures would be incomplete.")


def shown(settings: Settings) -> Window:
    """A window as it comes up."""
    app = QApplication.instance() or QApplication(["gridjig"])
    assert isinstance(app, QApplication)
    window = Window(default_job(settings), settings, app.font().pointSizeF())
    window.resize(SIZE)
    window.show()
    QTest.qWait(300)
    return window


def select(window: Window, name: str) -> None:
    """Select what bears a name."""
    job = window.document.job
    window.document.select(t.id for t in (*job.placements, *job.parts) if t.name == name)
    QTest.qWait(200)


def trestle() -> Window:
    """A frame between stops, one clamp selected."""
    window = opened(0, Settings(theme="light"))
    select(window, "Clamp, top rail")
    return window


def gate() -> Window:
    """A brace held by a variable-angle arm, in dark colours."""
    window = opened(1, Settings(theme="dark"))
    arm = next(p for p in window.document.job.placements if "arm" in p.piece)
    window.document.select([arm.id])
    QTest.qWait(200)
    return window


def angle() -> Window:
    """Which holes give 37.5 degrees: the list, and the highlighted answer on the plan."""
    window = opened(2, Settings(theme="light"))
    window.port.do("angle.find")
    pane = window.workspace.angle.pane
    QTest.keyClicks(pane.ask.angle.edit, "37.5")
    settle(window)
    pane.answers.list.go_first()
    QTest.qWait(300)
    return window


def weldment() -> Window:
    """What the grid leaves in front of each face of the weldment, and the packing that fills it."""
    window = opened(0, Settings(theme="light"))
    window.port.do("weldment.faces")
    settle(window)
    return window


PICTURES: dict[str, Callable[[], Window]] = {
    "window-light": trestle,
    "window-dark": gate,
    "angle": angle,
    "weldment": weldment,
}


def main() -> int:
    """Make them all."""
    folder = assets_dir() / "pictures"
    folder.mkdir(exist_ok=True)
    for name, make in PICTURES.items():
        window = make()
        window.grab().save(str(folder / f"{name}.png"))
        print(f"{name}: {make.__doc__}")
        window.document.mark_saved()
        window.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
