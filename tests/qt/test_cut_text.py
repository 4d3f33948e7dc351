"""Nothing is cut off, and all can be pressed: every page, menu and tab, on a small screen.

With letters of 100, 150 and 200 %, with and without gloves, in inches and millimetres, and with
names as long as people give them.
"""

import pytest
from PySide6.QtWidgets import QMenu, QMenuBar
from pytestqt.qtbot import QtBot

from gridjig.qt.window.window import Window
from tests.qt.cuts import small_menus, wide_menu
from tests.qt.looks import LOOKS, SCREEN, complaints, settle, shown


@pytest.mark.expectation(70, 71, 72, 84)
@pytest.mark.parametrize(("percent", "glove", "unit"), LOOKS)
def test_pages_forms_and_menus_of_the_window_are_whole(
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
        told["menus"] = low_or_wide(window)
    assert {name: words for name, words in told.items() if words} == {}


def menus_of(one: QMenu | QMenuBar) -> list[QMenu]:
    return [menu for action in one.actions() if isinstance(menu := action.menu(), QMenu)]


def low_or_wide(window: Window) -> list[str]:
    """The menus with an entry that is too low, or that are wider or higher than the screen: they
    would scroll.  With gloves ten entries of 20 mm fill the screen; the rest is beside them.
    """
    menus = menus_of(window.menu_bar)
    assert len(menus) == 9
    menus += [below for menu in menus for below in menus_of(menu)]
    assert len(menus) > 18
    told = []
    for menu in menus:
        menu.ensurePolished()
        told += [f"low: {one}" for one in small_menus(menu, window.appearance.metrics.row)]
        if menu.sizeHint().height() > SCREEN.height():
            told.append(f"scrolls: {menu.title()}")
        if wide_menu(menu) > SCREEN.width():
            told.append(f"wide: {menu.title()}")
    return told


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
    """Whatever tool is in hand, wherever the focus is, however long the message and the verdict."""
    seen, lamps = set(), set()
    with shown(qtbot, "inches", percent, glove) as window:
        window.activateWindow()
        row, work = window.entry, window.workspace
        for tool in TOOLS:
            for message in ("", MESSAGE):
                window.port.do(tool)
                verdict = "12 to fix, 34 to look at" if message else "nothing to check yet"
                window.status_bar.show_verdict("stop", verdict)
                for focus in (work.canvas, row.edit, work.placed.list):
                    focus.setFocus()
                    row.show_message(message)
                    settle()
                    assert not row.hint.is_cut(), (tool, row.hint.words(), row.hint.text())
                    assert not row.said.is_cut(), (tool, row.said.words(), row.said.text())
                    seen.add(row.hint.words())
                    lamps.add(window.status_bar.lamp.width())
                    assert window.width() == SCREEN.width(), tool
    assert len(seen) > 12
    assert len(lamps) == 1
