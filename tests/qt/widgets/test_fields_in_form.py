"""Fields and choices inside the window's forms: where the focus is, and what Esc and undo mean."""

import pytest
from msgspec import structs
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QWidget
from pytestqt.qtbot import QtBot

from gridjig.edits.lookup import placement_of
from gridjig.files.library.assets import rack_for, ready_tables, starter_racks
from gridjig.files.storage.settings import Settings
from gridjig.model import Job
from gridjig.qt.forms.job.new_job import NewJobForm
from gridjig.qt.panes.properties.placement_form import PlacementForm
from gridjig.qt.panes.properties.several_form import SeveralForm
from gridjig.qt.widgets.fields import LengthField
from gridjig.qt.window.window import Window
from gridjig.rack import RoundHole
from tests.qt.windows import make_window, on_plan
from tests.workshop import BORE, PITCH, laid, plate, put, seat, stop

CTRL = Qt.KeyboardModifier.ControlModifier
SLIDER = put("s", "slider", seat("s", 2, 2), slide=30.0)


def chosen(qtbot: QtBot, job: Job, *ids: str) -> tuple[Window, PlacementForm]:
    window = make_window(qtbot, job)
    on_plan(qtbot, window)
    window.document.select(ids)
    window.workspace.refresh()
    shown = window.workspace.properties.form()
    assert isinstance(shown, PlacementForm)
    return window, shown


class _Painted(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__()
        self.times = 0
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        self.times += event.type() == QEvent.Type.Paint
        return super().eventFilter(watched, event)


def border(cell: QWidget) -> str:
    """Colour of the left border of a cell as it is painted now."""
    return cell.grab().toImage().pixelColor(1, cell.height() // 2).name()


@pytest.mark.expectation(62)
def test_the_cell_with_the_focus_is_marked_and_only_that(qtbot: QtBot) -> None:
    window, form = chosen(qtbot, laid(SLIDER), "s")
    cells: tuple[QWidget, ...] = (form.holes[0], form.turn, form.note, form.pose_box, form.lift)
    window.resize(1280, 1800)
    QApplication.processEvents()
    marked = window.appearance.theme.colour("selected").name()
    for cell in cells:
        seen = _Painted(cell)
        cell.setFocus(Qt.FocusReason.TabFocusReason)
        QApplication.processEvents()
        assert seen.times
        assert [border(c) == marked for c in cells] == [c is cell for c in cells]
    window.port.do("go.plan")
    assert all(border(c) != marked for c in cells)


@pytest.mark.expectation(32, 64)
def test_undo_in_a_field_with_nothing_typed_undoes_the_job(qtbot: QtBot) -> None:
    window, form = chosen(qtbot, laid(SLIDER), "s")
    before = window.document.job
    edit = form.face.edit
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, "110")
    QTest.keyClick(edit, Qt.Key.Key_Z, CTRL)  # undoes the typing
    assert window.document.job is before
    edit.selectAll()
    QTest.keyClicks(edit, "110")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    moved = window.document.job
    assert moved is not before
    QApplication.processEvents()
    QTest.keyClick(edit, Qt.Key.Key_Z, CTRL)
    assert window.document.job is before
    QApplication.processEvents()
    QTest.keyClick(edit, Qt.Key.Key_Y, CTRL)
    assert window.document.job is moved


@pytest.mark.expectation(32, 63)
def test_esc_restores_then_goes_back_to_the_sheet(qtbot: QtBot) -> None:
    window, form = chosen(qtbot, laid(SLIDER), "s")
    edit = form.face.edit
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, "900")
    QTest.keyClick(edit, Qt.Key.Key_Return)
    assert form.face.has_complaint()
    QTest.keyClick(edit, Qt.Key.Key_Escape)
    assert not form.face.has_complaint()
    assert edit.hasFocus()
    QTest.keyClick(edit, Qt.Key.Key_Escape)
    assert window.workspace.canvas.hasFocus()


