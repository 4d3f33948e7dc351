import gc
import os
import subprocess
import sys

import pytest
from PySide6.QtWidgets import QApplication

from gridjig.qt.tasks.collector import Collector
from gridjig.qt.tasks.warmup import HEAVY, Warmup

SHOWN = """
import sys
from gridjig.files.storage.settings import Settings
from gridjig.files.library.default_job import default_job
from gridjig.qt.window.window import Window
from PySide6.QtWidgets import QApplication
app = QApplication([])
window = Window(default_job(Settings()), Settings(), 10.0)
window.show()
app.processEvents()
print(*sys.modules)
sys.stdout.flush()
import os
os._exit(0)
"""


def loaded(program: str) -> set[str]:
    """The modules that a fresh process has loaded at the end of a program."""
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    )
    return {name.partition(".")[0] for name in done.stdout.split()}


@pytest.mark.parametrize(
    "program",
    [
        "import sys, gridjig.session.document, gridjig.tools.select.select\nprint(*sys.modules)",
        "import sys, gridjig.qt.window.window\nprint(*sys.modules)",
        SHOWN,
    ],
)
def test_a_table_is_shown_without_loading_what_counts_with_arrays_and_areas(program: str) -> None:
    """Each costs a tenth of a second and more before anything can be seen."""
    names = loaded(program)
    assert "gridjig" in names
    assert not names & {"numpy", "shapely", "ezdxf", "highspy", "scipy"}


def test_what_was_left_out_is_loaded_behind_the_first_picture(qapp: QApplication) -> None:
    warmup = Warmup(qapp, (*HEAVY, "gridjig.no_such_module"))
    warmup.start()
    for _ in range(len(HEAVY) + 2):
        qapp.processEvents()
    assert all(name in sys.modules for name in HEAVY)
    warmup.deleteLater()
    gc.unfreeze()


def test_garbage_is_looked_for_once_the_window_stands(qapp: QApplication) -> None:
    warmup = Warmup(qapp, ())
    warmup.start()
    assert len(warmup.findChildren(Collector)) == 1
    assert gc.get_freeze_count() > 0
    gc.unfreeze()
    warmup.deleteLater()


THREADED = """
import sys, threading
from PySide6.QtWidgets import QApplication, QWidget
from gridjig.files.storage.settings import Settings
from gridjig.files.library.default_job import default_job
app = QApplication([])
home = QWidget()
def told(*_):
    print(*sys.modules)
    sys.stdout.flush()
    import os
    os._exit(0)
threading.Thread.start = told
assert not {"numpy", "shapely"} & set(sys.modules)
"""

BEGUN = {
    "check": """
from gridjig.qt.tasks.checker import Checker
from gridjig.session.document import Document
checker = Checker(Document(default_job(Settings())), home)
checker.look()
app.exec()
""",
    "task": """
from gridjig.qt.tasks import TaskRunner
TaskRunner(home).start(lambda progress: None)
""",
}


@pytest.mark.parametrize("begun", BEGUN.values(), ids=list(BEGUN))
def test_a_thread_begins_only_when_arrays_and_areas_are_loaded(begun: str) -> None:
    """Two threads that load them at once leave both broken until the program ends."""
    assert {"numpy", "shapely"} <= loaded(THREADED + begun)
