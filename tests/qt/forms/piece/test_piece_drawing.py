"""The form that makes a piece from a drawing, and the rack's form that opens it."""

from pathlib import Path

import pytest
from ezdxf.document import Drawing as Document
from ezdxf.layouts.layout import Modelspace
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from gridjig.files.library.assets import rack_for, ready_tables
from gridjig.model import Display, Job
from gridjig.qt.forms.piece.piece_drawing import PieceDrawingForm
from gridjig.qt.forms.piece.piece_form import PieceForm
from gridjig.qt.forms.rack.rack_form import RackForm
from gridjig.rack import Piece
from tests.files.drawings.drawn import written
from tests.files.drawings.test_piece import upright_l
from tests.qt.formhands import LOOK, form_over, type_in
from tests.qt.windows import Answers

TABLE = next(t for t in ready_tables().values() if t.hole_diameter == 16)
JOB = Job(name="J", table=TABLE, rack=rack_for(TABLE), display=Display(unit="millimetres"))


def opened(qtbot: QtBot, path: Path) -> PieceDrawingForm:
    window = QWidget()
    form = PieceDrawingForm(window, JOB, LOOK, path)
    form.under = window  # type: ignore[attr-defined]  # it must live as long as its form
    qtbot.addWidget(window)
    form.show()
    qtbot.waitUntil(lambda: form._drawing is not None or "✕" in form.told.text())
    return form


@pytest.fixture
def form(qtbot: QtBot, tmp_path: Path) -> PieceDrawingForm:
    return opened(qtbot, written(tmp_path, upright_l))


def test_it_says_what_every_outline_is(form: PieceDrawingForm) -> None:
    texts = [form.list.item(row).text() for row in range(form.list.count())]
    assert texts == [
        "1: 240 × 100 mm, layer BASE\nBody, 0 mm to 12 mm high",
        "2: 240 × 12 mm, layer UPRIGHT\nBody, 0 mm to 12 mm high",
        "3: round, 40 mm, layer HOLES\nOpening",
        "4: round, 16 mm, layer HOLES\nPin hole for Locking pin",
        "5: round, 16 mm, layer HOLES\nPin hole for Locking pin",
    ]
    assert form.told.text().startswith(
        "2 bodies, 2 holes for pins, 1 opening.\n"
        "Pinned with Locking pin, 15.9 mm, in the table's holes of 16 mm."
    )
    assert form.list.hasFocus() or form.list.focusPolicy() != Qt.FocusPolicy.NoFocus
    assert form.apply_button.isEnabled()


def test_heights_are_typed_and_the_piece_goes_on(form: PieceDrawingForm) -> None:
    made: list[Piece] = []
    form.accepted_piece.connect(made.append)
    form.list.setCurrentRow(1)
    type_in(form.high, "80")
    assert "Body, 0 mm to 80 mm high" in form.list.item(1).text()
    form.apply_button.click()
    [piece] = made
    assert (piece.name, [s.z_high for s in piece.solids]) == ("drawn", [12, 80])
    assert not form.isVisible()


def test_what_an_outline_is_can_be_changed(form: PieceDrawingForm) -> None:
    form.list.setCurrentRow(3)
    assert not form.high.isEnabled()
    form.list.item(4).setSelected(True)
    form.role.chosen.emit("opening")
    assert form.told.text().startswith("✕ No hole is for a pin")
    assert not form.apply_button.isEnabled()
    assert "No hole is for a pin" in form.apply_button.toolTip()
    form.role.chosen.emit("pin hole")
    form.list.clearSelection()
    form.list.setCurrentRow(1)
    form.role.chosen.emit("left out")
    assert form.told.text().startswith("1 body, 2 holes for pins, 1 opening.")
    assert "Left out: 1 outline." in form.told.text()
    form.role.chosen.emit("body")
    assert form.rings[1].z_high == 12


