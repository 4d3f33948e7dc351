"""Hands on the weldment's list for tests: a window with a trial in it, opened at a page."""

from pytestqt.qtbot import QtBot

from gridjig.geometry.part_outline import part_ring
from gridjig.model import Job
from gridjig.qt.panes.weldment.weldment_pane import WeldmentPane
from gridjig.qt.window.window import Window
from tests.qt.windows import make_window
from tests.trials.keyed import KEYED
from tests.trials.layout import INCH, load, with_stop

HAND = "trial weldments, reckoned by hand"


def set_up(trial: str) -> Job:
    job = KEYED[trial]()
    for stop in load(trial)["stops"]:
        job = with_stop(job, stop)
    return job


def opened_at(qtbot: QtBot, job: Job, action: str) -> tuple[Window, WeldmentPane]:
    window = make_window(qtbot, job)
    window.port.do(action)
    pane = window.workspace.weldment.pane
    if action == "weldment.where":
        qtbot.waitUntil(lambda: not pane.layout_page.tasks.busy)
    return window, pane


def aside(window: Window) -> tuple[object, ...]:
    return window.workspace.canvas._aside


def heads(pane: WeldmentPane) -> list[str]:
    entries = pane.page.list.lines.entries
    return [entry.head for entry in entries]


def corners(job: Job) -> list[tuple[float, float]]:
    return sorted(
        (round(x / INCH, 3), round(y / INCH, 3)) for part in job.parts for x, y in part_ring(part)
    )
