"""The windows in which nothing may be cut: on a small screen, in small and large letters."""

from collections.abc import Iterator
from contextlib import contextmanager

from msgspec import structs
from PySide6.QtCore import QRect
from PySide6.QtWidgets import QApplication, QComboBox, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.details import set_display
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.files.storage.settings import Settings
from gridjig.model import Display, Job
from gridjig.qt.window.window import Window
from tests.qt.cuts import cut_off, small_targets
from tests.qt.windows import opened

SCREEN = QRect(0, 0, 1280, 800)
LOOKS = [
    *((100, False, "inches"), (100, True, "millimetres")),
    *((150, False, "millimetres"), (150, True, "inches")),
    *((200, glove, unit) for glove in (False, True) for unit in ("inches", "millimetres")),
]
"""Letters in percent, gloves and unit: every pair of them, and at the largest letters all."""
UNITS = {"inches": Display(), "millimetres": Display(unit="millimetres")}
LONG = "Under the middle rail of the left-hand frame, far end, {}"


class Screen:
    def availableGeometry(self) -> QRect:
        return SCREEN


def long_named(unit: str) -> Job:
    """A job whose every name is long, and differs from the others only at its end."""
    job = set_display(load_job(next(iter(samples().values()))), UNITS[unit])
    return structs.replace(
        job,
        name=LONG.format("as drawn"),
        drawing="HM-101 sheet 2 of 3",
        revision="C draft",
        parts=tuple(structs.replace(p, name=LONG.format(n)) for n, p in enumerate(job.parts)),
        placements=tuple(
            structs.replace(p, name=LONG.format(n)) for n, p in enumerate(job.placements)
        ),
    )


@contextmanager
def shown(qtbot: QtBot, unit: str, percent: int, glove: bool) -> Iterator[Window]:
    with opened(qtbot, long_named(unit), Settings(text_percent=percent, glove=glove)) as window:
        window.resize(SCREEN.size())
        settle()
        yield window


def settle() -> None:
    for _ in range(6):
        QApplication.processEvents()


def complaints(root: QWidget, window: Window) -> list[str]:
    """What is cut or too small.  A choice may be cut to the words that tell it from the others,
    if the tip shows it whole.  Targets are 9 mm, with gloves 20 mm.

    What is worked out beside the window may come at any moment, and is laid out a moment later:
    only what is wrong three times running is.
    """
    told: list[str] = []
    for _ in range(3):
        settle()
        told = wrong_now(root, window)
        if not told:
            break
    return told


def wrong_now(root: QWidget, window: Window) -> list[str]:
    told = [one for one in cut_off(root) if not one.startswith("elided: NoWheelComboBox")]
    for box in root.findChildren(QComboBox):
        if box.isVisible() and box.currentText() and box.toolTip() != box.currentText():
            told.append(f"no tip: {box.accessibleName()}")
    metrics = window.appearance.metrics
    line = metrics.target if metrics.glove else 24
    told += [f"small: {one}" for one in small_targets(root, metrics.target, line)]
    return told
