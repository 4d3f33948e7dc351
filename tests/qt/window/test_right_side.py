"""The side of the window: tabs that stand still, a form that stays, and lists that have room."""

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QListView, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.selection import shift_parts
from gridjig.edits.weldment_list import add_weldment
from gridjig.files.jobs.job_file import load_job, write_job
from gridjig.files.library.assets import samples
from gridjig.qt.actions.port import Page
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.window.window import Window
from tests.qt.events import settle
from tests.qt.windows import make_window
from tests.workshop import EMPTY, laid, plate

PAGES: tuple[Page, ...] = ("placed", "pull", "check", "angle", "weldment", "help")


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    """A sample at 1280 x 800, with the panes that need more room created."""
    window = make_window(qtbot, load_job(next(iter(samples().values()))))
    sized(qtbot, window, 1280, 800)
    return window


def sized(qtbot: QtBot, window: Window, wide: int, high: int) -> None:
    window.resize(wide, high)
    qtbot.waitUntil(lambda: (window.width(), window.height()) == (wide, high))
    settle()


def place(window: Window, widget: QWidget) -> tuple[int, int, int, int]:
    corner = widget.mapTo(window, QPoint(0, 0))
    return (corner.x(), corner.y(), widget.width(), widget.height())


def whole_rows(view: QListView) -> int:
    """How many lines of a list are seen whole."""
    seen = view.viewport().rect()
    rows = range(view.model().rowCount())
    return sum(seen.contains(view.visualRect(view.model().index(row, 0))) for row in rows)


def in_view(widget: QWidget, window: Window) -> bool:
    """True if no scroll area hides any of a widget."""
    seen = widget.visibleRegion().boundingRect()
    return widget.isVisible() and seen.height() >= widget.height() - 1


def test_tabs_and_plan_stand_still_and_the_form_stays(qtbot: QtBot, window: Window) -> None:
    work = window.workspace
    bars, plans = set(), set()
    for page in (*PAGES, *PAGES):
        window.port.pages.show(page)
        settle()
        bars.add((work.tabs.tabBar().isVisible(), *place(window, work.tabs.tabBar())))
        plans.add((*place(window, work.canvas), work.canvas.view))
        assert work.properties.isVisible(), page
        name = work.properties.job_form.name
        assert name.visibleRegion().boundingRect().height() == name.height(), page
    assert len(bars) == len(plans) == 1
    assert next(iter(bars))[0]


def test_the_tabs_of_the_next_job_are_as_wide_as_those_of_the_first(
    qtbot: QtBot, tmp_path: Path
) -> None:
    path = tmp_path / "next.gridjig"
    path.write_bytes(write_job(EMPTY))
    window = make_window(qtbot, EMPTY)
    settle()
    first = window.workspace.tabs.tabBar()
    widths = [first.tabRect(index).width() for index in range(first.count())]
    assert window.open_path(path)
    settle()
    bar = window.workspace.tabs.tabBar()
    assert bar is not first
    assert [bar.tabRect(index).width() for index in range(bar.count())] == widths
    assert bar.isVisible()


@pytest.mark.parametrize("page", [0, 3, 6])
def test_the_pages_of_the_weldment_have_their_buttons_in_one_row(
    qtbot: QtBot, window: Window, page: int
) -> None:
    window.port.pages.show("weldment", page)
    settle()
    buttons = window.workspace.weldment.pane.buttons
    assert len({place(window, button)[1] for button in buttons}) == 1
    assert all(in_view(button, window) for button in buttons)


def asked(qtbot: QtBot, window: Window) -> EntryListView:
    window.port.pages.show("angle", 0)
    pane = window.workspace.angle.pane
    QTest.keyClicks(pane.ask.angle.edit, "37.5")
    qtbot.waitUntil(lambda: len(pane.answers.list.given) >= 8, timeout=5000)
    settle()
    return pane.answers.list


def test_eight_answers_are_seen_at_once_and_four_with_the_limits_open(
    qtbot: QtBot, window: Window
) -> None:
    answers = asked(qtbot, window)
    pane = window.workspace.angle.pane
    ask = pane.ask
    assert whole_rows(answers) >= 8
    for part in (ask.angle, ask.hold, ask.summary, pane.answers.set):
        assert in_view(part, window)
    angle, *second = (place(window, w)[1] for w in (ask.angle, ask.hold, ask.tolerance, ask.fold))
    assert angle + 30 < min(second)  # the question has two rows
    assert max(second) - min(second) < 5
    pane.ask.fold.click()
    settle()
    assert whole_rows(answers) >= 4
    assert in_view(pane.answers.set, window)
    assert in_view(pane.ask.origin, window)