@pytest.mark.expectation(63)
def test_esc_leaves_a_choice_a_button_and_a_note(qtbot: QtBot) -> None:
    window, form = chosen(qtbot, laid(stop("s", 2, 2)), "s")
    for widget in (form.poses, form.lift.add, form.flipped, form.note.edit):
        widget.setFocus()
        QTest.keyClick(widget, Qt.Key.Key_Escape)
        assert window.workspace.canvas.hasFocus()
    form.note.edit.setFocus()
    QTest.keyClicks(form.note.edit, "burr")
    QTest.keyClick(form.note.edit, Qt.Key.Key_Escape)
    assert form.note.edit.hasFocus()
    assert form.note.edit.toPlainText() == ""


def test_risers_and_shims_are_told_apart_by_their_size(qtbot: QtBot) -> None:
    job = laid(stop("s", 2, 2))
    sized = [structs.replace(p, size=f"{p.thickness:g} mm") for p in job.rack.pieces]
    job = structs.replace(job, rack=structs.replace(job.rack, pieces=tuple(sized)))
    window, form = chosen(qtbot, job, "s")
    for piece in (*job.rack.risers, *job.rack.shims):
        row = form.lift.add.findData(piece.id)
        assert form.lift.add.itemText(row).startswith(f"{piece.name}, {piece.size}  (")
    piece = job.rack.shims[0]
    form.packing.add.activated.emit(form.packing.add.findData(piece.id))
    window.workspace.refresh()
    assert form.packing.shown.text() == f"{piece.name}, {piece.size}"


@pytest.mark.expectation(61)
def test_typing_over_the_list_of_pieces_searches_it(qtbot: QtBot) -> None:
    window, _ = chosen(qtbot, laid(stop("s", 2, 2)), "s")
    window.port.do("go.rack")
    rack = window.workspace.drawer
    assert rack.list.hasFocus()
    piece = next(p for p in window.document.job.rack.pieces if p.kind == "clamp")
    QTest.keyClicks(rack.list, piece.name[0])
    assert rack.search.hasFocus()
    QTest.keyClicks(rack.search, piece.name[1:])
    assert rack.search.text() == piece.name
    QTest.keyClick(rack.search, Qt.Key.Key_Return)
    assert rack.current() == piece.id


@pytest.mark.expectation(28, 29)
def test_parts_of_the_work_go_together_by_a_typed_length(qtbot: QtBot) -> None:
    job = laid(plate("a", 100, 100), plate("b", 300, 200), stop("s", 2, 2))
    window = make_window(qtbot, job)
    window.document.select(["a", "b"])
    window.workspace.refresh()
    form = window.workspace.properties.form()
    assert isinstance(form, SeveralForm)
    for field, text in ((form.right, "1/2 in"), (form.away, "-3.5")):
        field.edit.selectAll()
        QTest.keyClicks(field.edit, text)
    form.move_button.click()
    assert [(o.x, o.y) for o in window.document.job.parts] == [(112.7, 96.5), (312.7, 196.5)]
    assert window.document.undo_name == "Move 2 parts: 12.7 mm to the right, 3.5 mm to the front"
    assert (form.right.value(), form.away.value()) == (0.0, 0.0)
    assert not form.columns.isVisible()
    window.document.select(["a", "s"])
    window.workspace.refresh()
    assert form.columns.isVisible()
    assert not form.right.isVisible()


@pytest.mark.expectation(25)
def test_a_pin_goes_into_a_third_hole_and_out_again(qtbot: QtBot) -> None:
    job = laid(stop("s", 2, 2))
    piece = job.rack.piece("stop")
    third = RoundHole("h3", (0, PITCH), BORE)
    more = structs.replace(piece, mounts=(*piece.mounts, third))
    pieces = tuple(more if p is piece else p for p in job.rack.pieces)
    job = structs.replace(job, rack=structs.replace(job.rack, pieces=pieces))
    window, form = chosen(qtbot, job, "s")
    assert form.pin.text() == "Pin it in C4 too"
    form.pin.click()
    window.workspace.refresh()
    assert len(placement_of(window.document.job, "s").seats) == 3
    assert window.document.undo_name == "Pin it in C4 too"
    assert (form.holes[2].edit.text(), form.pin.text()) == ("C4", "Take the pin out of C4")
    form.pin.click()
    window.workspace.refresh()
    assert window.document.job.placements == job.placements
    assert "Pin it" in form.pin.text()
    window.document.select([])
    window, form = chosen(qtbot, laid(stop("s", 2, 2)), "s")
    assert not form.pin.isVisible()


