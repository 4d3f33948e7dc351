"""The lists: several lines selected, opened, sorted and copied, with real clicks and keys."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.files.jobs.job_file import load_job
from gridjig.files.library.assets import samples
from gridjig.model import Job
from gridjig.qt.actions.port import Page
from gridjig.qt.widgets.entry_list import EntryListView
from gridjig.qt.widgets.list_entry import ListEntry, as_table, in_order
from gridjig.qt.window.window import Window
from tests.qt.windows import CTRL, SHIFT, make_window
from tests.workshop import laid, pin, plate, put, seat, stop

NONE = Qt.KeyboardModifier.NoModifier
PINS = laid(*(pin(name, col, 4) for col, name in enumerate("abcde", 2)))


def list_in(window: Window, page: Page, part: int | None = None) -> EntryListView:
    window.port.pages.show(page, part)
    QApplication.processEvents()
    front = window.workspace.front_list()
    assert front is not None
    return front


def click(view: EntryListView, key: str, held: Qt.KeyboardModifier = NONE) -> None:
    (row,) = (row for row, entry in enumerate(view.lines.entries) if entry.key == key)
    index = view.lines.index(row)
    view.scrollTo(index)
    at = view.visualRect(index).center()
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, held, at)
    QApplication.processEvents()  # the panes follow the document


def keys(view: EntryListView) -> list[str]:
    return [entry.key for entry in view.chosen_entries()]


def job_of(name: str) -> Job:
    return load_job(next(path for at, path in samples().items() if name in str(path)))


@pytest.mark.expectation(13)
def test_shift_and_ctrl_select_several_placed_things(qtbot: QtBot) -> None:
    window = make_window(qtbot, PINS)
    view = list_in(window, "placed")
    click(view, "b")
    click(view, "d", SHIFT)
    assert window.document.selection == {"b", "c", "d"}
    click(view, "c", CTRL)
    assert window.document.selection == {"b", "d"}
    click(view, "e", CTRL)
    assert window.document.selection == {"b", "d", "e"}
    assert keys(view) == ["b", "d", "e"]
    click(view, "a")
    assert window.document.selection == {"a"}


@pytest.mark.expectation(61)
def test_arrows_go_from_line_to_line_and_enter_opens_what_is_selected(qtbot: QtBot) -> None:
    window = make_window(qtbot, PINS)
    view = list_in(window, "placed")
    click(view, "b")
    QTest.keyClick(view, Qt.Key.Key_Down)
    assert window.document.selection == {"c"}
    QTest.keyClick(view, Qt.Key.Key_Down, SHIFT)
    assert window.document.selection == {"c", "d"}
    QTest.keyClick(view, Qt.Key.Key_Return)
    assert window.document.selection == {"c", "d"}
    QTest.keyClick(view, Qt.Key.Key_Delete)
    assert {p.id for p in window.document.job.placements} == {"a", "b", "e"}


def test_several_lines_of_the_pull_list_select_the_pieces_of_all(qtbot: QtBot) -> None:
    window = make_window(qtbot, laid(pin("a", 2, 2), pin("b", 5, 5), stop("s", 8, 8)))
    view = list_in(window, "pull")
    lines = {entry.key: entry for entry in view.given if entry.ids}
    click(view, "pin")
    assert window.document.selection == {"a", "b"}
    other = next(key for key, entry in lines.items() if entry.ids == ("s",))
    click(view, other, CTRL)
    assert window.document.selection == {"a", "b", "s"}


def test_several_findings_select_what_they_are_about(qtbot: QtBot) -> None:
    window = make_window(
        qtbot,
        laid(
            *(put(n, "slider", seat("s", 4, y)) for n, y in zip("abc", (2, 6, 10), strict=True)),
            plate("p", 300, 800),
        ),
    )
    window.workspace.checker.check_now()
    view = list_in(window, "check")
    about = [entry for entry in view.given if len(entry.ids) == 1]
    assert len(about) >= 2
    click(view, about[0].key)
    assert window.document.selection == set(about[0].ids)
    click(view, about[1].key, CTRL)
    assert window.document.selection == {*about[0].ids, *about[1].ids}
    QTest.keyClick(view, Qt.Key.Key_Up)
    assert len(window.document.selection) == 1


def test_several_lines_of_the_cut_list_select_the_members_of_all(qtbot: QtBot) -> None:
    window = make_window(qtbot, job_of("gate"))
    window.port.do("weldment.cuts")
    QApplication.processEvents()
    view = window.workspace.front_list()
    assert view is not None
    lines = [entry for entry in view.given if entry.ids]
    assert len(lines) >= 2
    click(view, lines[0].key)
    click(view, lines[1].key, SHIFT)
    assert window.document.selection == {*lines[0].ids, *lines[1].ids}


def test_stops_are_set_in_front_of_several_faces_as_one_step(qtbot: QtBot) -> None:
    window = make_window(qtbot, job_of("gate"))
    window.port.do("weldment.faces")
    page = window.workspace.weldment.pane.faces
    view = page.list
    can = [key for key, search in page.searches.items() if search.setting is not None]
    assert len(can) >= 2
    before = window.document.job
    click(view, can[0])
    click(view, can[1], CTRL)
    page.set_up()
    assert len(window.document.job.placements) == len(before.placements) + 2
    assert window.document.undo_name == "Set 2 stops"
    window.document.undo()
    assert window.document.job is before
    QApplication.processEvents()
    click(view, can[0])
    click(view, can[1], CTRL)
    page.critical.click()
    QApplication.processEvents()
    marked = [one.line.critical for one in page.chosen()]
    assert marked == [True, True]


# -- orders and copies -----------------------------------------------------------------------------

ENTRIES = (
    ListEntry("h1", "Bin A", heading=True),
    ListEntry("x", "Stop 10", "long", '1/2"', "", ("x",)),
    ListEntry("y", "Stop 9", "short", '1/4"', "look", ("y",)),
    ListEntry("h2", "Bin B", heading=True),
    ListEntry("z", "Arm", "", '5-1/2"', "stop", ("z",)),
)


def test_orders_of_a_list() -> None:
    assert in_order(ENTRIES, "listed") == ENTRIES
    assert [e.key for e in in_order(ENTRIES, "name")] == ["z", "y", "x"]
    assert [e.key for e in in_order(ENTRIES, "right")] == ["y", "x", "z"]
    assert [e.key for e in in_order(ENTRIES, "level")] == ["z", "y", "x"]
    # No line loses what its heading said.
    assert [e.under for e in in_order(ENTRIES, "name")] == [
        "Bin B",
        "Bin A · short",
        "Bin A · long",
    ]


def test_a_copied_list_has_a_cell_for_everything() -> None:
    assert as_table(ENTRIES).splitlines() == [
        'Bin A\tStop 10\t1/2"\tlong',
        'Bin A\tStop 9\t1/4"\tshort',
        'Bin B\tArm\t5-1/2"\t',
    ]


def test_the_list_in_front_is_sorted_and_copied_by_menu(qtbot: QtBot) -> None:
    window = make_window(qtbot, laid(pin("a", 9, 9), pin("b", 5, 5), pin("c", 7, 7)))
    view = list_in(window, "placed")
    click(view, "c")
    window.port.do("sort.right")
    assert [e.key for e in view.lines.entries] == ["b", "c", "a"]
    assert keys(view) == ["c"]
    assert window.actions_made.made["sort.right"].isChecked()
    assert not window.actions_made.made["sort.listed"].isChecked()
    window.document.do(laid(pin("d", 2, 2), job=window.document.job), "Put one more")
    QApplication.processEvents()
    assert [e.key for e in view.lines.entries] == ["d", "b", "c", "a"]
    window.port.do("edit.copy_list")
    copied = QGuiApplication.clipboard().text().splitlines()
    assert len(copied) == 4
    assert copied[1].split("\t")[1] == view.lines.entries[1].right
    click(view, "b")
    click(view, "a", SHIFT)
    window.port.do("edit.copy_list")
    assert QGuiApplication.clipboard().text().splitlines() == copied[1:]
    window.port.do("sort.listed")
    assert [e.key for e in view.given] == [e.key for e in view.lines.entries]
    window.port.do("view.side")
    window.port.do("edit.copy_list")
    assert QGuiApplication.clipboard().text().splitlines() == copied[1:]


def test_pieces_of_one_name_and_two_sizes_are_told_apart(qtbot: QtBot) -> None:
    job = job_of("trestle")
    longs = [piece for piece in job.rack.pieces if piece.name == "Long stop"]
    assert len(longs) == 2
    job = laid(
        *(
            put(f"l{n}", one.id, seat(one.mounts[0].id, 3, 3 + n * 4))
            for n, one in enumerate(longs)
        ),
        job=job,
    )
    window = make_window(qtbot, job)
    entries = {entry.key: entry.head for entry in list_in(window, "placed").given}
    assert entries["l0"] != entries["l1"]
    assert all(one.size in entries[f"l{n}"] for n, one in enumerate(longs))
