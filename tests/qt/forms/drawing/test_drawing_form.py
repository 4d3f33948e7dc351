"""The form that brings a drawing in: unit, layers, picture, progress, and the way in by hand."""

import threading
from pathlib import Path

import pytest
from ezdxf.document import Drawing as Document
from ezdxf.layouts.layout import Modelspace
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent, QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from gridjig.files.drawings.drawing import Drawing, Report
from gridjig.files.library import sections
from gridjig.geometry.display import Polyline
from gridjig.geometry.part_outline import part_ring
from gridjig.geometry.shapes import bounds
from gridjig.model import Member
from gridjig.model.by_weldment import parts_of
from gridjig.model.labels import address, find_hole
from gridjig.qt.forms.drawing import drawing_form as forms
from gridjig.qt.forms.drawing.drawing_files import is_drawing
from gridjig.qt.forms.drawing.drawing_form import DrawingForm
from gridjig.qt.forms.drawing.drawing_picture import MOST, left_out, show_drawing
from gridjig.qt.forms.shop.section_form import SectionForm
from gridjig.qt.widgets.section_box import ADD
from gridjig.qt.window.window import Window
from gridjig.units.progress import Cancelled
from tests.files.drawings.drawn import DXF, written
from tests.qt.windows import Answers, opened
from tests.workshop import EMPTY, laid, plate


def plates(document: Document, space: Modelspace) -> None:
    document.layers.add("OFF").off()
    space.add_lwpolyline([(0, 0), (200, 0), (200, 100), (0, 100)], close=True)
    space.add_circle((50, 50), 10)
    space.add_lwpolyline([(0, 200), (500, 200), (460, 240), (40, 240)], close=True,
                         dxfattribs={"layer": "BARS"})  # fmt: skip
    space.add_circle((400, 50), 30, dxfattribs={"layer": "OFF"})
    space.add_text("A")


def form_of(window: Window, qtbot: QtBot, path: Path) -> DrawingForm:
    window.open_path(path)
    [form] = [
        w for w in QApplication.topLevelWidgets() if isinstance(w, DrawingForm) and w.isVisible()
    ]
    settle(form, qtbot)
    return form


def settle(form: DrawingForm, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not form.tasks.busy, timeout=5000)


def choose_unit(form: DrawingForm, qtbot: QtBot, unit: str) -> None:
    index = form.unit.findData(unit)
    form.unit.setCurrentIndex(index)
    form.unit.activated.emit(index)
    settle(form, qtbot)


def tick(form: DrawingForm, qtbot: QtBot, layer: str, on: bool) -> None:
    [item] = form.layers.findItems(layer, Qt.MatchFlag.MatchExactly)
    item.setCheckState(0, Qt.CheckState.Checked if on else Qt.CheckState.Unchecked)
    settle(form, qtbot)


def type_in(field: object, qtbot: QtBot, form: DrawingForm, text: str) -> None:
    edit = field.edit  # type: ignore[attr-defined]
    edit.setFocus()
    edit.selectAll()
    QTest.keyClicks(edit, text)
    QTest.keyClick(edit, Qt.Key.Key_Return)
    settle(form, qtbot)


@pytest.mark.expectation(53)
def test_what_is_chosen_comes_in_as_one_step(qtbot: QtBot, tmp_path: Path) -> None:
    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, written(tmp_path, plates))
        assert "To import: 2 plates with 1 hole." in form.told.text()
        assert "Not used: 1 text; 1 shape" in form.told.text()
        assert "1 shape on a layer not chosen" in form.told.text()
        tick(form, qtbot, "OFF", on=True)
        assert "To import: 3 plates with 1 hole." in form.told.text()
        form.inner.setChecked(True)
        settle(form, qtbot)
        assert "To import: 4 plates." in form.told.text()
        form.apply_button.click()
        assert len(window.document.job.parts) == 4
        assert window.document.undo_name == "Import drawn.dxf"
        assert len(window.document.selection) == 4
        window.document.undo()
        assert window.document.job is EMPTY


@pytest.mark.expectation(53)
def test_an_unknown_unit_must_be_chosen_by_its_size(qtbot: QtBot) -> None:
    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, DXF / "recover02.dxf")
        words = [form.unit.itemText(k) for k in range(form.unit.count())]
        assert words[0].startswith("Choose the unit")
        assert len(words) == 6
        assert all(" × " in word for word in words[1:])
        assert not form.apply_button.isEnabled()
        assert "Choose the unit" in form.told.text()
        choose_unit(form, qtbot, "in")
        assert "To import: 2 plates" in form.told.text()
        assert "the drawing's border" in form.told.text()
        form.border.setChecked(True)
        settle(form, qtbot)
        assert "To import: 3 plates" in form.told.text()
        assert form.apply_button.isEnabled()
        form.reject()
        assert window.document.job is EMPTY