def test_a_turn_typed_into_the_work_slides_the_stop_out_of_its_way(qtbot: QtBot) -> None:
    slider = put("a", "slider", seat("s", 8, 8), seat("s", 8, 7), turn=-90.0, slide=0.0)
    window, form = chosen(qtbot, laid(slider, plate("bar", 400, 480)), "a")
    form.turn.edit.selectAll()
    QTest.keyClicks(form.turn.edit, "90")
    QTest.keyClick(form.turn.edit, Qt.Key.Key_Return)
    assert not form.turn.has_complaint()
    assert window.document.placed_pieces["a"].turn == pytest.approx(90)
    assert window.document.placed_pieces["a"].slide == pytest.approx(110)
    assert "stands clear of what was in its way" in window.entry.said.words()


@pytest.mark.expectation(31)
def test_name_and_range_of_a_cell_stand_apart_and_whole(qtbot: QtBot) -> None:
    window = make_window(qtbot, laid(plate("bar", 400, 480)))
    window.resize(1280, 800)
    window.document.select(["bar"])
    window.workspace.refresh()
    form = window.workspace.properties.form()
    shown = [field for field in form.findChildren(LengthField) if field.isVisible()]
    assert len(shown) >= 4  # where the plate lies, and its two heights
    for field in shown:
        note, name = field.note.geometry(), field.label.geometry()
        assert not note.intersects(name), field.label.text()
        assert note.height() >= field.note.heightForWidth(note.width()), field.note.words()
        assert note.left() - name.right() >= 4 or note.top() >= name.bottom(), field.label.text()


@pytest.mark.expectation(72)
def test_the_lines_of_an_opened_choice_suit_a_glove(qtbot: QtBot) -> None:
    window = make_window(qtbot, laid(SLIDER), Settings(glove=True))
    window.document.select(["s"])
    window.workspace.refresh()
    boxes = [b for b in QApplication.allWidgets() if isinstance(b, QComboBox) and b.count()]
    assert len(boxes) > 2
    for box in boxes:
        box.showPopup()
        high = box.view().sizeHintForRow(0)
        box.hidePopup()
        assert high >= window.appearance.metrics.target, box.accessibleName()


@pytest.mark.parametrize("settings", [Settings(), Settings(glove=True), Settings(text_percent=150)])
def test_an_opened_choice_shows_its_last_line_whole(qtbot: QtBot, settings: Settings) -> None:
    window = make_window(qtbot, laid(SLIDER), settings)
    display = window.document.job.display
    form = NewJobForm(ready_tables(), starter_racks(), rack_for, display, window)
    qtbot.addWidget(form)
    form.show()
    qtbot.waitExposed(form)
    form.table.showPopup()
    qtbot.waitExposed(form.table.view().window())
    assert form.table.count() == 8
    assert form.table.view().verticalScrollBar().maximum() == 0
    form.table.hidePopup()


@pytest.mark.expectation(63)
def test_esc_takes_the_search_of_the_rack_back_then_leaves_it(qtbot: QtBot) -> None:
    window, _ = chosen(qtbot, laid(stop("s", 2, 2)), "s")
    rack = window.workspace.drawer
    window.port.do("go.rack")
    every = rack.model.rowCount()
    QTest.keyClicks(rack.list, "c")
    assert rack.model.rowCount() < every
    QTest.keyClick(rack.search, Qt.Key.Key_Escape)
    assert (rack.search.text(), rack.model.rowCount()) == ("", every)
    assert rack.list.hasFocus()
    QTest.keyClick(rack.list, Qt.Key.Key_Escape)
    assert window.workspace.canvas.hasFocus()
