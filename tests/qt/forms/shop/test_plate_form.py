"""The form of a cut plate: what it says, what is in its way, saving, putting it on the table."""

import math
from pathlib import Path

import ezdxf
import pytest
from msgspec import structs
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel
from pytestqt.qtbot import QtBot

from gridjig.cutplates.asked import PlateOf
from gridjig.model import FaceOf, Hole, Job
from gridjig.model.labels import address
from gridjig.qt.forms.shop.plate_form import CutPlateForm
from gridjig.session.document import Document
from gridjig.solve.angles.answers import AngleLimits
from gridjig.solve.angles.finder import find_angles
from gridjig.solve.angles.wanted import read_wanted
from gridjig.units import MILLIMETRES, Display
from tests.qt.formhands import LOOK, type_in
from tests.qt.windows import Answers
from tests.stock import bar
from tests.workshop import EMPTY, laid

JOB = laid(bar(x=300.0, y=400.0, length=400.0))


def form_of(qtbot: QtBot, of: PlateOf, folder: Path = Path(), job: Job = JOB) -> CutPlateForm:
    under, asks, said = QLabel(), Answers(), list[str]()
    made = CutPlateForm(under, Document(job), of, asks, str(folder), LOOK, said.append)
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
    made.under, made.asks, made.said = under, asks, said  # type: ignore[attr-defined]
    qtbot.addWidget(under)
    made.show()
    qtbot.waitUntil(lambda: not made.tasks.busy)
    return made


def settled(qtbot: QtBot, form: CutPlateForm) -> None:
    qtbot.waitUntil(lambda: not form.tasks.busy)


@pytest.fixture
def form(qtbot: QtBot, tmp_path: Path) -> CutPlateForm:
    return form_of(qtbot, PlateOf(part="bar"), tmp_path)


def test_it_opens_with_the_longest_face_and_nothing_in_its_way(form: CutPlateForm) -> None:
    assert form.face.value() in (FaceOf("bar", 0), FaceOf("bar", 2))
    told = form.told.text()
    assert "Pin holes at" in told
    assert "● Nothing is in its way." in told
    assert form.save_button.isDefault()
    assert form.put_button.isEnabled()


def test_each_change_designs_it_again(qtbot: QtBot, form: CutPlateForm) -> None:
    type_in(form.upright, "80")
    settled(qtbot, form)
    assert "Two uprights reach 80 mm above the table" in form.told.text()
    form.around.set_value("face and end")
    form.design()
    settled(qtbot, form)
    assert form.made is not None
    assert len(form.made.design.wanted.edges) == 2
    type_in(form.upright, "4")
    settled(qtbot, form)
    assert form.told.text().startswith("✕ The uprights are no higher")
    assert not form.save_button.isEnabled()
    assert not form.put_button.isEnabled()


def test_in_inches_the_thinnest_plate_is_a_sixteenth(qtbot: QtBot) -> None:
    inches = structs.replace(JOB, display=Display())
    form = form_of(qtbot, PlateOf(part="bar"), job=inches)
    type_in(form.thickness, "1/32")
    assert '1/16" to 2"' in form.thickness.note.words()
    assert 'from 1/16" to 2"' in form.thickness.complaint.text()
    assert form.thickness.value() == 6.35
    type_in(form.thickness, "1/16")
    settled(qtbot, form)
    assert form.thickness.value() == 25.4 / 16


def test_it_is_saved_for_the_laser_then_enter_puts_it_on_the_table(
    qtbot: QtBot, form: CutPlateForm, tmp_path: Path
) -> None:
    form.asks.path = str(tmp_path / "plate")  # type: ignore[attr-defined]
    QTest.keyClick(form, Qt.Key.Key_Return)
    document = ezdxf.readfile(tmp_path / "plate.dxf")  # type: ignore[attr-defined]
    assert document.header["$INSUNITS"] == 4
    assert len(document.modelspace().query('CIRCLE[layer=="CUT"]')) == 2
    assert form.put_button.isDefault()
    QTest.keyClick(form, Qt.Key.Key_Return)
    assert not form.isVisible()
    job = form._document.job
    assert [placement.piece for placement in job.placements] == ["cut-plate-1"]
    assert form._document.undo_name == "Put Cut plate for bar on the table"
    assert form._document.selection == {job.placements[0].id}
    form._document.undo()
    assert form._document.job is not job


def test_the_holes_for_the_pins_can_be_typed(qtbot: QtBot, form: CutPlateForm) -> None:
    table = JOB.table
    assert form.made is not None
    farthest = form.made.design.pins
    row = table.nearest(*farthest[0]).row
    wanted = tuple(Hole(col, row) for col in (6, 9))
    type_in(form.pins, " and ".join(address(table, hole) for hole in wanted))
    settled(qtbot, form)
    assert form.made is not None
    assert form.made.design.pins == tuple(table.at(hole) for hole in wanted)
    type_in(form.pins, address(table, wanted[0]))
    assert "Type two different holes" in form.pins.complaint.text()
    assert form.pins.value() == wanted
    type_in(form.pins, " ")
    settled(qtbot, form)
    assert form.made is not None
    assert form.made.design.pins == farthest


def test_an_answer_has_no_face_to_choose(qtbot: QtBot) -> None:
    limits = AngleLimits(ways=("plate",), base_to=300.0)
    found = find_angles(EMPTY.table, EMPTY.rack, read_wanted("30", unit=MILLIMETRES.unit), limits)
    answer = found.ranked[0]
    form = form_of(qtbot, PlateOf(answer=answer, holes=answer.holes))
    assert not form.face.isVisible()
    assert form.made is not None
    assert form.made.design.wanted.name == "Cut plate 30°"
    type_in(form.name, "Left plate")
    settled(qtbot, form)
    assert form.made.design.wanted.name == "Left plate"


def test_an_angle_that_pins_and_shims_make_has_a_plate_too(qtbot: QtBot) -> None:
    wanted = read_wanted("37.5", unit=MILLIMETRES.unit)
    form = form_of(qtbot, PlateOf(wanted=wanted, limits=AngleLimits(ways=("pins",), base_to=400.0)))
    assert form.made is not None
    assert form.made.design.wanted.name == "Cut plate 37.5°"
    ux, uy = form.made.design.wanted.edges[0].along
    assert abs(math.degrees(math.atan2(uy, ux)) % 180.0 - 37.5) < 1e-6
    assert "● Nothing is in its way." in form.told.text()
    assert not form.face.isVisible()


def test_an_angle_without_room_for_a_plate_says_so(qtbot: QtBot) -> None:
    wanted = read_wanted("37.5", unit=MILLIMETRES.unit)
    form = form_of(qtbot, PlateOf(wanted=wanted, limits=AngleLimits(base_to=1.0)))
    assert form.made is None
    assert form.told.text().startswith("✕ No plate at this angle fits on the table")
    assert not form.save_button.isEnabled()


def test_a_place_that_cannot_be_written_is_said(form: CutPlateForm, tmp_path: Path) -> None:
    (tmp_path / "folder.dxf").mkdir()
    form.asks.path = str(tmp_path / "folder.dxf")  # type: ignore[attr-defined]
    form.save()
    asked: list[str] = form.asks.asked  # type: ignore[attr-defined]
    assert any("was not saved" in one for one in asked)
    form.asks.path = ""  # type: ignore[attr-defined]
    before = len(asked)
    form.save()
    assert len(asked) == before + 1
    assert structs.asdict(form.options())["thickness"] == 6.0