def test_thickness_height_and_section_go_for_the_selected_layers(
    qtbot: QtBot, tmp_path: Path
) -> None:
    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, written(tmp_path, plates))
        type_in(form.thickness, qtbot, form, "6 mm")
        [bars] = form.layers.findItems("BARS", Qt.MatchFlag.MatchExactly)
        bars.setSelected(True)
        forty = next(s for s in sections.sections() if 40.0 in (s.width, s.height))
        form.kind.setCurrentIndex(1)
        form.kind.activated.emit(1)
        settle(form, qtbot)
        guessed = form.section.box.section
        assert guessed is not None
        assert 40.0 in (guessed.width, guessed.height)
        edit = form.section.box.lineEdit()
        assert edit is not None
        edit.setText(f"{forty.name} {forty.kind}")
        QTest.keyClick(edit, Qt.Key.Key_Return)
        settle(form, qtbot)
        type_in(form.z_low, qtbot, form, "20 mm")
        assert "To import: 1 plate and 1 member with 1 hole." in form.told.text()
        form.apply_button.click()
        plate, bar = sorted(window.document.job.parts, key=lambda p: isinstance(p, Member))
        assert plate.z_low == 0.0
        assert plate.z_high == pytest.approx(6.0)
        assert isinstance(bar, Member)
        assert bar.section == forty
        assert (bar.z_low, bar.length) == pytest.approx((20.0, 460.0))


def ladder(_: Document, space: Modelspace) -> None:
    for y in (0, 40, 260, 300):
        space.add_line((0, y), (1000, y))
    for x in (100, 140, 700, 740):
        space.add_line((x, 40), (x, 260))


def test_open_lines_become_members_once_they_are_chosen(qtbot: QtBot, tmp_path: Path) -> None:
    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, written(tmp_path, ladder))
        assert "or make members of lines as far apart as a section" in form.told.text()
        assert not form.apply_button.isEnabled()
        form.kind.setCurrentIndex(1)
        form.kind.activated.emit(1)
        settle(form, qtbot)
        assert form.brought is not None
        assert "To import: 4 members, 8 open lines as edges. Overall " in form.told.text()
        assert form.apply_button.isEnabled()
        form.apply_button.click()
        parts = window.document.job.parts
        assert [part.section.width for part in parts if isinstance(part, Member)] == [40.0] * 4


def test_the_lower_left_corner_comes_to_a_hole(qtbot: QtBot, tmp_path: Path) -> None:
    table = EMPTY.table
    name = address(table, table.nearest(200, 300))
    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, written(tmp_path, plates))
        type_in(form.hole, qtbot, form, "nowhere")
        assert form.hole.has_complaint()
        type_in(form.hole, qtbot, form, name)
        form.apply_button.click()
        box = bounds(p for part in window.document.job.parts for p in part_ring(part))
        assert box[:2] == pytest.approx(table.at(find_hole(table, name)), abs=1e-5)


@pytest.mark.expectation(85)
def test_what_cannot_be_read_is_said_in_the_form(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "odd.dxf"
    path.write_text("hello", encoding="utf-8")
    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, path)
        assert form.told.text().startswith("✕ odd.dxf cannot be read: it is not a DXF drawing")
        assert not form.apply_button.isEnabled()
        form.apply()
        assert window.document.job is EMPTY
        form.reject()


def test_no_layer_is_said_too(qtbot: QtBot, tmp_path: Path) -> None:
    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, written(tmp_path, plates))
        tick(form, qtbot, "0", on=False)
        tick(form, qtbot, "BARS", on=False)
        assert "No layer is chosen" in form.told.text()
        assert not form.apply_button.isEnabled()
        form.reject()


@pytest.mark.expectation(99, 100)
def test_reading_shows_how_far_it_is_and_closing_ends_it(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ended = threading.Event()

    def slow(path: Path, report: Report) -> Drawing:
        done = 0
        try:
            while True:
                done += 1
                report(min(done, 900), 1000)
                threading.Event().wait(0.002)
        except Cancelled:
            ended.set()
            raise

    monkeypatch.setattr(forms, "read_any", slow)
    with opened(qtbot, EMPTY) as window:
        window.open_path(tmp_path / "slow.dxf")
        [form] = [
            w
            for w in QApplication.topLevelWidgets()
            if isinstance(w, DrawingForm) and w.isVisible()
        ]
        qtbot.waitUntil(form.bar.isVisible, timeout=3000)
        qtbot.waitUntil(lambda: form.bar.value() > 0, timeout=3000)
        assert form.bar.maximum() == 1000
        form.cancel_button.click()
        assert ended.wait(2.0)


def test_a_dropped_drawing_opens_the_form_and_the_menu_asks_for_one(
    qtbot: QtBot, tmp_path: Path
) -> None:
    path = written(tmp_path, plates)
    assert is_drawing(path)
    assert is_drawing(Path("A.SVG"))
    assert not is_drawing(Path("a.gridjig"))
    with opened(qtbot, EMPTY) as window:
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(path))])
        window.dropEvent(
            QDropEvent(
                QPointF(5, 5),
                Qt.DropAction.CopyAction,
                data,
                Qt.MouseButton.LeftButton,
                Qt.KeyboardModifier.NoModifier,
            )
        )
        found: list[DrawingForm] = []

        def there() -> bool:
            found[:] = [w for w in window.findChildren(DrawingForm) if w.isVisible()]
            return bool(found)

        qtbot.waitUntil(there, timeout=3000)
        settle(found[0], qtbot)
        found[0].reject()
        qtbot.waitUntil(lambda: not there(), timeout=3000)
        answers = window.questions
        assert isinstance(answers, Answers)
        window.port.do("file.drawing")  # no file is chosen
        assert not there()
        answers.path = str(path)
        window.port.do("file.drawing")
        qtbot.waitUntil(there, timeout=3000)
        settle(found[0], qtbot)
        found[0].reject()


