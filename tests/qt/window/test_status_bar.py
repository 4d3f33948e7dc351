"""The strip along the bottom: what comes next is readable, what was typed, and what has room."""

from functools import partial

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.files.storage.settings import Settings
from gridjig.qt.actions.piece import place
from gridjig.qt.widgets.labels import LinesLabel
from gridjig.qt.window.entry_row import EntryRow
from gridjig.qt.window.status_bar import StatusBar
from gridjig.qt.window.window import Window
from gridjig.tools.core.controller import ToolController
from gridjig.tools.core.pointer import KeyPress, Pointer
from tests.qt.windows import opened, told

SAMPLE = load_job(next(iter(samples().values())))
TOOLS = (
    *("tool.select", "tool.member", "tool.rectangle", "tool.polygon", "tool.notch"),
    *("tool.dimension", "tool.holes", "join.trim", "join.mitre", "join.butt", "join.cope"),
)


def hints_of(window: Window) -> list[str]:
    """What the row leaves out of what the tool in hand says over a rail, before and after it."""
    cut, canvas = [], window.workspace.canvas
    rail = next(p for p in SAMPLE.parts if p.name == "Middle rail")
    for dx in (0.0, 40.0, 300.0):
        pointer = Pointer(rail.x + dx, rail.y, table_mm=2.0, grip=4.0, drag_start=2.0)
        for step in ("move", "press", "release"):
            canvas.send_to_tool(partial(_do, step, pointer))
            cut += _cut(window)
    canvas.send_to_tool(lambda controller: controller.type("at 37.5"))
    canvas.send_to_tool(lambda controller: controller.key(KeyPress("s")))
    return cut + _cut(window)


def _do(step: str, pointer: Pointer, controller: ToolController) -> None:
    getattr(controller, step)(pointer)


def _cut(window: Window) -> list[str]:
    QApplication.processEvents()  # the row lays itself out anew for another tool
    return [told(window)] if window.entry.hint.is_cut() else []


@pytest.mark.expectation(84)
def test_every_tool_s_hint_is_whole_in_a_window_of_1280(qtbot: QtBot) -> None:
    with opened(qtbot, SAMPLE) as window:
        assert window.width() == 1280
        for tool in TOOLS:
            window.port.do(tool)
            window.workspace.canvas.send_to_tool(
                lambda controller: controller.key(KeyPress("right"))
            )
            assert hints_of(window) == [], tool
        for piece in SAMPLE.rack.pieces:
            place(window.port, piece.id)
            assert hints_of(window) == [], piece.name


def test_a_text_without_room_goes_on_in_the_next_line_and_is_cut_only_there(
    qtbot: QtBot,
) -> None:
    words = "Click the end point at the face of the middle rail, or type 24 at 37.5 or 4:12."
    label = LinesLabel(2)
    qtbot.addWidget(label)
    large = label.font()
    large.setPointSizeF(20.0)
    label.setFont(large)
    label.show()
    wide = label.fontMetrics().horizontalAdvance(words)
    label.resize(wide * 2 // 3, 60)
    label.show_words(words)
    assert label.text().count("\n") == 1
    assert not label.is_cut()
    label.resize(wide // 3, 60)
    assert not label.is_cut()  # it is written smaller
    assert "…" not in label.text()
    label.resize(wide // 12, 60)
    assert label.is_cut()
    assert label.text().endswith("…")
    assert label.toolTip() == label.accessibleDescription() == words


def test_what_was_typed_goes_with_its_tool_and_is_not_lost_unsaid(qtbot: QtBot) -> None:
    row = EntryRow()
    qtbot.addWidget(row)
    row.resize(1200, 60)
    row.show()
    row.show_tool("member")
    QTest.keyClicks(row.edit, "24 at 3")
    row.show_tool("member")
    assert row.edit.text() == "24 at 3"
    row.show_tool("hole")
    row.show_message("Click a hole.")
    assert row.edit.text() == ""
    ignored = "“24 at 3” was ignored: press Enter to use what you type."
    assert row.said.words() == f"{ignored} Click a hole."
    QTest.keyClicks(row.edit, "C")
    assert row.said.words() == "Click a hole."


def test_what_was_entered_goes_without_a_word(qtbot: QtBot) -> None:
    row = EntryRow()
    qtbot.addWidget(row)
    row.show_tool("place")
    row.show_message("Next.")
    QTest.keyClicks(row.edit, "H6")
    QTest.keyClick(row.edit, Qt.Key.Key_Return)
    assert row.edit.text() == "H6"
    row.show_tool("member")
    assert row.edit.text() == ""
    assert row.said.words() == "Next."


@pytest.mark.expectation(84)
@pytest.mark.parametrize(("percent", "least"), [(100, 0), (150, 1), (200, 3)])
def test_large_letters_leave_lamp_pointer_and_scale_and_the_rest_on_a_button(
    qtbot: QtBot, percent: int, least: int
) -> None:
    with opened(qtbot, SAMPLE, Settings(text_percent=percent)) as window:
        strip: StatusBar = window.status_bar
        qtbot.waitUntil(lambda: len(strip.dropped()) == least)
        for part in (strip.lamp, strip.pointer, strip.scale, strip.job):
            assert part.isVisible()
        strip.pointer.show_words('N13 +15/16" −15/16"')
        qtbot.waitUntil(lambda: not strip.pointer.body.is_cut())
        assert not strip.scale.body.is_cut()
        assert strip.more.isVisible() == bool(least)
        for cell in strip.dropped():
            assert cell.words() in strip.more.toolTip()
            assert cell.words() in strip.more.accessibleDescription()
            assert not cell.isVisible()
        if least:
            strip.more.click()
        assert strip.drawing.isVisible()
        assert strip.unit.isVisible()
        assert strip.file.isVisible()
