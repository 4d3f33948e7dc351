"""Nothing is cut off, and all can be pressed: every page, form, menu and tab, on a small screen.

With letters of 100, 150 and 200 %, with and without gloves, in inches and millimetres, and with
names as long as people give them.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from msgspec import structs
from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import QApplication, QComboBox, QDialog, QTabWidget, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.details import set_display
from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.files.storage.settings import Settings
from gridjig.model import Display, Job
from gridjig.qt.dialogs.dialog import FormDialog
from gridjig.qt.widgets.ticked_menu import TickedMenu
from gridjig.qt.window.window import Window
from tests.qt.cuts import cut_off, small_menus, small_targets, wide_menu
from tests.qt.forms.test_large_letters import OPENS
from tests.qt.windows import opened

SCREEN = QRect(0, 0, 1280, 800)
LOOKS = [(percent, glove) for percent in (100, 150, 200) for glove in (False, True)]
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
    """
    settle()
    told = [one for one in cut_off(root) if not one.startswith("elided: NoWheelComboBox")]
    for box in root.findChildren(QComboBox):
        if box.isVisible() and box.currentText() and box.toolTip() != box.currentText():
            told.append(f"no tip: {box.accessibleName()}")
    metrics = window.appearance.metrics
    told += [f"small: {one}" for one in small_targets(root, metrics.target, metrics.row)]
    return told


@pytest.mark.expectation(70, 71, 72, 84)
@pytest.mark.parametrize("unit", list(UNITS))
@pytest.mark.parametrize(("percent", "glove"), LOOKS)
def test_pages_and_forms_of_the_window_are_whole(
    qtbot: QtBot, percent: int, glove: bool, unit: str
) -> None:
    told: dict[str, list[str]] = {}
    with shown(qtbot, unit, percent, glove) as window:
        work = window.workspace
        for page, pane in work.pages.items():
            work.turn_to(pane)
            told[page] = complaints(window, window)
        for part in range(6):
            window.port.pages.show("weldment", part)
            told[f"weldment {part}"] = complaints(window, window)
        for part in range(3):
            window.port.pages.show("angle", part)
            told[f"angle {part}"] = complaints(window, window)
        job = window.document.job
        kinds = {job.rack.piece(p.piece).kind: p.id for p in job.placements}
        assert len(kinds) >= 4
        chosen = [*((one,) for one in kinds.values()), (job.parts[0].id,)]
        for ids in (*chosen, tuple(p.id for p in job.placements[:3]), ()):
            window.document.select(ids)
            work.show_form()
            told[f"form of {ids}"] = complaints(window, window)
    assert {name: words for name, words in told.items() if words} == {}


@pytest.mark.expectation(70, 71, 72, 84)
@pytest.mark.parametrize("unit", list(UNITS))
@pytest.mark.parametrize(("percent", "glove"), LOOKS)
def test_forms_over_the_window_are_whole(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, percent: int, glove: bool, unit: str
) -> None:
    monkeypatch.setattr(FormDialog, "screen", lambda _: Screen())
    told: dict[str, list[str]] = {}
    with shown(qtbot, unit, percent, glove) as window:
        for name, opens in OPENS.items():
            told |= {f"{name} {at}": words for at, words in looked_at(window, opens)}
    assert len(told) >= len(OPENS)
    assert {name: words for name, words in told.items() if words} == {}


def looked_at(window: Window, opens: Callable[[Window], None]) -> Iterator[tuple[str, list[str]]]:
    """What is wrong in each tab of the form that is opened."""
    opens(window)
    settle()
    forms = [
        w for w in QApplication.topLevelWidgets() if isinstance(w, FormDialog) and w.isVisible()
    ]
    form = QApplication.activeModalWidget() or forms[-1]
    size = form.size()
    high = [] if size.height() <= 760 and size.width() <= 1280 else [f"too large: {size}"]
    yield "", high + complaints(form, window)
    for tabs in form.findChildren(QTabWidget):
        for index in range(1, tabs.count()):
            tabs.setCurrentIndex(index)
            yield tabs.tabText(index), complaints(form, window)
    for one in forms:
        one.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        QDialog.reject(one)
        one.deleteLater()


@pytest.mark.expectation(70, 72)
@pytest.mark.parametrize(("percent", "glove"), LOOKS)
def test_menus_are_whole(qtbot: QtBot, percent: int, glove: bool) -> None:
    with shown(qtbot, "inches", percent, glove) as window:
        menus = [one.menu() for one in window.menu_bar.actions()]
        assert len(menus) == 9
        for menu in menus:
            assert isinstance(menu, TickedMenu)
            menu.ensurePolished()
            least = window.appearance.metrics.row
            assert small_menus(menu, least) == [], menu.title()
            assert wide_menu(menu) <= SCREEN.width(), menu.title()


TOOLS = (
    "tool.select",
    "tool.place",
    "tool.member",
    "tool.rectangle",
    "tool.polygon",
    "tool.notch",
    "tool.dimension",
    "tool.holes",
)
MESSAGE = (
    'Fixed stop, two pins, 1/2" face at the left end of the lower rail was moved 1 hole to the '
    "left, and the clamp beside it was turned by 90° so that it stays clear. Ctrl+Z undoes it."
)


@pytest.mark.expectation(70, 93)
@pytest.mark.parametrize(("percent", "glove"), [(100, False), (200, False), (200, True)])
def test_no_prompt_and_no_message_is_cut(qtbot: QtBot, percent: int, glove: bool) -> None:
    """Whatever tool is in hand, wherever the focus is, however long the message."""
    seen = set()
    with shown(qtbot, "inches", percent, glove) as window:
        window.activateWindow()
        row, work = window.entry, window.workspace
        for tool in TOOLS:
            for message in ("", MESSAGE):
                window.port.do(tool)
                for focus in (work.canvas, row.edit, work.placed.list):
                    focus.setFocus()
                    row.show_message(message)
                    settle()
                    assert not row.hint.is_cut(), (tool, row.hint.words(), row.hint.text())
                    assert not row.said.is_cut(), (tool, row.said.words(), row.said.text())
                    seen.add(row.hint.words())
    assert len(seen) > 12