def test_the_picture_shows_what_is_used_and_of_too_much_the_largest(
    qtbot: QtBot, tmp_path: Path
) -> None:
    def many(_: Document, space: Modelspace) -> None:
        for k in range(MOST + 5):
            space.add_line((k, 0), (k, 10 + k))

    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, written(tmp_path, many, unit=None))
        assert form.drawing is not None
        shown = show_drawing(form.drawing, ())
        assert len(shown) == MOST
        assert all(isinstance(s, Polyline) and s.role == "ghost" for s in shown)
        assert left_out(MOST + 5) == "The picture shows the 2,000 largest of 2,005."
        assert left_out(MOST) == ""
        form.reject()


def test_a_drawing_much_larger_than_any_table_is_shown_whole(qtbot: QtBot, tmp_path: Path) -> None:
    def site(_: Document, space: Modelspace) -> None:
        space.add_lwpolyline([(0, 0), (900_000, 0), (0, 700_000)], close=True)

    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, written(tmp_path, site))
        box = form.picture.plot().box
        assert box is not None
        wide, high = form.picture.size_in_dots()
        view = form.picture.view_of(box, 10.0)
        for x, y in (view.to_screen(box[:2]), view.to_screen(box[2:])):
            assert 9 <= x <= wide - 9
            assert 9 <= y <= high - 9
        form.reject()


def test_a_drawing_comes_in_as_a_weldment_of_its_own_if_told_so(
    qtbot: QtBot, tmp_path: Path
) -> None:
    with opened(qtbot, laid(plate("a", 0, 0))) as window:
        for own in (False, True):
            form = form_of(window, qtbot, written(tmp_path, plates))
            assert not form.own_weldment.isHidden()
            if own:
                form.own_weldment.click()
            form.apply_button.click()
        job = window.document.job
    assert [one.name for one in job.weldments] == ["", "drawn"]
    assert [len(parts_of(job, one.id)) for one in job.weldments] == [3, 2]


def test_a_section_of_ones_own_is_added_from_the_list_and_taken(
    qtbot: QtBot, tmp_path: Path
) -> None:
    with opened(qtbot, EMPTY) as window:
        form = form_of(window, qtbot, written(tmp_path, plates))
        [bars] = form.layers.findItems("BARS", Qt.MatchFlag.MatchExactly)
        bars.setSelected(True)
        form.kind.setCurrentIndex(1)
        form.kind.activated.emit(1)
        settle(form, qtbot)
        box = form.section.box
        box.activated.emit(box.findText(ADD))
        own = QApplication.activeModalWidget()
        assert isinstance(own, SectionForm)
        for field, text in ((own.width_, "45 mm"), (own.wall, "2 mm")):
            field.edit.selectAll()
            QTest.keyClicks(field.edit, text)
            QTest.keyClick(field.edit, Qt.Key.Key_Tab)
        own.keep_button.click()
        settle(form, qtbot)
        assert box.section is not None
        assert box.section.width == 45.0
        assert box.currentText().endswith(" square tube")
        assert [use.section for use in form.layers.uses()].count(box.section) == 1


def test_layers_are_sorted_by_a_column_and_copied(qtbot: QtBot, tmp_path: Path) -> None:
    with opened(qtbot, EMPTY) as window:
        layers = form_of(window, qtbot, written(tmp_path, plates)).layers
        names = [item.text(0) for item in layers._items()]
        assert len(names) >= 2
        used = {use.layer for use in layers.uses()}
        layers.header().setSortIndicator(0, Qt.SortOrder.DescendingOrder)
        assert [item.text(0) for item in layers._items()] == sorted(names, reverse=True)
        assert {use.layer for use in layers.uses()} == used
        layers.setFocus()
        QTest.keyClick(layers, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
        copied = [line.split("\t") for line in QGuiApplication.clipboard().text().splitlines()]
        assert copied[0] == ["Layer", "Holds", "Becomes"]
        assert [line[0] for line in copied[1:]] == sorted(names, reverse=True)