def test_an_answer_is_a_row_with_columns_and_the_chosen_one_is_opened_below(
    qtbot: QtBot, window: Window
) -> None:
    answers = asked(qtbot, window)
    pane = window.workspace.angle.pane
    names = [column.name for column in pane.answers.heads.columns]
    assert names == ["Holes", "Way", "Angle", "At end, in", "Open", "Class"]
    entries = [entry for entry in answers.given if not entry.heading]
    assert all(len(entry.cells) == len(names) and all(entry.cells) for entry in entries)
    rows = range(len(answers.given))
    heights = {answers.visualRect(answers.lines.index(row)).height() for row in rows}
    assert len(heights) == 1
    first = pane.answers.facts.text()
    assert "takes " in first
    assert "base " in first
    answers.go_to(entries[3].key)
    settle()
    assert pane.answers.facts.text() != first
    assert pane.answers.place.text().startswith(entries[3].head)
    assert heights == {answers.visualRect(answers.lines.index(row)).height() for row in rows}
    assert place(window, pane.answers.facts)[1] > place(window, answers)[1] + answers.height()


def test_one_line_says_what_is_limited(qtbot: QtBot, window: Window) -> None:
    asked(qtbot, window)
    ask = window.workspace.angle.pane.ask
    assert ask.summary.text() == "Limits: whole table, free holes, pieces left"
    ask.origin.box.activated.emit(1)
    ask.origin.set_value("table y")
    ask.complement.click()
    QTest.keyClicks(ask.leg.edit, "30")
    assert ask.summary.text() == (
        "Limits: from table y, complement, 30 to the far end, whole table, free holes, pieces left"
    )


def test_eight_lines_of_the_pull_list_are_seen_at_once(qtbot: QtBot, window: Window) -> None:
    window.port.pages.show("pull")
    settle()
    view = window.workspace.pull_list.list
    assert len(view.given) > 8
    assert view.currentIndex().isValid()  # and one of them is opened
    assert whole_rows(view) >= 8
    assert in_view(window.workspace.pull_list.total, window)


def test_five_findings_are_seen_at_once(qtbot: QtBot, window: Window) -> None:
    job = window.document.job
    window.document.do(shift_parts(job, {p.id for p in job.parts}, 25.0, 12.0), "Move the work")
    window.port.pages.show("check")
    checks = window.workspace.checks
    qtbot.waitUntil(lambda: len(checks.findings) >= 12, timeout=20_000)
    settle()
    heads = sum(entry.heading for entry in checks.list.given[:6])
    assert whole_rows(checks.list) - heads >= 5
    assert in_view(checks.footnote, window)
    assert in_view(window.workspace.properties.job_form.name, window)


def test_help_opens_large_enough_to_read(qtbot: QtBot, window: Window) -> None:
    """A page of a book has 30 to 40 lines of 45 to 75 letters."""
    window.port.do("help.topic")
    settle()
    pane = window.workspace.help
    letters = pane.fontMetrics()
    assert pane.height() >= 30 * letters.lineSpacing()
    assert pane.width() >= 45 * letters.averageCharWidth()


def test_a_large_window_gives_the_panes_more_room(qtbot: QtBot, window: Window) -> None:
    answers = asked(qtbot, window)
    work = window.workspace
    panes = (work.side, work.drawer, work.properties, work.canvas)
    # The list and what is said below it share the height: as many lines as that leaves are seen.
    page = work.angle.pane.answers
    small = (page.height(), *(pane.width() * pane.height() for pane in panes))
    assert whole_rows(answers) >= 8
    sized(qtbot, window, 1920, 1200)
    large = (page.height(), *(pane.width() * pane.height() for pane in panes))
    assert whole_rows(answers) >= 8
    assert large[0] > 1.2 * small[0]
    assert all(a > 1.7 * b for a, b in zip(large[1:], small[1:], strict=True)), (small, large)


def test_the_button_of_the_other_hand_comes_into_view_with_two_weldments(qtbot: QtBot) -> None:
    """The choice of the weldment takes a row of the page, and the page is laid out for it late."""
    job, _ = add_weldment(laid(plate("lug", 100, 100)))
    window = make_window(qtbot, job)
    sized(qtbot, window, 1280, 800)
    window.port.do("weldment.list")
    window.port.do("weldment.beside")
    settle()
    button = window.workspace.weldment.pane.way_up.do
    assert button.isEnabled()
    assert window.focusWidget() is button
    assert in_view(button, window)
