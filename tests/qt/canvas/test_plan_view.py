"""Getting about on the sheet, and the picture that it shows, in a real window."""

import pytest
from msgspec import structs
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import (
    QNativeGestureEvent,
    QPointingDevice,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.table import replace_table
from gridjig.model import Hole
from gridjig.qt.canvas.canvas import Canvas
from gridjig.qt.style.palette import contrast
from gridjig.qt.style.theme import THEMES
from gridjig.session.document import Document
from tests.qt.canvases import CTRL, LEFT, METRICS, MIDDLE, NONE, alike, move, picture, shown, wheel
from tests.workshop import EMPTY, TABLE, laid, plate, stop

# -- zoom and pan ----------------------------------------------------------------------------------


@pytest.mark.expectation(1)
@pytest.mark.parametrize("angle", [120, -120, 45])
def test_ctrl_wheel_zooms_about_the_pointer(qtbot: QtBot, angle: int) -> None:
    canvas = shown(qtbot)
    at = QPointF(300, 250)
    for _ in range(12):
        under = canvas.view.to_table((at.x(), at.y()))
        before = canvas.view.scale
        wheel(canvas, at, QPoint(0, angle), held=CTRL)
        x, y = canvas.view.to_screen(under)
        assert abs(x - at.x()) < 1
        assert abs(y - at.y()) < 1
        assert (canvas.view.scale > before) == (angle > 0)


@pytest.mark.expectation(2)
def test_two_fingers_on_a_trackpad_pan_both_ways(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    before = canvas.view
    wheel(canvas, QPointF(300, 250), QPoint(0, 120), pixels=QPoint(13, -7))
    assert canvas.view == before.panned(13, -7)


@pytest.mark.expectation(2)
@pytest.mark.parametrize("zooms", [True, False])
@pytest.mark.parametrize("by", [(9, 0), (-9, 0), (0, 9), (0, -9), (-4, 11)])
def test_fingers_on_a_trackpad_pan_by_what_they_move_whatever_the_wheel_does(
    qtbot: QtBot, zooms: bool, by: tuple[int, int]
) -> None:
    """Pixel by pixel in both axes; back again is where it was; with Ctrl they zoom."""
    canvas = shown(qtbot)
    canvas.set_wheel_zooms(zooms)
    before = canvas.view
    at, (dx, dy) = QPointF(200, 150), by
    for _ in range(3):
        wheel(canvas, at, QPoint(0, 0), pixels=QPoint(dx, dy))
    assert canvas.view == before.panned(3 * dx, 3 * dy)
    assert canvas.view.scale == before.scale
    wheel(canvas, at, QPoint(0, 0), pixels=QPoint(-3 * dx, -3 * dy))
    assert (canvas.view.left, canvas.view.top) == pytest.approx((before.left, before.top))
    wheel(canvas, at, QPoint(0, 120), pixels=QPoint(0, 9), held=CTRL)
    assert canvas.view.scale > before.scale


@pytest.mark.expectation(4)
def test_the_plain_wheel_zooms_and_a_setting_makes_it_pan(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    before = canvas.view
    wheel(canvas, QPointF(300, 250), QPoint(0, 120))
    assert canvas.view.scale > before.scale
    canvas.set_wheel_zooms(False)
    before = canvas.view
    wheel(canvas, QPointF(300, 250), QPoint(0, 120))
    assert canvas.view.scale == before.scale
    assert canvas.view.top == before.top + 48
    wheel(canvas, QPointF(300, 250), QPoint(0, 120), held=Qt.KeyboardModifier.ShiftModifier)
    assert canvas.view.left == before.left + 48
    wheel(canvas, QPointF(300, 250), QPoint(0, 120), held=CTRL)
    assert canvas.view.scale > before.scale


@pytest.mark.expectation(3)
def test_a_pinch_zooms_about_its_centre(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    at = QPointF(420, 310)
    under = canvas.view.to_table((at.x(), at.y()))
    before = canvas.view.scale
    event = QNativeGestureEvent(
        Qt.NativeGestureType.ZoomNativeGesture,
        QPointingDevice.primaryPointingDevice(),
        2,
        at,
        at,
        QPointF(canvas.mapToGlobal(at.toPoint())),
        0.25,
        QPointF(),
    )
    QApplication.sendEvent(canvas, event)
    assert canvas.view.scale == pytest.approx(before * 1.25)
    assert canvas.view.to_screen(under) == pytest.approx((at.x(), at.y()))


@pytest.mark.expectation(3)
def test_two_fingers_on_a_screen_zoom_and_pan_and_leave_the_tool_alone(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    job = canvas.document.job
    device = QTest.createTouchDevice()
    before = canvas.view
    one, two = QPoint(300, 300), QPoint(400, 300)
    QTest.touchEvent(canvas, device).press(0, one, canvas).commit()
    QTest.touchEvent(canvas, device).move(0, one, canvas).press(1, two, canvas).commit()
    QTest.touchEvent(canvas, device).move(0, QPoint(250, 300), canvas).move(
        1, QPoint(450, 300), canvas
    ).commit()
    QTest.touchEvent(canvas, device).release(0, QPoint(250, 300), canvas).release(
        1, QPoint(450, 300), canvas
    ).commit()
    assert canvas.view.scale == pytest.approx(2 * before.scale)
    assert canvas.view.to_table((350, 300)) == pytest.approx(before.to_table((350, 300)))
    assert canvas.document.job is job
    assert not canvas.document.previewing


@pytest.mark.expectation(5)
@pytest.mark.parametrize("way", ["middle", "space"])
def test_middle_drag_and_space_drag_pan_with_a_hand(qtbot: QtBot, way: str) -> None:
    canvas = shown(qtbot)
    job, before = canvas.document.job, canvas.view
    button = MIDDLE
    if way == "space":
        button = LEFT
        QTest.keyPress(canvas, Qt.Key.Key_Space)
        assert canvas.cursor().shape() == Qt.CursorShape.OpenHandCursor
    QTest.mousePress(canvas, button, NONE, QPoint(300, 300))
    assert canvas.cursor().shape() == Qt.CursorShape.ClosedHandCursor
    move(canvas, QPoint(340, 270), button)
    QTest.mouseRelease(canvas, button, NONE, QPoint(340, 270))
    if way == "space":
        QTest.keyRelease(canvas, Qt.Key.Key_Space)
    assert canvas.cursor().shape() == Qt.CursorShape.ArrowCursor
    assert canvas.view == before.panned(40, -30)
    assert canvas.document.job is job
    assert canvas.document.selection == frozenset()


@pytest.mark.expectation(6, 7)
def test_keys_zoom_fit_and_show_true_size(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    whole = canvas.view
    (x1, y1), (x2, y2) = whole.box(canvas.width(), canvas.height())
    assert x1 < 0
    assert y1 < 0
    assert x2 > TABLE.width
    assert y2 > TABLE.depth
    QTest.keyClick(canvas, Qt.Key.Key_Plus)
    assert canvas.view.scale == pytest.approx(1.2 * whole.scale)
    QTest.keyClick(canvas, Qt.Key.Key_Minus)
    assert canvas.view.scale == pytest.approx(whole.scale)
    QTest.keyClick(canvas, Qt.Key.Key_1)
    assert canvas.view.scale == METRICS.px_per_mm
    canvas.document.select(["s"])
    for key, held in (
        (Qt.Key.Key_9, NONE),
        (Qt.Key.Key_0, Qt.KeyboardModifier.ShiftModifier),
    ):
        QTest.keyClick(canvas, Qt.Key.Key_0)
        assert canvas.view == whole
        QTest.keyClick(canvas, key, held)
        assert canvas.view.scale > 3 * whole.scale
        assert canvas.view.to_table((450, 350)) == pytest.approx((375, 350))
    canvas.document.select([])
    canvas.fit_selection()
    assert canvas.view == whole


@pytest.mark.expectation(8)
def test_zoom_ends_somewhere_and_the_way_back_is_offered(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    for _ in range(100):
        canvas.zoom_by(2.0)
    assert canvas.view.scale <= 100
    for _ in range(100):
        canvas.zoom_by(0.5)
    assert canvas.view.scale >= 0.02
    offer = canvas._offer
    assert not offer.isVisible()
    canvas.fit_table()
    canvas.pan_by(5000, 0)
    assert offer.isVisible()
    assert offer.text().startswith("Fit the table")
    QTest.mouseClick(offer, LEFT)
    assert not offer.isVisible()


@pytest.mark.expectation(9)
def test_the_view_stays_through_edit_undo_and_save(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    canvas.zoom_by(1.7)
    before = canvas.view
    canvas.document.do(laid(stop("s", 1, 1)), "Place", ["s"])
    canvas.document.undo()
    canvas.document.redo()
    canvas.document.mark_saved()
    table = structs.replace(TABLE, width=1300.0)
    canvas.document.do(replace_table(canvas.document.job, table), "Change the table")
    assert canvas.view == before


def test_a_resized_window_keeps_a_fitted_plate_fitted_and_any_other_view_still(
    qtbot: QtBot,
) -> None:
    canvas = shown(qtbot)
    canvas.resize(1000, 500)
    (_, y1), (_, y2) = canvas.view.box(1000, 500)
    assert y1 < 0
    assert y2 > TABLE.depth
    canvas.zoom_by(2.0)
    before = canvas.view
    canvas.resize(800, 600)
    assert canvas.view == before


@pytest.mark.expectation(38, 98)
def test_places_are_brought_into_view_only_if_they_are_not(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    before = canvas.view
    canvas.show_points([])
    canvas.show_points([(500.0, 500.0), (700.0, 600.0)])
    assert canvas.view == before
    canvas.zoom_by(6.0)
    canvas.show_points([(40.0, 40.0)])
    assert canvas.view.to_screen((40.0, 40.0)) == pytest.approx((450, 350))
    scale = canvas.view.scale
    canvas.show_points([(0.0, 0.0), (1200.0, 1000.0)])
    assert canvas.view.scale < scale


# -- the picture -----------------------------------------------------------------------------------


def test_panning_and_patching_show_what_a_fresh_picture_shows(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6), stop("t", 10, 9), plate("o", 300, 400)))
    canvas.zoom_by(2.3)
    canvas._settle()
    for step in ((300, 170), (-90, 40), (13, -55), (-400, -300), (260, 90)):
        canvas.pan_by(*step)
        picture(canvas)
    canvas.document.select(["s"])
    canvas.document.select(["o"])
    canvas.document.do(laid(stop("s", 7, 6), plate("o", 320, 400)), "Move", ["s"])
    patched = picture(canvas)
    canvas.set_theme(THEMES["light"])
    fresh = picture(canvas)
    assert alike(patched, fresh)


@pytest.mark.expectation(15)
def test_a_selected_thing_is_framed_and_measured(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6)))
    before = picture(canvas)
    canvas.document.select(["s"])
    after = picture(canvas)
    selected = THEMES["light"].colour("selected")
    x, y = canvas.view.to_screen((330.0, 330.0))  # the lower left corner of the stop
    assert after.pixelColor(round(x - 6), round(y + 6)) == selected
    assert before.pixelColor(round(x - 6), round(y + 6)) != selected
    canvas.document.select([])
    assert alike(picture(canvas), before)


def test_findings_are_marked_and_unmarked(qtbot: QtBot) -> None:
    canvas = shown(qtbot, laid(stop("s", 6, 6), stop("t", 6, 9)))
    before = picture(canvas)
    canvas.set_findings(["s"], ["t"])
    assert not alike(picture(canvas), before)
    at_corner = picture(canvas)
    canvas.set_findings(["s"], ["t"], {"s": (canvas.document.job.table.at(Hole(6, 6)),)})
    assert not alike(picture(canvas), at_corner)
    canvas.set_findings(["s"], ["t"])
    assert alike(picture(canvas), at_corner)
    canvas.set_findings([], [])
    assert alike(picture(canvas), before)


@pytest.mark.expectation(10)
def test_scale_bar_and_scale_are_on_the_sheet(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    with qtbot.waitSignal(canvas.zoomed) as got:
        canvas.zoom_by(1.3)
    assert got.args == [canvas.view.scale]
    corner = picture(canvas).copy(700, 640, 200, 60)
    ink = THEMES["light"].colour("ink").rgb()
    assert sum(corner.pixel(x, y) == ink for x in range(200) for y in range(60)) > 60


@pytest.mark.parametrize("palette", ["light", "dark", "print"])
@pytest.mark.expectation(62)
def test_the_focus_is_marked_two_px_wide(qtbot: QtBot, palette: str) -> None:
    canvas = shown(qtbot)
    canvas.set_theme(THEMES[palette])  # type: ignore[index]
    canvas.setFocus()
    qtbot.waitUntil(canvas.hasFocus)
    image = picture(canvas)
    colours = THEMES[palette].palette  # type: ignore[index]
    for x, y in ((0, 350), (1, 350), (899, 350), (898, 350), (450, 0), (450, 1), (450, 699)):
        assert image.pixelColor(x, y).name() == colours.selected.lower()
    assert contrast(colours.selected, colours.desk) >= 3


@pytest.mark.expectation(63)
def test_tab_leaves_the_canvas_both_ways(qtbot: QtBot) -> None:
    holder = QWidget()
    qtbot.addWidget(holder)
    before, after = QLineEdit(), QLineEdit()
    canvas = Canvas(Document(EMPTY), THEMES["light"], METRICS)
    column = QVBoxLayout(holder)
    for widget in (before, canvas, after):
        column.addWidget(widget)
    holder.show()
    canvas.setFocus()
    qtbot.waitUntil(canvas.hasFocus)
    QTest.keyClick(canvas, Qt.Key.Key_Tab)
    assert after.hasFocus()
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)
    assert before.hasFocus()


@pytest.mark.expectation(66)
def test_the_canvas_has_a_name_and_says_its_keys(qtbot: QtBot) -> None:
    canvas = shown(qtbot)
    assert canvas.accessibleName() == "Plan of the table"
    assert "Tab leaves" in canvas.accessibleDescription()


@pytest.mark.expectation(12)
def test_what_is_selected_below_the_work_shows_as_a_hidden_line(qtbot: QtBot) -> None:
    over = structs.replace(plate("over", 250, 250, 300, 200), z_low=60, z_high=100)
    canvas = shown(qtbot, laid(stop("s", 6, 6), over))
    canvas.document.select(["s"])
    drawn = canvas._dims
    assert drawn is not None
    assert len(drawn.marks) == 1
    assert drawn.fixed == []  # a piece's own size would only hide its neighbours
    canvas.document.select(["over"])
    assert canvas._dims is not None
    assert canvas._dims.marks == []
    assert len(canvas._dims.fixed) == 2
