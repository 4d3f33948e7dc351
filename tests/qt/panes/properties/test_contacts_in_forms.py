"""What touches what, in the forms of pieces and parts, in the list, and at the lamp."""

import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.edits.placements import set_pose
from gridjig.edits.selection import shift
from gridjig.model import Hole, Job
from gridjig.qt.actions.registry import action
from gridjig.qt.window.window import Window
from tests.contact.poses import lay, turned
from tests.contact.test_by_hand import rail
from tests.qt.windows import make_window
from tests.workshop import TABLE, pin, plate, put, seat

X, Y = TABLE.at(Hole(5, 5))
BLOCK = structs.replace(plate("w", X - 100.0, Y + 12.0, 200.0, 100.0), name="Block", z_high=50.0)
CLAMP = put("c", "clamp", seat("p", 9, 6), turn=180.0, reach=150.0)
JOB = lay(turned("s", 5, 5, 0.0), turned("t", 12, 5, 0.0), CLAMP, BLOCK)


def selected(qtbot: QtBot, *ids: str, job: Job = JOB) -> Window:
    window = make_window(qtbot, job)
    window.document.select(ids)
    window.workspace.refresh()
    return window


def told(window: Window) -> str:
    return window.workspace.properties.placement_form.contact.text()


def test_the_form_of_a_piece_says_what_it_touches(qtbot: QtBot) -> None:
    window = selected(qtbot, "s")
    assert told(window) == "Touches Block, front face, over 50 mm."
    window.document.select({"t"})
    window.workspace.refresh()
    assert told(window) == "Touches nothing: no part within 150 mm in front of it."


@pytest.mark.source("method", "arithmetic: 9 - 200 / 50 holes: the tip is at x = 500 - 150 mm")
def test_the_form_of_a_clamp_says_what_it_presses_where_and_over_what(qtbot: QtBot) -> None:
    window = selected(qtbot, "c")
    assert told(window) == "Presses on Block at 350 mm, 350 mm, over the table."
    window.document.do(set_pose(window.document.job, "c", reach=60.0), "Set the reach")
    window.workspace.refresh()
    assert told(window) == "Touches nothing: no part within 150 mm in front of it."


def test_it_follows_while_something_is_dragged(qtbot: QtBot) -> None:
    window = selected(qtbot, "s")
    window.document.preview(shift(JOB, {"s"}, 0, -1))
    window.workspace.refresh()
    assert told(window) == "Gap 50 mm to Block, front face."
    window.document.preview(None)
    window.workspace.refresh()
    assert told(window).startswith("Touches Block")


def test_without_a_weldment_the_form_says_nothing_of_it(qtbot: QtBot) -> None:
    window = selected(qtbot, "p", job=lay(pin("p", 5, 5)))
    assert window.workspace.properties.placement_form.contact.isHidden()


def test_the_form_of_a_plate_lists_what_touches_it_and_leads_there(qtbot: QtBot) -> None:
    window = selected(qtbot, "w")
    form = window.workspace.properties.plate_form
    assert [(one.id, one.words) for one in form.contact.lines()] == [
        ("s", "touches front face, over 50 mm"),
        ("c", "presses on it"),
    ]
    assert form.contact.head.text() == "Touches it:"
    clamp = form.contact.rows[1].button
    assert clamp.accessibleName() == "Select down clamp at J7"
    QTest.mouseClick(clamp, Qt.MouseButton.LeftButton)
    assert window.document.selection == {"c"}
    job = window.document.job
    window.document.do(structs.replace(job, placements=job.placements[1:2]), "Clear")
    window.document.select({"w"})
    window.workspace.refresh()
    assert form.contact.head.text() == "Nothing touches it."
    assert all(row.isHidden() for row in form.contact.rows)


def test_the_form_of_a_member_lists_pieces_and_parts(qtbot: QtBot) -> None:
    bar = rail()
    window = selected(qtbot, bar.id, job=lay(turned("s", 11, 9, 0.0), bar))
    lines = window.workspace.properties.member_form.contact.lines()
    assert [(one.id, one.words) for one in lines] == [("s", "touches front face, over 50 mm")]
    above = structs.replace(plate("v", bar.x, bar.y - 10.0), z_low=bar.z_high, z_high=80.0)
    window = selected(qtbot, bar.id, job=lay(bar, above, pin("p", 1, 1)))
    (line,) = window.workspace.properties.member_form.contact.lines()
    assert (line.id, line.name, line.words) == ("v", "v", "rests on it")


def test_the_check_finds_them_and_selects_what_it_speaks_of(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    found = window.workspace.check_now()
    idle = next(one for one in found if one.id == "idle/t")
    assert window.status_bar.lamp.text().endswith("to look at")
    window.workspace.show_finding(idle)
    assert window.document.selection == {"t"}


def test_the_background_check_finds_the_same_again_and_again(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    qtbot.waitUntil(lambda: bool(window.workspace.findings), timeout=10_000)
    assert "idle/t" in {one.id for one in window.workspace.findings}
    window.document.do(shift(window.document.job, {"s"}, 0, -1), "Move")
    qtbot.waitUntil(
        lambda: "gap/s" in {one.id for one in window.workspace.findings}, timeout=10_000
    )
    window.document.undo()
    qtbot.waitUntil(
        lambda: "gap/s" not in {one.id for one in window.workspace.findings}, timeout=10_000
    )


def test_the_lamp_says_what_was_looked_at(qtbot: QtBot) -> None:
    good = lay(pin("p", 5, 5), plate("w", X - 50.0, Y + 15.0))
    window = make_window(qtbot, good)
    window.workspace.check_now()
    assert "to fix" in window.status_bar.lamp.text()  # one pin locates no plate
    assert "contact" in window.status_bar.lamp.toolTip()
    window = make_window(qtbot, lay(pin("p", 5, 5)))
    window.workspace.check_now()
    assert window.status_bar.lamp.text() == "●  CHECK\nno overlaps"
    (fine,) = window.workspace.findings
    assert "There is no weldment" in fine.what
    window = make_window(qtbot, lay())
    window.workspace.check_now()
    assert window.status_bar.lamp.text() == "○  CHECK\nnothing to check yet"


def test_the_marks_are_a_setting_in_the_view_menu(qtbot: QtBot) -> None:
    window = make_window(qtbot, JOB)
    shown = action("view.contacts")
    shown.handler(window.port)
    assert window.settings.contacts_shown is False
    shown.handler(window.port)
    assert window.settings.contacts_shown is True
