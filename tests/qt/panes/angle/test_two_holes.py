"""The angle the other way, in the real window: of two holes, of an arm, as a chart, beside it."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from gridjig.geometry.display import TextLabel
from gridjig.model import Job
from gridjig.qt.forms.shop.chart_form import ChartForm
from gridjig.qt.panes.angle.finder import AngleFinder
from gridjig.qt.window.window import Window
from gridjig.solve.angles.answers import AngleLimits, AngleResult
from gridjig.solve.angles.faults import AngleFault
from gridjig.solve.angles.wanted import as_edge
from gridjig.tools.pick.angle_pick import HolesPick
from tests.anglekit import grid_table
from tests.qt.anglehands import ARMED, STRUT, aside, opened
from tests.qt.windows import Answers as Person
from tests.qt.windows import make_window, told
from tests.workshop import RACK, laid, plate, put, seat


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    return make_window(qtbot, STRUT)


@pytest.fixture(autouse=True)
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy machine must not decide whether a small table is answered at once."""
    monkeypatch.setattr("gridjig.qt.panes.angle.finder.AT_ONCE", 60.0)


# -- the other way -----------------------------------------------------------------------------


@pytest.mark.source(
    "method", "plane geometry: atan(3/4), asin(0.25/20) off it with two sizes of pin"
)
def test_two_holes_give_an_angle_with_pins_and_without(qtbot: QtBot, window: Window) -> None:
    pane = opened(qtbot, window, "angle.back")
    back = pane.two_holes
    assert back.first.edit.hasFocus()
    QTest.keyClicks(back.first.edit, "A1")
    QTest.keyClicks(back.second.edit, "E4")
    assert "≈36.87°" in back.result.text()
    assert any(isinstance(s, TextLabel) and s.text == "≈36.87°" for s in aside(window))
    back.second.edit.selectAll()
    QTest.keyClicks(back.second.edit, "A1")
    assert "different" in back.second.complaint.text()
    back.pick.click()
    assert isinstance(window.workspace.canvas.tool, HolesPick)
    window._on_typed("A1 I7")
    assert not back.second.has_complaint()
    assert back.second.edit.text() == "I7"
    pins = [back.pin_1.box.itemText(k) for k in range(back.pin_1.box.count())]
    back.pin_1.box.setCurrentIndex(next(k for k, words in enumerate(pins) if words == 'pin 1"'))
    back.pin_1.box.activated.emit(back.pin_1.box.currentIndex())
    assert "on its right" in back.result.text()


def test_an_arm_tells_all_that_it_reaches_and_goes_there(qtbot: QtBot) -> None:
    window = make_window(qtbot, ARMED)
    pane = opened(qtbot, window)
    pane.turn_to(2)
    assert "Select one arm" in pane.reach.about.text()
    window.document.select(["arm-1"])
    window.workspace.refresh()
    count = len(pane.reach.list.lines.entries)
    assert count > 2
    assert str(count) in pane.reach.about.text()
    assert aside(window)
    QTest.keyClicks(pane.reach.near.edit, "37.5")
    QTest.keyClick(pane.reach.list, Qt.Key.Key_Return)
    assert "37.5°" in window.document.undo_name
    face = window.document.placed_pieces["arm-1"].faces[0]
    dx, dy = face.b[0] - face.a[0], face.b[1] - face.a[1]
    assert dy / dx == pytest.approx(0.76733, abs=1e-4)
    assert window.document.undo() is not None
    pane.reach.near.edit.selectAll()
    QTest.keyClick(pane.reach.near.edit, Qt.Key.Key_Delete)
    pane.reach.list.go_nowhere()
    pane.reach.turn_there()
    assert "Highlight an angle" in told(window)


def test_an_arm_does_not_go_where_it_would_foul(qtbot: QtBot) -> None:
    job = laid(
        put("arm-1", "arm", seat("h", 5, 5), seat("a", 7, 5)), plate("wall", 330, 290, 60, 60)
    )
    window = make_window(qtbot, job)
    pane = opened(qtbot, window)
    pane.turn_to(2)
    window.document.select(["arm-1"])
    window.workspace.refresh()
    QTest.keyClicks(pane.reach.near.edit, "0")
    before = window.document.job
    # What is in the way is known before it is listed, and stands last.
    entries = pane.reach.list.lines.entries
    levels = [entry.level for entry in entries]
    assert "stop" in levels
    assert levels == sorted(levels)
    last = entries[-1]
    assert "overlap" in last.under
    assert "facing " in last.under
    pane.reach.list.go_to(last.key)
    pane.reach.turn_there()
    assert window.document.job is before
    assert "overlap" in told(window)


# -- the chart ---------------------------------------------------------------------------------


def test_the_chart_is_written_as_pdf_and_csv(qtbot: QtBot, window: Window, tmp_path: Path) -> None:
    person = window.questions
    assert isinstance(person, Person)
    pane = opened(qtbot, window, "angle.back")
    for suffix, start in ((".pdf", b"%PDF"), (".csv", b"\xef\xbb\xbfwanted_deg")):
        pane.chart.click()
        form = window.findChild(ChartForm)
        assert form is not None
        assert "181 angles" in form.told.text()
        path = tmp_path / f"chart{suffix}"
        person.path = str(path)
        (form.pdf if suffix == ".pdf" else form.csv).click()
        assert path.read_bytes().startswith(start)
        assert "is saved" in told(window)
        qtbot.waitUntil(lambda: window.findChild(ChartForm) is None)


@pytest.mark.expectation(30, 48, 85)
def test_a_chart_that_cannot_be_made_or_written_says_so(
    qtbot: QtBot, window: Window, tmp_path: Path
) -> None:
    person = window.questions
    assert isinstance(person, Person)
    window.port.do("angle.chart")
    form = window.findChild(ChartForm)
    assert form is not None
    QTest.keyClicks(form.high.edit, "1")
    assert "No two free holes" in form.high.complaint.text()
    form.high.edit.selectAll()
    QTest.keyClicks(form.high.edit, "20")
    assert not form.high.has_complaint()
    person.path = str(tmp_path / "no" / "such" / "chart.pdf")
    form.pdf.click()
    person.path = str(tmp_path / "no" / "such" / "chart.csv")
    form.csv.click()
    assert [a for a in person.asked if a.startswith("problem")]
    person.path = ""
    form.pdf.click()
    form.csv.click()
    form.close_.click()


# -- beside the window -------------------------------------------------------------------------


def test_a_large_table_is_answered_beside_the_window_and_late_answers_are_dropped(
    qtbot: QtBot,
) -> None:
    finder = AngleFinder()
    came: list[object] = []
    finder.answered.connect(came.append)
    large = Job(name="large", table=grid_table(100, 100), rack=RACK)
    for angle in (10.0, 20.0, 30.0):
        finder.ask(large, {}, as_edge(angle), AngleLimits())
    assert not came
    qtbot.waitUntil(lambda: bool(came), timeout=20000)
    (found,) = came
    assert isinstance(found, AngleResult)
    assert found.wanted.angle_deg == 30.0
    finder.ask(large, {}, as_edge(40.0), AngleLimits(base_from=1e9))
    qtbot.waitUntil(lambda: len(came) == 2, timeout=20000)
    assert isinstance(came[1], AngleFault)
    finder.ask(
        Job(name="other", table=grid_table(100, 100), rack=RACK), {}, as_edge(50.0), AngleLimits()
    )
    finder.stop()
    qtbot.waitUntil(lambda: not finder.busy)  # the answer was delivered, and dropped
    assert len(came) == 2