def test_a_height_that_is_wrong_is_marked_and_nothing_goes_on(form: PieceDrawingForm) -> None:
    made: list[object] = []
    form.accepted_piece.connect(made.append)
    type_in(form.high, "tall")
    assert "“tall” is not understood" in form.high.complaint.text()
    form.apply_button.click()
    assert made == []
    form.high.restore()
    type_in(form.high, "0")
    assert "The top must be higher than the underside" in form.high.complaint.text()
    assert form.rings[0].z_high == 12


def test_more_holes_than_a_piece_can_have_are_said(qtbot: QtBot, tmp_path: Path) -> None:
    def sieve(_: Document, space: Modelspace) -> None:
        space.add_lwpolyline([(0, 0), (600, 0), (600, 600), (0, 600)], close=True)
        for k in range(201):
            space.add_circle((30 + 30 * (k % 18), 30 + 30 * (k // 18)), 8)

    form = opened(qtbot, written(tmp_path, sieve))
    qtbot.waitUntil(lambda: "✕" in form.told.text())
    assert "mounts has 201 entries; the most is 200." in form.told.text()


def test_a_drawing_without_a_unit_asks_for_it(qtbot: QtBot, tmp_path: Path) -> None:
    form = opened(qtbot, written(tmp_path, upright_l, None))
    assert form.told.text().endswith("Choose the unit that gives the right size.")
    assert not form.apply_button.isEnabled()
    assert form.unit.box.itemText(0) == "mm: 240 × 100 mm"
    form.unit.set_value("mm")
    form.unit.chosen.emit("mm")
    qtbot.waitUntil(lambda: bool(form.rings))
    assert form.apply_button.isEnabled()


def test_a_file_that_is_no_drawing_is_said(qtbot: QtBot, tmp_path: Path) -> None:
    path = tmp_path / "note.dxf"
    path.write_text("just words")
    form = opened(qtbot, path)
    assert form.told.text().startswith("✕ ")
    assert not form.apply_button.isEnabled()


def test_lines_alone_are_said(qtbot: QtBot, tmp_path: Path) -> None:
    form = opened(qtbot, written(tmp_path, lambda _, space: space.add_line((0, 0), (9, 9))))
    assert "no closed outline and 1 open line" in form.told.text()


def test_the_rack_opens_it_and_the_piece_comes_on_the_rack(qtbot: QtBot, tmp_path: Path) -> None:
    rack = form_over(qtbot, JOB, RackForm)
    rack.questions = Answers()  # type: ignore[assignment]
    rack.questions.path = str(written(tmp_path, upright_l))  # type: ignore[attr-defined]
    action = next(a for a in rack.add_button.menu().actions() if a.text() == "From a drawing…")
    action.trigger()
    drawing = rack.findChild(PieceDrawingForm)
    assert drawing is not None
    qtbot.waitUntil(lambda: bool(drawing.rings))
    drawing.apply_button.click()
    piece = rack.findChild(PieceForm)
    assert piece is not None
    assert piece.tabs.currentIndex() == 2
    piece.shape.faces.list.setCurrentRow(2)
    QTest.keyClick(piece.shape.faces.list, Qt.Key.Key_Space)
    piece.apply_button.click()
    made = rack.draft.job.rack.piece("own-piece")
    assert [f.a[1] for f in made.faces] == [60]
    assert rack.table.current_id() == "own-piece"


def test_the_rack_opens_a_free_outline_at_its_shape(qtbot: QtBot) -> None:
    rack = form_over(qtbot, JOB, RackForm)
    action = next(a for a in rack.add_button.menu().actions() if a.text() == "From a free outline…")
    action.trigger()
    piece = rack.findChild(PieceForm)
    assert piece is not None
    assert piece.tabs.currentIndex() == 2
    piece.apply_button.click()
    [made] = [p for p in rack.draft.job.rack.pieces if JOB.rack.find(p.id) is None]
    assert (made.kind, made.faces) == ("other", ())


def test_no_drawing_chosen_opens_nothing(qtbot: QtBot) -> None:
    rack = form_over(qtbot, JOB, RackForm)
    rack.questions = Answers()  # type: ignore[assignment]
    rack.add_drawing()
    assert rack.findChild(PieceDrawingForm) is None
    assert structs.replace(rack.draft.job) == JOB
