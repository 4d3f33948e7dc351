"""Finding an angle in the real window: typed, listed, shown on the sheet, set, and taken back."""

import math

import pytest
from msgspec import structs
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from gridjig.checks.findings import findings
from gridjig.files.storage.settings import Settings
from gridjig.geometry.display import Circle, Polyline, TextLabel
from gridjig.qt.forms.shop.plate_form import CutPlateForm
from gridjig.qt.window.window import Window
from gridjig.sheets.text.angle_text import holes_words, measured_words
from gridjig.solve.angles.answers import AngleAnswer
from gridjig.solve.placed.cache import PlacedPieces
from gridjig.tools.pick.angle_pick import EdgePick, HolesPick
from tests.qt.anglehands import ARMED, LEFT, NONE, STRUT, TABLE, aside, heads, opened, typed
from tests.qt.windows import make_window, told
from tests.trials.layout import INCH, empty, load, with_members
from tests.workshop import EMPTY


@pytest.fixture
def window(qtbot: QtBot) -> Window:
    return make_window(qtbot, STRUT)


@pytest.fixture(autouse=True)
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy machine must not decide whether a small table is answered at once."""
    monkeypatch.setattr("gridjig.qt.panes.angle.finder.AT_ONCE", 60.0)


# -- the whole way -----------------------------------------------------------------------------


@pytest.mark.expectation(61, 35, 36, 68)
@pytest.mark.source(
    "method", "brute force: no hole pair within a 20 in strut comes within class B of 37.5"
)
def test_typed_angle_list_enter_pieces_undo_all_by_keys(qtbot: QtBot, window: Window) -> None:
    window.document.select(["strut"])
    window.workspace.refresh()
    pane = opened(qtbot, window)
    before = window.document.job
    assert pane.ask.angle.edit.hasFocus()
    typed(qtbot, pane, "37.5")
    assert "≈37.5°" in {e.right.split()[-1] for e in pane.answers.list.lines.entries}
    assert '20", as strut' in pane.ask.leg.edit.placeholderText()
    QTest.keyClick(pane.ask.angle.edit, Qt.Key.Key_Return)
    assert pane.answers.list.hasFocus()
    first = pane.answers.highlighted()
    QTest.keyClick(pane.answers.list, Qt.Key.Key_Down)
    chosen = pane.answers.highlighted()
    assert chosen is not None
    assert chosen is not first
    QTest.keyClick(pane.answers.list, Qt.Key.Key_Right)
    assert "Position 2 of" in pane.answers.place.text()
    QTest.keyClick(pane.answers.list, Qt.Key.Key_Left)
    assert "Position 1 of" in pane.answers.place.text()
    assert any(isinstance(s, TextLabel) and "37" in s.text for s in aside(window))
    assert window.document.job is before
    assert not window.document.previewing
    QTest.keyClick(pane.answers.list, Qt.Key.Key_Return)
    job = window.document.job
    fresh = [p for p in job.placements if p.id in window.document.selection]
    assert len(fresh) == len(chosen.standing) > 0
    assert window.document.undo_name.startswith("Set ≈37")
    assert not [f for f in findings(job, PlacedPieces().of(job)) if f.level == "stop"]
    assert pane.answers.highlighted() is None
    QTest.keyClick(pane.answers.list, Qt.Key.Key_Return)
    assert window.document.job is job
    window.port.do("edit.undo")
    assert window.document.job is before


@pytest.mark.expectation(30, 85, 89)
def test_what_is_no_angle_is_told_at_the_field_and_the_list_stays(
    qtbot: QtBot, window: Window
) -> None:
    pane = opened(qtbot, window)
    typed(qtbot, pane, "30")
    kept = heads(pane)
    assert kept
    typed(qtbot, pane, "thirty")
    qtbot.waitUntil(pane.ask.angle.has_complaint, timeout=3000)
    assert pane.ask.angle.complaint.text().startswith("✕ “thirty” is not understood")
    assert pane.ask.angle.edit.text() == "thirty"
    assert heads(pane) == kept
    QTest.keyClick(pane.ask.angle.edit, Qt.Key.Key_Return)
    assert not pane.answers.list.hasFocus()
    typed(qtbot, pane, "31")
    assert not pane.ask.angle.has_complaint()
    assert heads(pane) != kept


def test_every_way_to_write_an_angle_asks_the_same(qtbot: QtBot, window: Window) -> None:
    pane = opened(qtbot, window)
    found = []
    for text in ("18.434948822922", "18 26' 5.8\"", "4:12", "rise 4 run 12", "4 in 12"):
        typed(qtbot, pane, text)
        QTest.keyClick(pane.ask.angle.edit, Qt.Key.Key_Tab)
        pane.focus_first()
        assert not pane.ask.angle.has_complaint()
        found.append(heads(pane)[0])
    assert len(set(found)) == 1


@pytest.mark.source("method", "plane geometry: complement and mirror")
def test_complement_and_mirror_are_one_press_away(qtbot: QtBot, window: Window) -> None:
    pane = opened(qtbot, window)
    assert not pane.ask.told.isVisible()
    typed(qtbot, pane, "30")
    assert "60°" in pane.ask.complement.text()
    assert "150°" in pane.ask.mirror.text()
    pane.ask.complement.click()
    assert pane.answers.answers is not None
    assert pane.answers.answers.wanted.angle_deg == pytest.approx(60)
    assert "30°" in pane.ask.complement.text()
    pane.ask.mirror.click()
    assert pane.answers.answers.wanted.angle_deg == pytest.approx(120)
    assert "from table x" in pane.ask.told.text()
    typed(qtbot, pane, "31")
    assert not pane.ask.complement.isChecked()
    pane.ask.origin.box.setCurrentIndex(1)
    pane.ask.origin.box.activated.emit(1)
    assert pane.answers.answers.wanted.angle_deg == pytest.approx(59)
    pane.ask.share.box.setCurrentIndex(1)
    pane.ask.share.box.activated.emit(1)
    assert pane.answers.answers.wanted.angle_deg == pytest.approx(74.5)
    assert pane.ask.told.text() == "15.5°, half of 31°, from table y: 74.5° from table x"
    typed(qtbot, pane, "")
    assert pane.answers.answers.wanted.angle_deg == pytest.approx(74.5)  # the last answer stays


# -- limits ------------------------------------------------------------------------------------


@pytest.mark.expectation(30, 31)
def test_limits_narrow_the_list_and_complain_at_their_own_field(
    qtbot: QtBot, window: Window
) -> None:
    pane = opened(qtbot, window)
    typed(qtbot, pane, "37.5")
    ask, limits = pane.ask, pane.ask.limits
    assert "free holes" in ask.summary.text()
    ask.fold.click()
    assert limits.isVisible()
    for way, tick in limits.ways.items():
        tick.setChecked(way == "pins")

    def ranked() -> tuple[AngleAnswer, ...]:
        return pane.answers.answers.ranked if pane.answers.answers is not None else ()

    # An answer that takes long comes from beside the window: everything asked is waited for.
    qtbot.waitUntil(lambda: {a.way for a in ranked()} == {"pins"}, timeout=3000)
    QTest.keyClicks(limits.base_to.edit, "12")
    qtbot.waitUntil(lambda: all(a.base_mm <= 12 * 25.4 + 0.01 for a in ranked()), timeout=3000)
    QTest.keyClicks(limits.base_from.edit, "13")
    assert "shorter" in limits.base_to.complaint.text()
    kept = heads(pane)
    assert kept
    QTest.keyClick(limits.base_from.edit, Qt.Key.Key_Backspace)
    qtbot.waitUntil(lambda: not limits.base_to.has_complaint(), timeout=3000)
    limits.base_to.edit.selectAll()
    QTest.keyClick(limits.base_to.edit, Qt.Key.Key_0)
    qtbot.waitUntil(lambda: "greater than 0" in limits.base_to.complaint.text(), timeout=3000)
    limits.base_to.edit.selectAll()
    QTest.keyClick(limits.base_to.edit, Qt.Key.Key_Delete)
    qtbot.waitUntil(lambda: not limits.base_to.has_complaint(), timeout=3000)
    limits.base_from.edit.selectAll()
    QTest.keyClicks(limits.base_from.edit, "999")
    qtbot.waitUntil(lambda: "farthest" in limits.base_from.complaint.text(), timeout=3000)
    limits.base_from.edit.selectAll()
    QTest.keyClick(limits.base_from.edit, Qt.Key.Key_Delete)
    assert (limits.limits(500.0).base_from, limits.limits(500.0).base_to) == (0.0, 500.0)
    for tick in limits.ways.values():
        tick.setChecked(False)
    assert "at least one way" in limits.fault.text()
    limits.ways["pins"].setChecked(True)
    qtbot.waitUntil(lambda: not limits.fault.isVisible(), timeout=3000)
    limits.only_left.setChecked(False)
    limits.only_free.setChecked(False)
    ask.fold.click()
    assert ask.summary.text() == "Limits: whole table, any holes, any pieces, 1 of 7 ways"


@pytest.mark.source(
    "published", "ISO 13920:1996", "table 2, as a contract fabricator reproduces it"
)
def test_nothing_within_the_class_says_so_and_offers_the_plate(
    qtbot: QtBot, window: Window
) -> None:
    window.document.select(["strut"])
    window.workspace.refresh()
    pane = opened(qtbot, window)
    typed(qtbot, pane, "37.5")
    ask = pane.ask
    assert [ask.tolerance.box.itemText(k) for k in range(5)][1] == "A, to ±15′"
    for way in ("shims", "two sizes", "scale", "plate"):
        ask.limits.ways[way].setChecked(False)
    ask.tolerance.box.setCurrentIndex(1)
    ask.tolerance.box.activated.emit(1)
    assert "Nothing of the kinds asked for comes within class A" in pane.answers.unmet.text()
    assert pane.answers.unmet.isVisible()
    assert "Nearest of each kind" in heads(pane)
    assert heads(pane)[-2] == "Cut a plate instead"
    while pane.answers.highlighted() != pane.answers.answers.offer:  # type: ignore[union-attr]
        QTest.keyClick(pane.answers.list, Qt.Key.Key_Down)
    assert "Cut edge" in pane.answers.detail.text()
    assert pane.answers.set.text() == "Cut plate…"
    before = window.document.job
    QTest.keyClick(pane.answers.list, Qt.Key.Key_Return)
    [form] = [one for one in window.findChildren(CutPlateForm) if one.isVisible()]
    qtbot.waitUntil(lambda: not form.tasks.busy)
    assert form.made is not None
    assert form.made.design.pins[0] == window.document.job.table.at(pane.answers.plate().holes[0])  # type: ignore[union-attr]
    form.reject()
    assert window.document.job is before


def test_holes_in_a_box_and_round_what_is_selected(qtbot: QtBot, window: Window) -> None:
    pane = opened(qtbot, window)
    typed(qtbot, pane, "45")
    limits = pane.ask.limits
    limits.where.box.activated.emit(1)
    tool = window.workspace.canvas.tool
    assert isinstance(tool, HolesPick)
    assert limits.where.value() == "table"
    window._on_typed("C3 H9")
    assert limits.where.value() == "box"
    assert pane.answers.answers is not None
    for answer in pane.answers.answers.ranked:
        assert all(2 <= h.col <= 7 and 2 <= h.row <= 8 for h in answer.holes)
    limits.where.set_value("selection")
    limits.where.box.activated.emit(2)
    assert "Nothing is selected" in limits.fault.text()
    window.document.select(["strut"])
    window.workspace.refresh()
    assert limits.fault.text() == ""


# -- picking -----------------------------------------------------------------------------------


@pytest.mark.source("method", "plane geometry: direction of a turned edge")
def test_an_edge_picked_on_the_sheet_is_what_is_wanted(qtbot: QtBot) -> None:
    window = make_window(qtbot, ARMED)
    pane = opened(qtbot, window, "angle.edge")
    assert isinstance(window.workspace.canvas.tool, EdgePick)
    assert "edge" in told(window)
    window._on_typed("33.69")
    assert pane.answers.answers is not None
    assert pane.answers.answers.wanted.angle_deg == pytest.approx(33.69)
    assert "33.69°" in pane.ask.angle.edit.text()
    assert pane.answers.list.hasFocus()  # so that Enter sets the answer shown
    first = pane.answers.highlighted()
    assert first is not None
    where = holes_words(window.document.job.table, first.holes)
    qtbot.waitUntil(lambda: where in told(window))
    pane.ask.faces.click()
    canvas = window.workspace.canvas
    for edge in ((500.0, 320.0), (600.0, 300.0)):
        x, y = canvas.view.to_screen(edge)
        QTest.mouseClick(canvas, LEFT, NONE, QPoint(round(x), round(y)))
    assert measured_words(pane.answers.answers.wanted).endswith("from the face at 90°")
    assert pane.answers.answers.wanted.angle_deg == pytest.approx(0.0)
    pane.ask.origin.box.activated.emit(2)
    assert pane.ask.origin.value() == "table x"
    window._on_typed("10")
    assert pane.ask.origin.value() == "face"
    typed(qtbot, pane, "20")
    assert pane.answers.answers.wanted.angle_deg == pytest.approx(30.0)


def test_a_pick_that_is_dropped_changes_nothing(qtbot: QtBot, window: Window) -> None:
    pane = opened(qtbot, window)
    typed(qtbot, pane, "30")
    kept = heads(pane)
    pane.ask.edge.click()
    QTest.keyClick(window.workspace.canvas, Qt.Key.Key_Escape)
    assert window.workspace.canvas.tool.name == "select"
    assert heads(pane) == kept
    assert pane.ask.angle.edit.text() == "30"


@pytest.mark.source("method", "brute force: distance of each pin from the face")
def test_pins_along_a_face_without_joints_may_stand_along_all_of_it(
    qtbot: QtBot, window: Window
) -> None:
    pane = opened(qtbot, window)
    typed(qtbot, pane, "0")
    limits = pane.ask.limits
    limits.where.box.activated.emit(3)
    canvas = window.workspace.canvas
    x, y = canvas.view.to_screen((550.0, 300.0))
    QTest.mouseClick(canvas, LEFT, NONE, QPoint(round(x), round(y)))
    assert limits.where.value() == "along"
    pane.ask.fold.click()
    assert limits.clear.isVisible()
    assert limits.clear.edit.placeholderText() == '1"'
    assert limits.place.text() == (
        'Pins beside strut, on the outside: all 20" of it; there is no joint on it.'
    )
    found = pane.answers.answers
    assert found is not None
    assert found.ranked
    for answer in found.ranked:
        for hole in answer.holes:
            px, py = TABLE.at(hole)
            assert 300 - 0.01 <= px <= 808 + 0.01
            assert py < 300


@pytest.mark.expectation(30, 85)
@pytest.mark.source(
    "method", "trial weldment T06, reckoned by hand: an edge of 19.0226 in, joined at both ends"
)
def test_pins_along_a_strut_keep_clear_of_its_joints(qtbot: QtBot) -> None:
    data = load("T06")
    job = structs.replace(with_members(empty(data), data), display=STRUT.display)
    window = make_window(qtbot, job)
    pane = opened(qtbot, window)
    typed(qtbot, pane, "37.5")
    limits = pane.ask.limits
    pane.ask.fold.click()
    limits.where.box.activated.emit(3)
    (ax, ay), (bx, by) = (
        ((x + 9.5) * INCH, (y + 9.5) * INCH) for x, y in data["members"][1]["plan"][1:3]
    )
    canvas = window.workspace.canvas
    x, y = canvas.view.to_screen(((ax + bx) / 2, (ay + by) / 2))
    QTest.mouseClick(canvas, LEFT, NONE, QPoint(round(x), round(y)))
    assert limits.where.value() == "along"

    def along() -> list[float]:
        found = pane.answers.answers
        assert found is not None
        assert found.ranked
        pins = [answer for answer in found.ranked if answer.way in ("pins", "shims", "two sizes")]
        holes = [TABLE.at(hole) for answer in pins for hole in answer.holes]
        assert holes
        c, s = math.cos(math.radians(37.5)), math.sin(math.radians(37.5))
        return [((hx - ax) * c + (hy - ay) * s) / INCH for hx, hy in holes]

    told = "Pins beside S strut, on the outside: {} from its left end, clear of 2 joints by {}."
    assert limits.place.text() == told.format('1" to ≈18"', '1"')
    assert all(1 - 0.01 <= at <= 18.0226 + 0.01 for at in along())
    QTest.keyClicks(limits.clear.edit, "4")
    assert limits.place.text() == told.format('4" to ≈15"', '4"')
    assert all(4 - 0.01 <= at <= 15.0226 + 0.01 for at in along())
    QTest.keyClicks(limits.clear.edit, "0")
    assert limits.clear.complaint.text().endswith(
        '40" clear of its joints leaves nothing of the face; type a shorter length.'
    )
    limits.clear.edit.selectAll()
    QTest.keyClicks(limits.clear.edit, "-1")
    QTest.keyClick(limits.clear.edit, Qt.Key.Key_Return)
    assert "the least is 0" in limits.clear.complaint.text()


# -- what is shown -----------------------------------------------------------------------------


def test_the_sheet_shows_what_is_highlighted_only_while_the_pane_is_in_front(
    qtbot: QtBot, window: Window
) -> None:
    pane = opened(qtbot, window)
    assert window.workspace.properties.isVisible()
    assert aside(window) == ()
    typed(qtbot, pane, "37.5")
    rings = [s for s in aside(window) if isinstance(s, Circle) and s.role == "selected"]
    assert len(rings) == 2
    assert any(isinstance(s, Polyline) and s.role == "ghost" for s in aside(window))
    shown = aside(window)
    window.port.do("go.form")
    assert window.workspace.properties.isAncestorOf(window.focusWidget())
    assert aside(window) == shown  # the pane stays in front
    window.port.do("go.placed")
    assert aside(window) == ()
    window.port.do("angle.find")
    assert len(aside(window)) > 2
    window.document.select(["strut"])
    window.port.do("edit.name")
    assert window.workspace.properties.isAncestorOf(window.focusWidget())
    window.port.do("angle.find")
    QTest.keyClick(pane.answers.list, Qt.Key.Key_Escape)
    assert pane.ask.angle.edit.hasFocus()
    pane.ask.angle.edit.clear()
    pane.ask.angle.set_value(None)
    pane.look()
    assert aside(window) == ()
    assert not heads(pane)


def test_what_is_placed_is_left_out_of_the_places(qtbot: QtBot, window: Window) -> None:
    pane = opened(qtbot, window)
    typed(qtbot, pane, "45")
    assert "would hit" in pane.answers.place.text()
    room = pane.answers._room
    assert room is not None
    assert 0 < len(room) < room.places


def test_the_unit_and_the_look_follow_the_job(qtbot: QtBot, window: Window) -> None:
    pane = opened(qtbot, window)
    typed(qtbot, pane, "45")
    window.port.do("unit.mm")
    window.workspace.refresh()
    assert any(" mm" in e.under for e in pane.answers.list.lines.entries)
    assert "mm" in pane.ask.leg.edit.placeholderText()
    window.port.do("theme.dark")
    assert pane.answers.list.delegate.appearance.theme is window.appearance.theme


# -- for everybody -----------------------------------------------------------------------------


@pytest.mark.expectation(66)
def test_everything_in_the_pane_has_a_name(qtbot: QtBot, window: Window) -> None:
    pane = opened(qtbot, window)
    typed(qtbot, pane, "37.5")
    pane.ask.fold.click()
    kinds = (QAbstractButton, QLineEdit, QComboBox)
    for page in range(3):
        pane.turn_to(page)
        for kind in kinds:
            for widget in pane.findChildren(kind):
                if widget.isVisible() and not widget.objectName().startswith("qt_"):
                    name = widget.accessibleName() or getattr(widget, "text", str)()
                    assert name, widget


@pytest.mark.expectation(70, 72)
@pytest.mark.parametrize("settings", [Settings(glove=True), Settings(text_percent=200)])
def test_buttons_are_wide_enough_for_their_words(qtbot: QtBot, settings: Settings) -> None:
    window = make_window(qtbot, STRUT, settings)
    pane = opened(qtbot, window)
    typed(qtbot, pane, "37.5")
    pane.ask.fold.click()

    def whole() -> None:
        worded = [b for b in pane.findChildren(QAbstractButton) if b.isVisible() and b.text()]
        assert len(worded) >= 3
        for button in worded:
            wide = button.fontMetrics().horizontalAdvance(button.text())
            assert button.width() >= wide, button.text()
        assert_inside(pane)

    for page in range(3):
        pane.turn_to(page)
        qtbot.waitUntil(whole)
    if settings.glove:
        for button in pane.buttons:
            assert button.height() >= window.appearance.metrics.target


def assert_inside(pane: QWidget) -> None:
    """No page is wider than its place."""
    for area in pane.findChildren(QWidget, "qt_scrollarea_viewport"):
        for child in area.children():
            if isinstance(child, QWidget) and child.isVisible() and child.layout():
                assert child.width() <= area.width() + 1, child


def test_an_empty_job_answers_too(qtbot: QtBot) -> None:
    window = make_window(qtbot, EMPTY)
    pane = opened(qtbot, window)
    typed(qtbot, pane, "45")
    assert heads(pane)
    assert window.port.pages.topic() == "angle"
